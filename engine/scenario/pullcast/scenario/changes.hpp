/// Changes of a study to a rig: "component.key", "component.model", "component.parts.slot", the same of "common", and
/// "procedure.key", as quoted keys or as nested tables.
#pragma once
#include <pullcast/scenario/rig_file.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

/// "drive.parts.pulley" as drive, parts, pulley.
std::vector<std::string> path_words(const std::string& path);

/// Applies the changes in `table` as settings of the next layer. `where` names the table in messages.
std::vector<Change> apply_changes(RigTree& rig, const Table& table, const std::string& where, int layer,
                                  Diagnostics& d);

}  // namespace pullcast

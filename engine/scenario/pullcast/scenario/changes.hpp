/// Changes of a study to a rig: "component.key", "component.model", "component.parts.slot" and the same of "common", as
/// quoted keys or as nested tables.
#pragma once
#include <pullcast/scenario/rig_file.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

/// Applies the changes in `table` as settings of the next layer. `where` names the table in messages.
std::vector<Change> apply_changes(RigTree& rig, const Table& table, const std::string& where, int layer,
                                  Diagnostics& d);

}  // namespace pullcast

/// The part file: a thing one can buy, as parameters that it sets.
///
///     name = "Pulley 68 mm"
///     note = "invented, for the demo"                     (optional: note, price, model, role)
///     price = "85 EUR"
///     role = "drive"                                      what it fits, where it names no model
///     [set]
///     rotor_pulley = "68 mm"
///
/// Keys that another model of the role knows are left out quietly, so that a model can be swapped in one line.
#pragma once
#include <map>
#include <pullcast/scenario/rig_file.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

struct Part {
    std::string name, note, file;
    std::optional<Price> price;
    std::optional<Entry> role;
    std::vector<Setting> settings;  // `model` among them
};

/// Reads one part's file. Nothing after an error.
std::optional<Part> read_part(const std::filesystem::path& file, const Place& named_at, Diagnostics& diagnostics);

/// Finds and reads parts, each file once.
class PartShelf {
public:
    PartShelf(std::filesystem::path rig_folder, Diagnostics& d) : rig_folder_(std::move(rig_folder)), d_(d) {}

    /// The part that `slot = "name or path"` names; null after an error.
    const Part* find(const Setting& named);

private:
    std::optional<std::filesystem::path> locate(const Setting& named);
    const std::multimap<std::string, std::filesystem::path>& folder(const std::filesystem::path& root);

    std::filesystem::path rig_folder_;
    Diagnostics& d_;
    std::map<std::filesystem::path, std::optional<Part>> parts_;
    std::map<std::filesystem::path, std::multimap<std::string, std::filesystem::path>> folders_;  // by stem
};

}  // namespace pullcast

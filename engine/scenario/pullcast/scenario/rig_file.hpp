/// The rig file: components with their settings and parts, before anything is checked against a component's schema.
///
///     title = "6-cylinder, charge cooler in the valley"     (optional: title, note)
///     extends = "v6-base.toml"                               this file's settings win, key by key
///     [common]                                               values that several components share
///     glycol = "50 %"
///     parts = { fuel = "pump-98" }
///     [component.drive]
///     model = "drive.belt"
///     parts = { pulley = "pulley-75" }                       by slot: a name under ../parts, or a path to a .toml file
///     crank = "load.crank"                                   a connection
///     wrap = "140 deg"                                       a parameter
///     [procedure]                                            how a pull is run (see scenario.hpp)
///
/// Paths start from the folder of the file that names them.
#pragma once
#include <pullcast/scenario/toml_document.hpp>

namespace pullcast {

/// One `key = value`. Later layers win: what a rig extends, the rig, a study's conditions, its variant.
struct Setting {
    std::string key;
    Place place;  // of the key
    Value value;
    std::string where;  // "[component.drive]", for messages
    int layer = 0;
    bool of_part = false;  // written in a part's file, not in the rig's or study's own
};

struct Section {
    std::string name;
    Place place;  // of its header
    std::vector<Setting> settings, parts;  // parts: slot = name or path

    const Setting* find(std::string_view key) const;
    void set(Setting s);       // replaces the setting of that name
    void set_part(Setting s);
};

struct RigTree {
    std::string title, note, file;
    Place place;
    Section common, procedure;
    std::vector<Section> components;
    int layer = 0;  // of this file's own settings

    Section* component(std::string_view name);
};

/// Settings of one TOML table; `parts` go to the parts.
Section read_section(const std::string& name, const Entry& e, const std::string& where, int layer, Diagnostics& d);

/// Reads a rig file and all that it extends. Nothing if the file cannot be read as TOML.
std::optional<RigTree> read_rig(const std::filesystem::path& file, const Place& named_at, Diagnostics& diagnostics);

/// The path that a file names, from that file's folder.
std::filesystem::path beside(const Place& named_at, const std::filesystem::path& path);

}  // namespace pullcast

/// The component types that an engine knows, and where each came from.
#pragma once
#include <filesystem>
#include <map>
#include <pullcast/plugin.hpp>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast {

/// One line that names the plugin file and what is wrong with it.
struct PluginError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

class Registry {
public:
    struct Entry {
        const ComponentType* type;
        std::string plugin, version, origin;  // origin: the file, or "built in"
    };
    enum class Trust { own, unknown };

    /// Registers the types of a manifest, all or none. Throws PluginError.
    void add(const Manifest& manifest, const std::string& origin);

    /// Loads one plugin and keeps it loaded for the life of the process. An unknown plugin is first loaded in a child
    /// process, because an exception in a static initialiser would end this one. Throws PluginError.
    void load(const std::filesystem::path& file, Trust trust = Trust::unknown);

    /// Loads every *.so of a folder, by name. Throws PluginError, also if the folder holds none.
    void load_folder(const std::filesystem::path& folder, Trust trust = Trust::own);

    const ComponentType* find(std::string_view name) const;
    std::vector<const ComponentType*> types() const;       // by name
    const std::map<std::string, Entry, std::less<>>& entries() const { return entries_; }

private:
    std::map<std::string, Entry, std::less<>> entries_;
};

}  // namespace pullcast

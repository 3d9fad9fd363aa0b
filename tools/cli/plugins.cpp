#include "options.hpp"

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// Beside the program in a build tree, or under the prefix where it is installed.
fs::path built_in_plugins() {
    std::error_code error;
    const auto program = fs::read_symlink("/proc/self/exe", error).parent_path();
    const fs::path beside = program / "plugins";
    return fs::is_directory(beside, error) ? beside : program / PULLCAST_PLUGIN_FOLDER;
}

}  // namespace

Registry load_plugins(const Options& o) {
    Registry registry;
    registry.load_folder(built_in_plugins());
    for (const auto& path : o.plugins) {
        if (fs::is_directory(path)) registry.load_folder(path, Registry::Trust::unknown);
        else registry.load(path);
    }
    return registry;
}

}  // namespace pullcast

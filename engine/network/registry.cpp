#include <dlfcn.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <pullcast/network/registry.hpp>
#include <set>

namespace pullcast {
namespace {

constexpr const char* symbol = "pullcast_manifest";
using Entrance = const Manifest* (*)();

/// What the child process does. No exception may leave it: it would find handlers in the copy of the program's stack.
[[noreturn]] void load_and_end(const std::filesystem::path& file) noexcept {
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, STDOUT_FILENO);
    dup2(nowhere, STDERR_FILENO);
    if (void* library = dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL))
        if (const auto entrance = reinterpret_cast<Entrance>(dlsym(library, symbol))) entrance();
    _exit(0);
}

/// Loads the plugin in a child process and says how that ended. The child reports nothing but its end.
void probe(const std::filesystem::path& file, const std::string& name) {
    const pid_t child = fork();
    if (child == 0) load_and_end(file);
    int status = 0;
    if (child < 0 || waitpid(child, &status, 0) != child || (WIFEXITED(status) && WEXITSTATUS(status) == 0)) return;
    const auto how = WIFSIGNALED(status) ? fmt::format("signal {}", WTERMSIG(status))
                                         : fmt::format("exit code {}", WEXITSTATUS(status));
    throw PluginError(
        fmt::format("{}: ended its process while loading ({}); an exception in a static initialiser or in a "
                    "constructor does this",
                    name, how));
}

std::string without_path(std::string message, const std::filesystem::path& file) {
    const auto prefix = file.string() + ": ";
    if (message.starts_with(prefix)) message.erase(0, prefix.size());
    return message;
}

/// The handshake: both sides must mean the same bytes.
void check_sizes(const Manifest& m, const std::string& origin) {
    if (m.abi != abi_version)
        throw PluginError(fmt::format("{}: built for ABI {}, this engine speaks ABI {}; rebuild the plugin", origin,
                                      m.abi, abi_version));
    const struct { const char* what; std::uint32_t theirs; std::size_t ours; } sizes[] = {
        {"Manifest", m.manifest_size, sizeof(Manifest)},         {"ComponentType", m.type_size, sizeof(ComponentType)},
        {"Field", m.field_size, sizeof(Field)},                  {"Arena<double>", m.arena_size, sizeof(Arena<double>)},
        {"Arena<Dual>", m.dual_arena_size, sizeof(Arena<Dual>)}, {"Recorded", m.recorded_size, sizeof(Recorded)}};
    for (const auto& s : sizes)
        if (s.theirs != s.ours)
            throw PluginError(
                fmt::format("{}: built with another SDK ({} has {} bytes there, {} here); rebuild the plugin", origin,
                            s.what, s.theirs, s.ours));
}

bool attaches(Kind k) { return k == Kind::end || k == Kind::sees || k == Kind::reads; }

/// Names must differ among the keys of a TOML table, among nodes, states, accounts and outputs; not across these.
int name_space(Kind k) { return k <= Kind::map || attaches(k) ? -1 : static_cast<int>(k); }

void check_schema(const ComponentType& t, const std::string& origin) {
    const auto fail = [&](const std::string& why) {
        throw PluginError(fmt::format("{}: type '{}': {}", origin, t.name, why));
    };
    if (!t.role || !*t.role) fail("names no role");
    std::map<std::pair<int, std::string>, const Field*> seen;
    for (const Field* f = t.fields; f != t.fields + t.field_count; ++f) {
        if (!f->name || !*f->name) fail("has a field without a name");
        if (!f->doc || !*f->doc) fail(fmt::format("field '{}' has no documentation", f->name));
        if (f->kind == Kind::state && !(f->preset > 0))
            fail(fmt::format("state '{}' needs a nominal size above 0", f->name));
        const auto [at, fresh] = seen.emplace(std::pair(name_space(f->kind), f->name), f);
        const Field& first = *at->second;
        if (!fresh &&
            !(attaches(f->kind) && attaches(first.kind) && f->domain == first.domain && f->kind != first.kind))
            fail(fmt::format("declares '{}' twice", f->name));
    }
}

}  // namespace

void Registry::add(const Manifest& m, const std::string& origin) {
    check_sizes(m, origin);
    if (m.problem) throw PluginError(fmt::format("{}: its declaration failed: {}", origin, m.problem));
    std::set<std::string> own;
    for (std::uint32_t i = 0; i < m.type_count; ++i) {
        const ComponentType& t = *m.types[i];
        if (!own.insert(t.name).second) throw PluginError(fmt::format("{}: lists type '{}' twice", origin, t.name));
        if (const auto at = entries_.find(t.name); at != entries_.end())
            throw PluginError(
                fmt::format("{}: type '{}' is already registered by {}", origin, t.name, at->second.origin));
        check_schema(t, origin);
    }
    for (std::uint32_t i = 0; i < m.type_count; ++i)
        entries_.emplace(m.types[i]->name, Entry{m.types[i], m.plugin, m.version, origin});
}

void Registry::load(const std::filesystem::path& file, Trust trust) {
    const auto name = file.string();
    if (!std::filesystem::exists(file)) throw PluginError(fmt::format("{}: no such file", name));
    const auto path = std::filesystem::absolute(file);
    if (trust == Trust::unknown) probe(path, name);
    void* library = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL);
    if (!library) throw PluginError(fmt::format("{}: cannot be loaded: {}", name, without_path(dlerror(), path)));
    const auto entrance = reinterpret_cast<Entrance>(dlsym(library, symbol));
    if (!entrance)
        throw PluginError(fmt::format("{}: has no symbol '{}'; declare the plugin with PULLCAST_PLUGIN", name, symbol));
    add(*entrance(), name);
}

void Registry::load_folder(const std::filesystem::path& folder, Trust trust) {
    std::vector<std::filesystem::path> files;
    std::error_code error;
    for (const auto& entry : std::filesystem::directory_iterator(folder, error))
        if (entry.path().extension() == ".so") files.push_back(entry.path());
    if (files.empty()) throw PluginError(fmt::format("{}: holds no plugins (*.so)", folder.string()));
    std::sort(files.begin(), files.end());
    for (const auto& file : files) load(file, trust);
}

const ComponentType* Registry::find(std::string_view name) const {
    const auto at = entries_.find(name);
    return at == entries_.end() ? nullptr : at->second.type;
}

std::vector<const ComponentType*> Registry::types() const {
    std::vector<const ComponentType*> all;
    for (const auto& [name, entry] : entries_) all.push_back(entry.type);
    return all;
}

}  // namespace pullcast

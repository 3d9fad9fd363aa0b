#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/part_file.hpp>
#include <pullcast/scenario/toml_document.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/words.hpp>

#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// A rig or a study, by its keys.
bool is_no_part(const fs::path& file) {
    Diagnostics ignored;
    const auto source = read_source(file, {}, ignored);
    const auto root = source ? parse_toml(source, ignored) : std::nullopt;
    if (!root) return false;
    const std::vector<std::string> theirs = {"component", "extends", "rig", "variant", "conditions"};
    const auto is_theirs = [&](const Entry& e) {
        return std::find(theirs.begin(), theirs.end(), e.key) != theirs.end();
    };
    return std::any_of(root->table()->begin(), root->table()->end(), is_theirs);
}

/// The file itself, or the parts anywhere in a folder; rigs and studies in it are passed over.
std::vector<fs::path> part_files(const fs::path& place) {
    std::vector<fs::path> files;
    std::error_code error;
    if (!fs::is_directory(place, error)) return {place};
    for (const auto& e : fs::recursive_directory_iterator(place, fs::directory_options::skip_permission_denied))
        if (e.path().extension() == ".toml" && !is_no_part(e.path())) files.push_back(e.path());
    std::sort(files.begin(), files.end());
    return files;
}

/// The role that a part fits: its own word, or its model's role; "common" for parts of the shared values.
std::string role_of(const Part& part, const Registry& registry) {
    if (part.role && part.role->value.text()) return *part.role->value.text();
    for (const auto& s : part.settings)
        if (s.key == "model" && s.value.text())
            if (const auto* type = registry.find(*s.value.text())) return type->role;
    return "common";
}

std::string price_of(const Part& p) { return p.price ? show_price(*p.price) : "-"; }

void describe(const Part& part, const Registry& registry) {
    fmt::print("{}  (fits: {}, price {})\n", part.name, role_of(part, registry), price_of(part));
    if (!part.note.empty()) fmt::print("{}", wrapped(part.note, terminal_width()));
    for (const auto& s : part.settings) fmt::print("  {} = {}\n", s.key, to_text(s.value));
}

void list(const std::vector<Part>& parts, const Registry& registry) {
    std::map<std::string, std::vector<const Part*>> by_role;
    std::size_t width = 0;
    const auto stem = [](const Part& p) { return fs::path(p.file).stem().string(); };
    for (const auto& p : parts) by_role[role_of(p, registry)].push_back(&p), width = std::max(width, stem(p).size());
    for (const auto& [role, all] : by_role) {
        fmt::print("{}\n", role);
        for (const auto* p : all) {
            const auto first = fmt::format("  {:<{}}  {:>9}  ", stem(*p), width, price_of(*p));
            fmt::print("{}", wrapped(p->name, terminal_width(), first, std::string(first.size(), ' ')));
        }
    }
}

}  // namespace

int parts_command(const Options& o) {
    const auto registry = load_plugins(o);
    std::error_code error;
    if (!fs::is_directory(o.file, error) && is_no_part(o.file)) {
        fmt::print(stderr, "error: {}: is a rig or a study, not a part; 'pullcast check' reads it\n", o.file.string());
        return Exit::bad_input;
    }
    Diagnostics diagnostics;
    std::vector<Part> parts;
    for (const auto& file : part_files(o.file))
        if (auto part = read_part(file, {}, diagnostics)) parts.push_back(std::move(*part));
    diagnostics.throw_if_failed();
    if (parts.empty()) {
        fmt::print(stderr, "error: {}: holds no parts (*.toml)\n", o.file.string());
        return Exit::bad_input;
    }
    if (parts.size() == 1) describe(parts.front(), registry);
    else list(parts, registry);
    return Exit::ok;
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/part_file.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// "85 EUR"
std::optional<Price> read_price(const Entry& e, Diagnostics& d) {
    const std::string& text = *e.value.text();
    std::string currency = text.substr(std::min(text.find_last_of(' ') + 1, text.size()));
    for (const char* known : {"EUR", "USD", "GBP"}) {
        if (currency != known) continue;
        const auto amount = parse_quantity(text, known);
        if (const auto* value = std::get_if<double>(&amount); value && *value >= 0) return Price{*value, currency};
    }
    d.error(e.value.place, fmt::format("\"{}\" is not a price", text),
            "an amount in EUR, USD or GBP, such as \"420 EUR\"");
    return {};
}

}  // namespace

const Part* PartShelf::find(const Setting& named) {
    if (!named.value.text()) {
        d_.error(named.value.place, fmt::format("part '{}' must be a string, not {}", named.key, kind_of(named.value)),
                 "the name of a part, or the path of its file");
        return nullptr;
    }
    const auto file = locate(named);
    if (!file) return nullptr;
    auto known = parts_.find(*file);
    if (known == parts_.end()) known = parts_.emplace(*file, read_part(*file, named.value.place, d_)).first;
    return known->second ? &*known->second : nullptr;
}

std::optional<fs::path> PartShelf::locate(const Setting& named) {
    const std::string& text = *named.value.text();
    if (text.find('/') != text.npos || text.ends_with(".toml")) return beside(named.value.place, text);
    const std::array roots{beside(named.value.place, "../parts"), (rig_folder_ / "../parts").lexically_normal()};
    for (const auto& root : roots) {
        const auto [first, last] = folder(root).equal_range(text);
        if (first == last) continue;
        if (std::next(first) == last) return first->second;
        std::vector<std::string> paths;
        std::transform(first, last, std::back_inserter(paths), [](const auto& part) { return part.second.string(); });
        std::sort(paths.begin(), paths.end());
        d_.error(named.value.place, fmt::format("{} parts are named '{}'", paths.size(), text),
                 fmt::format("write the path instead; they are {}", fmt::join(paths, " and ")));
        return {};
    }
    std::vector<std::string> names;
    for (const auto& root : roots)
        for (const auto& [name, path] : folder(root)) names.push_back(name);
    const auto searched = roots[0] == roots[1] ? roots[0].string() : roots[0].string() + " or " + roots[1].string();
    d_.error(named.value.place, fmt::format("no part '{}' below {}", text, searched), suggestion(text, names));
    return {};
}

const std::multimap<std::string, fs::path>& PartShelf::folder(const fs::path& root) {
    const auto known = folders_.find(root);
    if (known != folders_.end()) return known->second;
    auto& parts = folders_[root];
    std::error_code failure;
    for (fs::recursive_directory_iterator at(root, failure), end; !failure && at != end; at.increment(failure))
        if (at->path().extension() == ".toml") parts.emplace(at->path().stem().string(), at->path().lexically_normal());
    return parts;
}

std::string show_price(const Price& p) {
    return fmt::format("{:.{}f} {}", p.amount, p.amount == std::round(p.amount) ? 0 : 2, p.currency);
}

std::optional<Part> read_part(const fs::path& file, const Place& named_at, Diagnostics& d) {
    const auto source = read_source(file, named_at, d);
    const auto root = source ? parse_toml(source, d) : std::nullopt;
    if (!root) return {};
    Keys keys(*root, "a part file", d);
    Part part;
    part.file = source->name;
    const auto* name = keys.required_text("name", "what it is called in reports");
    part.name = name ? *name->value.text() : "";
    part.note = keys.text_or("note");
    if (const auto* e = keys.text("price")) part.price = read_price(*e, d);
    if (const auto* e = keys.text("role")) part.role = *e;
    if (const auto* e = keys.text("model"))
        part.settings.push_back({"model", e->place, e->value, "a part file", 0, true});
    if (const auto* e = keys.table("set"))
        for (const auto& s : *e->value.table()) part.settings.push_back({s.key, s.place, s.value, "[set]", 0, true});
    keys.finish("parameters stand below [set]");
    return part;
}

}  // namespace pullcast

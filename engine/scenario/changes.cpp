#include <fmt/format.h>
#include <pullcast/network/names.hpp>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/keys.hpp>

namespace pullcast {
namespace {

struct Leaf {
    std::string path;
    Entry entry;
};

/// A table below this path holds further changes; elsewhere it is a value (a curve or map).
bool holds_changes(const std::string& path) {
    const auto words = path_words(path);
    return words.size() == 1 || (words.size() == 2 && words[1] == "parts");
}

void flatten(const Table& table, const std::string& prefix, std::vector<Leaf>& out) {
    for (const auto& e : table) {
        const auto path = prefix + e.key;
        if (e.value.table() && holds_changes(path)) flatten(*e.value.table(), path + ".", out);
        else out.push_back({path, e});
    }
}

std::string plain(const Value& v) { return v.text() ? *v.text() : to_text(v); }

class Changer {
public:
    Changer(RigTree& rig, const std::string& where, int layer, Diagnostics& d)
        : rig_(rig), where_(where), layer_(layer), d_(d) {}

    std::optional<Change> apply(const Leaf& leaf) {
        const auto words = path_words(leaf.path);
        auto* section = section_of(words[0]);
        if (!section) return report_unknown_component(leaf, words[0]);
        const bool part = words.size() == 3 && words[1] == "parts" && section != &rig_.procedure;
        if (!part && (words.size() != 2 || words[1] == "parts" || words[1].empty())) return report_path(leaf, words[0]);
        Setting s{words.back(), leaf.entry.place, leaf.entry.value, where_, layer_, false};
        const Setting* before = nullptr;
        for (const auto& known : part ? section->parts : section->settings)
            if (known.key == s.key) before = &known;
        Change change{leaf.path, before ? plain(before->value) : "", plain(s.value), false};
        if (!part) section->set(std::move(s));
        else if (before || is_new_slot(*section, leaf, s.key)) section->set_part(std::move(s));
        return change;
    }

private:
    Section* section_of(const std::string& name) {
        if (name == "common") return &rig_.common;
        return name == "procedure" ? &rig_.procedure : rig_.component(name);
    }
    std::optional<Change> report_unknown_component(const Leaf& leaf, const std::string& name) {
        std::vector<std::string> names;
        for (const auto& c : rig_.components) names.push_back(c.name);
        names.insert(names.end(), {"common", "procedure"});
        d_.error(leaf.entry.place, fmt::format("unknown component '{}' in {}", name, where_), suggestion(name, names));
        return {};
    }
    std::optional<Change> report_path(const Leaf& leaf, const std::string& name) {
        d_.error(leaf.entry.place, fmt::format("'{}' in {} is no setting", leaf.path, where_),
                 name == "procedure" ? "write \"procedure.key\""
                                     : fmt::format("write \"{0}.key\" or \"{0}.parts.slot\"", name));
        return {};
    }
    /// A slot that the rig does not have is fine unless it looks like a misspelt one: that would fit both parts.
    bool is_new_slot(const Section& section, const Leaf& leaf, const std::string& slot) {
        std::vector<std::string> slots;
        for (const auto& p : section.parts) slots.push_back(p.key);
        const auto near = nearest_name(slot, slots);
        if (near.empty()) return true;
        d_.error(leaf.entry.place, fmt::format("{} has no part '{}'", section.name, slot),
                 fmt::format("did you mean '{}'?", near));
        return false;
    }

    RigTree& rig_;
    const std::string& where_;
    int layer_;
    Diagnostics& d_;
};

}  // namespace

std::vector<std::string> path_words(const std::string& path) {
    std::vector<std::string> words{""};
    for (const char c : path)
        if (c == '.') words.emplace_back();
        else words.back() += c;
    return words;
}

std::vector<Change> apply_changes(RigTree& rig, const Table& table, const std::string& where, int layer,
                                  Diagnostics& d) {
    std::vector<Leaf> leaves;
    flatten(table, "", leaves);
    std::vector<Change> changes;
    Changer changer(rig, where, layer, d);
    for (const auto& leaf : leaves)
        if (auto change = changer.apply(leaf)) changes.push_back(std::move(*change));
    return changes;
}

}  // namespace pullcast

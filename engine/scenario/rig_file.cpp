#include <algorithm>
#include <fmt/format.h>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/rig_file.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;

void replace(std::vector<Setting>& all, Setting s) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const Setting& o) { return o.key == s.key; });
    if (at == all.end()) all.push_back(std::move(s));
    else *at = std::move(s);
}

void merge(Section& base, const Section& own) {
    if (own.place.line) base.place = own.place;
    for (const auto& s : own.settings) base.set(s);
    for (const auto& p : own.parts) base.set_part(p);
}

bool is_name(std::string_view text) {
    const auto good = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-'; };
    return !text.empty() && std::all_of(text.begin(), text.end(), good) && text != "common" && text != "procedure";
}

/// Reads a chain of rig files, the innermost `extends` first.
class RigFiles {
public:
    explicit RigFiles(Diagnostics& d) : d_(d) {}

    std::optional<RigTree> read(const fs::path& file, const Place& named_at) {
        const auto canonical = fs::weakly_canonical(file);
        if (std::find(chain_.begin(), chain_.end(), canonical) != chain_.end()) return report_cycle(file, named_at);
        const auto source = read_source(file, named_at, d_);
        const auto root = source ? parse_toml(source, d_) : std::nullopt;
        if (!root) return {};
        chain_.push_back(canonical), names_.push_back(source->name);
        auto tree = read_tree(*root, source);
        chain_.pop_back(), names_.pop_back();
        return tree;
    }

private:
    std::optional<RigTree> report_cycle(const fs::path& file, const Place& named_at) {
        d_.error(named_at, fmt::format("rigs extend each other in a circle: {} -> {}", fmt::join(names_, " -> "),
                                       file.lexically_normal().string()),
                 "remove one 'extends'");
        return {};
    }

    std::optional<RigTree> read_tree(const Value& root, const Source& source) {
        Keys keys(root, "a rig file", d_);
        RigTree base;
        if (const auto* e = keys.text("extends")) {
            auto parent = read(beside(e->value.place, *e->value.text()), e->value.place);
            if (!parent) return {};
            base = std::move(*parent);
            ++base.layer;
        }
        base.file = source->name, base.place = {source};
        base.title = keys.text_or("title", base.title), base.note = keys.text_or("note", base.note);
        merge_sections(base, keys);
        keys.finish();
        if (base.components.empty())
            d_.error({source}, "no components",
                     "a rig needs at least one [component.NAME] with model = \"family.type\"");
        return base;
    }

    void merge_sections(RigTree& base, Keys& keys) {
        base.common.name = "common", base.procedure.name = "procedure";
        if (const auto* e = keys.table("common")) merge(base.common, section("common", *e, "[common]", base.layer));
        if (const auto* e = keys.table("procedure"))
            merge(base.procedure, section("procedure", *e, "[procedure]", base.layer));
        const auto* components = keys.table("component");
        for (const auto& e : components ? *components->value.table() : Table{}) merge_component(base, e);
    }

    void merge_component(RigTree& base, const Entry& e) {
        if (!is_name(e.key)) {
            d_.error(e.place, fmt::format("'{}' cannot be a component's name", e.key),
                     e.key == "common"      ? "[common] is the table of shared values"
                     : e.key == "procedure" ? "[procedure] is the table of how a pull is run"
                                            : "use letters, digits, '_' and '-'");
        } else if (!e.value.table()) {
            d_.error(e.value.place, fmt::format("component '{}' must be a table, not {}", e.key, kind_of(e.value)),
                     fmt::format("write [component.{}]", e.key));
        } else {
            const auto own = section(e.key, e, fmt::format("[component.{}]", e.key), base.layer);
            if (auto* known = base.component(e.key)) merge(*known, own);
            else base.components.push_back(own);
        }
    }

    Section section(const std::string& name, const Entry& e, const std::string& where, int layer) {
        return read_section(name, e, where, layer, d_);
    }

    Diagnostics& d_;
    std::vector<fs::path> chain_;
    std::vector<std::string> names_;
};

}  // namespace

const Setting* Section::find(std::string_view key) const {
    const auto at = std::find_if(settings.begin(), settings.end(), [&](const Setting& s) { return s.key == key; });
    return at == settings.end() ? nullptr : &*at;
}
void Section::set(Setting s) { replace(settings, std::move(s)); }
void Section::set_part(Setting s) { replace(parts, std::move(s)); }

Section* RigTree::component(std::string_view wanted) {
    const auto at =
        std::find_if(components.begin(), components.end(), [&](const Section& s) { return s.name == wanted; });
    return at == components.end() ? nullptr : &*at;
}

Section read_section(const std::string& name, const Entry& e, const std::string& where, int layer, Diagnostics& d) {
    Section s{name, e.place, {}, {}};
    for (const auto& entry : *e.value.table()) {
        if (entry.key == "note") continue;
        if (entry.key != "parts") {
            s.set({entry.key, entry.place, entry.value, where, layer, false});
        } else if (!entry.value.table()) {
            d.error(entry.value.place,
                    fmt::format("'parts' in {} must be a table, not {}", where, kind_of(entry.value)),
                    "write parts = { slot = \"part's name\" }");
        } else {
            for (const auto& part : *entry.value.table())
                s.set_part({part.key, part.place, part.value, where, layer, false});
        }
    }
    return s;
}

std::optional<RigTree> read_rig(const fs::path& file, const Place& named_at, Diagnostics& diagnostics) {
    return RigFiles(diagnostics).read(file, named_at);
}

fs::path beside(const Place& named_at, const fs::path& path) {
    if (path.is_absolute()) return path.lexically_normal();
    return (fs::path(named_at.source->name).parent_path() / path).lexically_normal();
}

}  // namespace pullcast

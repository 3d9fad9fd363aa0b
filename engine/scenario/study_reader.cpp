#include <algorithm>
#include <cstddef>
#include <fmt/format.h>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/rig_binder.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// Files are named as they are reached from where the user stands.
class StudyReader {
public:
    explicit StudyReader(const Registry& registry) : registry_(registry) {}

    Study read(const fs::path& file) {
        const auto source = read_source(file, {}, d_);
        const auto root = source ? parse_toml(source, d_) : std::nullopt;
        d_.throw_if_failed();
        study_.file = source->name;
        if (is_part(*root))
            d_.error({source}, "is a part, not a study or a rig", "a rig takes it in: parts = { slot = \"NAME\" }");
        d_.throw_if_failed();
        if (is_study(*root)) read_study_file(*root);
        else read_rig_file(file);
        d_.throw_if_failed();
        for (const auto& d : d_.all()) study_.notes.push_back(render(d));
        return std::move(study_);
    }

private:
    static bool is_study(const Value& root) {
        for (const auto& e : *root.table())
            if (e.key == "component" || e.key == "extends") return false;
        for (const auto& e : *root.table())
            if (e.key == "rig" || e.key == "variant" || e.key == "conditions") return true;
        return false;
    }

    static bool is_part(const Value& root) {
        const auto& keys = *root.table();
        return std::any_of(keys.begin(), keys.end(), [](const Entry& e) { return e.key == "set"; });
    }

    void read_rig_file(const fs::path& file) {
        auto rig = read_rig(file, {}, d_);
        d_.throw_if_failed();
        study_.title = rig->title, study_.note = rig->note;
        read_procedure(rig->procedure);
        PartShelf shelf(fs::path(rig->file).parent_path(), d_);
        auto& v = study_.variants.emplace_back();
        v.name = study_.base = "as-is", v.title = rig->title;
        RigBinder(registry_, shelf, d_).bind(*rig, {}, v);
    }

    void read_study_file(const Value& root) {
        Keys keys(root, "a study file", d_);
        study_.title = keys.text_or("title"), study_.note = keys.text_or("note");
        study_.question = keys.text_or("question");
        const auto* rig_path = keys.required_text("rig", "path of the rig file");
        const auto* base = keys.text("base");
        const auto* conditions = keys.table("conditions");
        const auto* procedure = keys.table("procedure");
        const auto* variants = keys.table("variant");
        keys.finish();
        if (!variants || variants->value.table()->empty())
            d_.error(root.place, "no variants", "a study needs at least one [variant.NAME]");
        auto rig = rig_path
                       ? read_rig(beside(rig_path->value.place, *rig_path->value.text()), rig_path->value.place, d_)
                       : std::nullopt;
        if (!rig || !variants) return;
        read_procedure(procedure ? merged(rig->procedure, *procedure, rig->layer + 1) : rig->procedure);
        read_variants(*rig, conditions, *variants);
        choose_base(base);
    }

    Section merged(Section base, const Entry& own, int layer) {
        for (const auto& s : read_section("procedure", own, "[procedure]", layer, d_).settings) base.set(s);
        return base;
    }

    void read_procedure(const Section& section) {
        std::vector<Field> fields;
        Schema<Procedure> schema(fields);
        Procedure::describe(schema);
        std::vector<const Field*> all;
        for (const auto& f : fields) {
            all.push_back(&f);
            const auto* s = section.find(f.name);
            const auto value = s ? bind_value(f, "procedure", *s, d_) : ParameterValue(f.preset);
            if (value)
                *reinterpret_cast<double*>(reinterpret_cast<std::byte*>(&study_.procedure) + f.offset) =
                    std::get<double>(*value);
        }
        for (const auto& s : section.settings)
            if (std::none_of(all.begin(), all.end(), [&](const Field* f) { return s.key == f->name; }))
                d_.error(s.place, fmt::format("unknown key '{}' in [procedure]", s.key), field_suggestion(s.key, all));
        check_rows(section);
    }

    void check_rows(const Section& section) {
        constexpr double most = 1e6;
        const auto& p = study_.procedure;
        if (d_.failed() || p.longest / p.output_step <= most) return;
        const auto* s = section.find("output_step");
        d_.error((s ? s : section.find("longest"))->place,
                 fmt::format("{:.3g} output rows in {:g} s; at most {:g}", p.longest / p.output_step, p.longest, most),
                 "a larger output_step, or a smaller longest");
    }

    void read_variants(RigTree& rig, const Entry* conditions, const Entry& variants) {
        PartShelf shelf(fs::path(rig.file).parent_path(), d_);
        RigBinder binder(registry_, shelf, d_);
        const auto roles = binder.roles(rig);
        std::vector<Change> everywhere;
        if (conditions) everywhere = apply_changes(rig, *conditions->value.table(), "[conditions]", rig.layer + 1, d_);
        for (auto& change : everywhere) change.everywhere = true;
        for (const auto& e : *variants.value.table()) {
            auto& v = study_.variants.emplace_back();
            v.name = e.key, v.changes = everywhere;
            if (auto changed = rig; read_variant(e, changed, v)) binder.bind(changed, roles, v);
        }
    }

    /// Reads [variant.NAME] and applies its changes to `rig`.
    bool read_variant(const Entry& e, RigTree& rig, Variant& v) {
        const auto where = fmt::format("[variant.{}]", e.key);
        if (!e.value.table()) {
            d_.error(e.value.place, fmt::format("variant '{}' must be a table, not {}", e.key, kind_of(e.value)),
                     "write " + where);
            return false;
        }
        const auto odd = [](char c) { return static_cast<unsigned char>(c) < ' ' || c == '/' || c == 0x7f; };
        if (e.key.empty() || e.key[0] == '.' || std::any_of(e.key.begin(), e.key.end(), odd))
            d_.error(e.place, fmt::format("'{}' cannot name a variant: its results are a file of that name", e.key),
                     "use letters, digits, '-' and '_'");
        Keys keys(e.value, where, d_);
        v.title = keys.text_or("title", e.key);
        keys.text("note");
        const auto* set = keys.table("set");
        keys.finish();
        if (!set) return true;
        for (auto& change :
             apply_changes(rig, *set->value.table(), fmt::format("[variant.{}.set]", e.key), rig.layer + 2, d_))
            v.changes.push_back(std::move(change));
        return true;
    }

    void choose_base(const Entry* base) {
        study_.base = base ? *base->value.text() : study_.variants[0].name;
        std::vector<std::string> names;
        for (const auto& v : study_.variants) names.push_back(v.name);
        if (std::find(names.begin(), names.end(), study_.base) == names.end())
            d_.error(base->value.place, fmt::format("base = \"{}\" names no variant", study_.base),
                     suggestion(study_.base, names));
    }

    const Registry& registry_;
    Diagnostics d_;
    Study study_;
};

}  // namespace

void Procedure::describe(Schema<Procedure>& s) {
    s.number(&Procedure::settle, "settle", "s", "time at the start speed before the pull").in(0, 3600).preset(2);
    s.number(&Procedure::stop_speed, "stop_speed", "rad/s", "crank speed that ends the pull")
        .positive()
        .preset(680.678408277789);
    s.number(&Procedure::longest, "longest", "s", "the run ends here at the latest, from the pull's start")
        .in(0.001, 36000)
        .preset(60);
    s.number(&Procedure::output_step, "output_step", "s", "time between output rows").in(1e-5, 60).preset(0.02);
    s.number(&Procedure::tolerance, "tolerance", "1", "relative tolerance of the solution")
        .in(1e-10, 1e-3)
        .preset(1e-6);
}

Study read_study(const fs::path& file, const Registry& registry) { return StudyReader(registry).read(file); }

ScenarioError locate(const RigError& error, const Variant& variant) {
    std::vector<Diagnostic> all;
    for (const auto& p : error.problems) {
        auto at = variant.places.find(p.component + "." + p.key);
        if (at == variant.places.end()) at = variant.places.find(p.component);
        const Place place = at == variant.places.end() ? Place{} : at->second;
        const auto key = p.key.empty() ? "" : "." + p.key;
        const auto what = p.component.empty() ? "" : fmt::format("{}{}: ", p.component, key);
        all.push_back({Severity::error, place, what + p.message, p.hint, {}});
    }
    return ScenarioError(std::move(all));
}

}  // namespace pullcast

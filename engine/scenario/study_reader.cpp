#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/content_hash.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/knob_reader.hpp>
#include <pullcast/scenario/predict_reader.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/scenario/pull_table.hpp>
#include <pullcast/scenario/session_reader.hpp>
#include <pullcast/scenario/variant_maker.hpp>
#include <pullcast/scenario/turned_tables.hpp>
#include <pullcast/scenario/variant_table.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// A study that runs a rig as it is, as text beside the rig.
Source study_of_rig(const RigTree& rig) {
    const fs::path file(rig.file);
    const auto name = file.parent_path() / (file.stem().string() + "-study.toml");
    const auto text = fmt::format("title = {0}\nrig = {1}\n\n[variant.as-is]\ntitle = {0}\n", toml_string(rig.title),
                                  toml_string(file.filename().string()));
    return std::make_shared<const SourceFile>(SourceFile{name.string(), text});
}

/// Files are named as they are reached from where the user stands.
class StudyReader {
public:
    StudyReader(const Registry& registry, std::string only) : registry_(registry), only_(std::move(only)) {}

    Study read(const fs::path& file) { return read(read_source(file, {}, d_)); }

    Study read_text(const Source& text) {
        const auto name = fs::path(text->name).lexically_normal().string();
        d_.keep(std::make_shared<const SourceFile>(SourceFile{name, text->text}));
        return read(d_.kept(name));
    }

private:
    Study read(const Source& source) {
        const auto root = source ? parse_toml(source, d_) : std::nullopt;
        d_.throw_if_failed();
        study_.file = source->name, study_.source = source;
        if (is_part(*root))
            d_.error({source}, "is a part, not a study or a rig", "a rig takes it in: parts = { slot = \"NAME\" }");
        d_.throw_if_failed();
        if (is_study(*root)) read_study_file(*root);
        else read_rig_file(source->name);
        d_.throw_if_failed();
        for (const auto& d : d_.all()) study_.notes.push_back(render(d));
        study_.files = d_.files();
        study_.hash = content_hash(study_.files);
        return std::move(study_);
    }

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
        study_.source = study_of_rig(*rig);
        study_.procedure = read_procedure(rig->procedure, d_);
        PartShelf shelf(fs::path(rig->file).parent_path(), d_);
        auto& v = study_.variants.emplace_back();
        v.name = study_.base = "as-is", v.title = rig->title, v.procedure = study_.procedure;
        RigBinder(registry_, shelf, d_).bind(*rig, {}, v);
        check_only({v.name}, {study_.source});
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
        const auto* knobs = keys.table("knob");
        const auto* pulls = keys.table("pull");
        const auto* reference = keys.table("reference");
        const auto* fit = keys.table("fit");
        const auto* match = keys.table("match");
        const auto *choose = keys.table("choose"), *buy = keys.table("buy"), *meet = keys.table("meet");
        const auto* wish = keys.table("wish");
        const auto *session = keys.table("session"), *steps = keys.table("step"), *questions = keys.table("predict");
        TurnedTables turned(keys.find("turned"), d_);
        keys.finish();
        if (!variants || variants->value.table()->empty())
            d_.error(root.place, "no variants", "a study needs at least one [variant.NAME]");
        auto rig = rig_path
                       ? read_rig(beside(rig_path->value.place, *rig_path->value.text()), rig_path->value.place, d_)
                       : std::nullopt;
        if (!rig || !variants || variants->value.table()->empty()) return;
        if (procedure) merge_procedure(*rig, *procedure);
        study_.procedure = read_procedure(rig->procedure, d_);
        PartShelf shelf(fs::path(rig->file).parent_path(), d_);
        RigBinder binder(registry_, shelf, d_);
        const auto roles = binder.roles(*rig);
        VariantTable table(*variants, d_);
        check_only(table.names(), root.place);
        const auto trees = read_variants(*rig, conditions, table, turned, binder, roles);
        choose_base(base, table.names());
        if (!only_.empty()) return;
        if (fit) study_.fit = fit->value;
        if (match) study_.match = match->value;
        if (choose) study_.choose = choose->value;
        if (buy) study_.buy = buy->value;
        if (meet) study_.meet = meet->value;
        if (wish) study_.wish = wish->value;
        study_.unbound = std::make_shared<const UnboundVariants>(UnboundVariants{trees, roles});
        if (pulls) read_pulls(*pulls, trees, table.names(), binder, roles);
        if (reference) study_.reference = bind_all(reference, "[reference]", trees, binder, roles);
        read_session(session, steps, turned, [&](const Entry* set, const std::string& where) {
            return bind_all(set, where, trees, binder, roles);
        });
        if (questions) read_questions(*questions, table.names());
        if (knobs) study_.knobs = KnobReader(registry_, shelf, roles, study_, trees, base_index(), d_).read(*knobs);
    }

    void read_session(const Entry* session, const Entry* steps, TurnedTables& turned, SessionReader::Bind bind) {
        if (steps && !session) d_.error(steps->place, "[step.NAME] without [session]", "[session] gives their order");
        auto own = steps ? std::optional(*steps) : std::nullopt;
        turned.apply(own ? &*own : nullptr);
        if (session && !d_.failed())
            study_.session = SessionReader(std::move(bind), d_).read(*session, own ? &*own : nullptr);
    }

    void read_questions(const Entry& questions, const std::vector<std::string>& variants) {
        if (study_.session)
            study_.questions = PredictReader(*study_.session, variants, base_index(), d_).read(questions);
        else if (!d_.failed())
            d_.error(questions.place, "[predict.NAME] without [session]", "questions are about the pulls of a session");
    }

    void merge_procedure(RigTree& rig, const Entry& own) {
        for (const auto& s : read_section("procedure", own, "[procedure]", rig.layer + 1, d_).settings)
            rig.procedure.set(s);
    }

    /// The rigs of the variants, with their changes.
    std::vector<RigTree> read_variants(RigTree& rig, const Entry* conditions, VariantTable& table,
                                       const TurnedTables& turned, RigBinder& binder, const RigBinder::Roles& roles) {
        std::vector<Change> everywhere;
        if (conditions) everywhere = apply_changes(rig, *conditions->value.table(), "[conditions]", rig.layer + 1, d_);
        for (auto& change : everywhere) change.everywhere = true;
        std::vector<RigTree> trees;
        for (const auto& name : table.names()) {
            if (!only_.empty() && name != only_) continue;
            auto& v = study_.variants.emplace_back();
            v.changes = everywhere;
            auto& changed = trees.emplace_back(rig);
            if (!table.apply(name, changed, v)) continue;
            for (auto& change : apply_changes(changed, turned.everywhere(), TurnedTables::where,
                                              turned_layer(rig, table.names().size()), d_)) {
                change.everywhere = true;
                v.changes.push_back(std::move(change));
            }
            binder.bind(changed, roles, v);
            v.procedure = read_procedure(changed.procedure, d_);
        }
        return trees;
    }

    /// What was turned stands above all variants; changes of a pull, a step or of the reference above that.
    static int turned_layer(const RigTree& rig, std::size_t variants) {
        return rig.layer + 2 + static_cast<int>(variants);
    }
    static int top_layer(const RigTree& rig, std::size_t variants) { return turned_layer(rig, variants) + 1; }

    /// `set` may be null: no changes.
    void bind_changed(RigTree rig, const Entry* set, const std::string& where, RigBinder& binder,
                      const RigBinder::Roles& roles, Variant& out) {
        if (set)
            for (auto& change :
                 apply_changes(rig, *set->value.table(), where, top_layer(rig, study_.variants.size()), d_))
                out.changes.push_back(std::move(change));
        binder.bind(rig, roles, out);
        out.procedure = read_procedure(rig.procedure, d_);
    }

    void read_pulls(const Entry& pulls, const std::vector<RigTree>& trees, const std::vector<std::string>& names,
                    RigBinder& binder, const RigBinder::Roles& roles) {
        for (auto& [pull, set] : read_pull_table(pulls, names, d_)) {
            const auto of = static_cast<std::size_t>(std::find(names.begin(), names.end(), pull.of) - names.begin());
            pull.variant.changes = study_.variants[of].changes;
            bind_changed(trees[of], set, fmt::format("[pull.{}.set]", pull.variant.name), binder, roles, pull.variant);
            study_.pulls.push_back(std::move(pull));
        }
    }

    /// All variants under further changes.
    std::vector<Variant> bind_all(const Entry* set, const std::string& where, const std::vector<RigTree>& trees,
                                  RigBinder& binder, const RigBinder::Roles& roles) {
        std::vector<Variant> all;
        for (std::size_t k = 0; k < trees.size(); ++k) {
            const auto& own = study_.variants[k];
            auto& v = all.emplace_back();
            v.name = own.name, v.title = own.title, v.changes = own.changes;
            bind_changed(trees[k], set, where, binder, roles, v);
        }
        return all;
    }

    void check_only(const std::vector<std::string>& names, const Place& file) {
        if (!only_.empty() && std::find(names.begin(), names.end(), only_) == names.end())
            d_.error(file, fmt::format("no variant {}", toml_string(only_)), suggestion(only_, names));
    }

    void choose_base(const Entry* base, const std::vector<std::string>& names) {
        study_.base = base ? *base->value.text() : names[0];
        if (std::find(names.begin(), names.end(), study_.base) == names.end())
            d_.error(base->value.place, fmt::format("base = \"{}\" names no variant", study_.base),
                     suggestion(study_.base, names));
        if (!only_.empty()) study_.base = only_;
    }

    std::size_t base_index() const {
        for (std::size_t k = 0; k < study_.variants.size(); ++k)
            if (study_.variants[k].name == study_.base) return k;
        return 0;
    }

    const Registry& registry_;
    std::string only_;
    Diagnostics d_;
    Study study_;
};

}  // namespace

Study read_study(const fs::path& file, const Registry& registry) { return StudyReader(registry, {}).read(file); }

Study read_study(const Source& text, const Registry& registry, const std::string& only) {
    return StudyReader(registry, only).read_text(text);
}

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

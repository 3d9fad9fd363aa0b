#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/scenario/session_reader.hpp>
#include <pullcast/scenario/variant_maker.hpp>

namespace pullcast {
namespace {

/// Above all layers that a study's own files have.
constexpr int made_layer = 1'000'000;

std::filesystem::path rig_folder(const Study& study) {
    return std::filesystem::path(study.unbound->trees.at(0).file).parent_path();
}

}  // namespace

VariantMaker::Tools::Tools(const Study& study, const Registry& registry)
    : shelf(rig_folder(study), d), binder(registry, shelf, d) {}

VariantMaker::VariantMaker(const Study& study, const Registry& registry) : study_(study), registry_(registry) {}

Variant VariantMaker::make(std::size_t variant, const Table& changes, std::optional<std::size_t> step) {
    if (!tools_ || tools_->d.failed()) tools_ = std::make_unique<Tools>(study_, registry_);
    auto& d = tools_->d;
    const auto& like = study_.variants[variant];
    RigTree tree = study_.unbound->trees[variant];
    Variant v;
    v.name = like.name, v.title = like.title, v.changes = like.changes;
    const auto apply = [&](const Table& table, const std::string& where, int layer) {
        for (auto& change : apply_changes(tree, table, where, layer, d)) v.changes.push_back(std::move(change));
    };
    apply(changes, "what is tried", made_layer);
    if (step)
        if (const auto& set = study_.session->steps[*step].set)
            apply(*set->value.table(), "[step." + study_.session->steps[*step].name + ".set]", made_layer + 1);
    tools_->binder.bind(tree, study_.unbound->roles, v);
    v.procedure = read_procedure(tree.procedure, d);
    d.throw_if_failed();
    if (step) set_controls(v.rig, study_.session->steps[*step].kind);
    return v;
}

}  // namespace pullcast

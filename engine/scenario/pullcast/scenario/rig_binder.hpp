/// From a rig's settings and parts to a variant with validated values.
#pragma once
#include <pullcast/scenario/fitting.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <set>

namespace pullcast {

class RigBinder {
public:
    using Roles = std::map<std::string, std::string>;  // component -> role

    RigBinder(const Registry& registry, PartShelf& shelf, Diagnostics& d);

    Roles roles(const RigTree& tree);

    /// Fills the variant's rig, parts, shared values and places. `before` are the roles that the rig has without the
    /// study's changes: a model can only be swapped for another one of its role.
    void bind(const RigTree& tree, const Roles& before, Variant& out);

private:
    void find_model(FittedSection& f);
    void check_role(FittedSection& f, const Roles& before);
    void check_part_roles(const FittedSection& f);
    ComponentSpec bind_component(const FittedSection& f, Variant& out);
    void bind_from_common(const Field& field, const FittedSection& f, ComponentSpec& spec, Variant& out);
    void check_key(const FittedSection& f, const Setting& s);
    const ComponentType* other_model_with(const FittedSection& f, std::string_view key) const;
    void report_missing(const FittedSection& f, const Field& field);
    void check_common(const std::vector<FittedSection>& components, Variant& out);
    void report_unused(const Setting& s, bool could_be_used);
    void list_parts(const FittedSection& f, Variant& out);

    const Registry& registry_;
    PartShelf& shelf_;
    Diagnostics& d_;
    std::vector<Field> shared_fields_;  // one for each common key of any registered model, under that name
    FittedSection common_;              // of the rig being bound
    std::set<std::string> used_;        // its keys that a component took
};

}  // namespace pullcast

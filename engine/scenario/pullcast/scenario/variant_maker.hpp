/// Variants of a study that has been read, with further values: what a sweep runs, thousands of times.
#pragma once
#include <memory>
#include <pullcast/scenario/rig_binder.hpp>

namespace pullcast {

/// A study's variants before they are bound, kept for makers.
struct UnboundVariants {
    std::vector<RigTree> trees;  // in the order of the study's variants
    RigBinder::Roles roles;
};

/// Binds variants with changes on top. One a thread: it reads parts' files when it first needs them, each once.
class VariantMaker {
public:
    /// Both must outlive it.
    VariantMaker(const Study& study, const Registry& registry);

    /// A variant by its index with `changes` (keys are paths, as in [variant.NAME.set]) and, with the index of a step of
    /// the session, that step's settings above them. Throws ScenarioError; what is made next does not depend on that.
    Variant make(std::size_t variant, const Table& changes, std::optional<std::size_t> step = {});

private:
    struct Tools {
        Tools(const Study& study, const Registry& registry);
        Diagnostics d;
        PartShelf shelf;
        RigBinder binder;
    };

    const Study& study_;
    const Registry& registry_;
    std::unique_ptr<Tools> tools_;  // made anew after an error, which they would tell again
};

}  // namespace pullcast

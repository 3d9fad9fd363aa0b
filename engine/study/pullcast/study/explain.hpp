/// Why one variant differs from another: the change of each figure split among its causes by Shapley values over real
/// pulls. Every mixture of the two variants is run once.
#pragma once
#include <atomic>
#include <pullcast/study/causes.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast {

/// Two to the power of this many pulls are run at most.
inline constexpr std::size_t most_causes = 10;

/// One figure of both variants and what each cause has to do with it; a share a cause, in their order.
struct ExplainedFigure {
    const Figure* figure;
    double from, to;            // SI
    std::vector<Share> shares;  // their values add up to to - from, but for rounding
};

struct Explanation {
    std::vector<Cause> causes;
    std::vector<ExplainedFigure> figures;
    std::vector<const Figure*> not_there;  // asked for, but the rig has no such figure
    std::size_t pulls = 0;
};

/// The figures that are explained where none are asked for.
std::vector<const Figure*> usual_figures();

/// Runs all mixtures of the two variants, on so many threads; the result does not depend on their number. Throws
/// ScenarioError where there are too many causes or a mixture's rig cannot be compiled, SolveError where its pull
/// fails, in the causes' names, and Interrupted.
Explanation explain(const Variant& from, const Variant& to, std::vector<Cause> causes,
                    const std::vector<const Figure*>& figures, unsigned threads,
                    const std::atomic<bool>* interrupt = nullptr);

}  // namespace pullcast

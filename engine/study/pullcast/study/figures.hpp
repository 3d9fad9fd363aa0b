/// The figures of a pull that people compare. One table: terminal, JSON and comparison read it.
#pragma once
#include <pullcast/study/pull_view.hpp>
#include <span>

namespace pullcast {

struct Figure {
    const char *key, *label, *group;
    const char *unit, *quantity;  // SI unit, and the name that chooses a display unit
    int decimals;
    const char* doc;
    double (*compute)(const PullView&);  // NaN: the rig does not have it
};
std::span<const Figure> figures();

/// The figure is judged after the pull (PullPlan::review).
bool is_reviewed(const Figure& figure);

/// The report point where a knock model leaves least margin once boost is there: the figures of knock are read at that of
/// the first model. A second one is a second opinion. Nothing where the rig has no such model.
std::optional<std::size_t> worst_knock(const PullView& view, std::size_t model = 0);

/// The factor of a correction standard at the pull's ambient state, with what to say about its range.
struct AppliedCorrection {
    double factor;
    bool in_range;
    const char* note;
};
enum class Standard { none, sae_j1349, iso_1585 };
AppliedCorrection correction(const PullView& view, Standard standard);

/// When the throttle opens the manifold is still filling: boost "at the start" is read this long after.
inline constexpr double boost_settles = 0.5;  // s

}  // namespace pullcast

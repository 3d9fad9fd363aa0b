/// The quantities over a pull that people look at, and which of them are read together. Pages draw one plot for each that is no
/// other's edge.
#pragma once
#include <pullcast/study/pull_view.hpp>
#include <span>

namespace pullcast {

struct PullCurve {
    const char *key, *label;
    const char *unit, *quantity;  // SI unit, and the name that chooses a display unit
    int decimals;
    const char* doc;
    /// One value a report point, SI, NaN where nothing is said; empty where the rig has no such thing.
    std::vector<double> (*compute)(const PullView&);
    /// Key of the curve that is drawn with it, as the other edge of a band; null: none.
    const char* band = nullptr;
};
std::span<const PullCurve> curves();

struct Chart {
    const char *key, *title, *doc;
    std::vector<const char*> curves;  // keys, without those of edges
};
const std::vector<Chart>& charts();

}  // namespace pullcast

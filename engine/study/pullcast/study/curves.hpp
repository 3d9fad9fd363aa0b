/// The quantities over a pull that people look at, and which of them are read together. Pages draw one plot for each.
#pragma once
#include <pullcast/study/pull_view.hpp>
#include <span>

namespace pullcast {

struct PullCurve {
    const char *key, *label;
    const char *unit, *quantity;  // SI unit, and the name that chooses a display unit
    int decimals;
    const char* doc;
    /// One value a report point, SI; empty where the rig has no such thing.
    std::vector<double> (*compute)(const PullView&);
};
std::span<const PullCurve> curves();

struct Chart {
    const char *key, *title, *doc;
    std::vector<const char*> curves;  // keys
};
const std::vector<Chart>& charts();

}  // namespace pullcast

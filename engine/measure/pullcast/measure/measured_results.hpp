/// All that is said of a study's measured pulls: the fit, the parts under the same conditions, a change split by cause.
#pragma once
#include <pullcast/measure/matching.hpp>
#include <pullcast/measure/measured_study.hpp>
#include <pullcast/study/explain_words.hpp>

namespace pullcast::measure {

/// The change between two pulls as the fitted rig has it, and what was measured of the same figures.
struct PullsExplained {
    Variant from, to;  // the pulls, with fitted values
    Explanation explanation;
    struct Measured {
        const Figure* figure;
        double from, to;  // SI
    };
    std::vector<Measured> measured;
};

struct MeasuredResults {
    const MeasuredStudy& measured;
    MeasuredFit fit;
    std::vector<Comparison> comparisons;
    std::optional<PullsExplained> explained;
    std::string not_explained;  // why a mixture of the two pulls could not be run; then there is no explanation
};

/// The fit, and with `match` all that follows from it. `measured` must outlive the results. Throws as fit_pulls, match
/// and explain do.
MeasuredResults judge_pulls(const MeasuredStudy& measured, bool match, unsigned threads,
                            const std::atomic<bool>* interrupt = nullptr);

}  // namespace pullcast::measure

/// Which of several uncertain inputs moves a result most: variance-based indices (Sobol 1993; Saltelli et al. 2010).
#pragma once
#include <pullcast/choose/sampling.hpp>
#include <span>

namespace pullcast::choose {

/// The design: `base` points A, `base` points B, and for each input j `base` points that are A with input j of B;
/// base * (inputs + 2) rows in that order. A and B are the two halves of one Sobol sequence's coordinates. Best where
/// `base` is a power of two. Throws std::invalid_argument unless `base` >= 1 and `inputs` is 1 to 32.
Points sensitivity_design(std::size_t base, std::size_t inputs, std::uint64_t seed);

/// Shares of a result's variance. first: what fixing this input alone would take away on average; total: what would
/// remain if all others were fixed. Estimates: a first share near 0 may come out slightly negative. Low and high hold
/// 90 % of 999 resamplings of the rows (percentile bootstrap): for rows drawn at random nine in ten such intervals hold
/// the truth; Sobol points are evener than that, and theirs are on the wide side.
struct Sensitivity {
    struct Share {
        double value = 0, low = 0, high = 0;
    };
    Share first, total;
};

/// One an input, from the results of the design's rows. First by Saltelli et al. (2010), total by Jansen (1999). All
/// shares are 0 where the results do not vary. A result that is not finite, or a wrong count, is std::invalid_argument.
std::vector<Sensitivity> sensitivities(std::span<const double> results, std::size_t inputs, std::uint64_t seed);

}  // namespace pullcast::choose

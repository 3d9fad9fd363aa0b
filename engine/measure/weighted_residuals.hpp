/// The residuals and slopes that least squares works with: over accuracies, and bent by the loss so that their squares
/// are what is minimised.
#pragma once
#include <pullcast/measure/least_squares.hpp>

namespace pullcast::measure {

std::size_t residual_count(const Block& block);

/// Evaluates a block: `plain` over accuracies, `bent` = sign(r) sqrt(rho(r^2)), and d bent / d unknown in `slopes`,
/// which may be null. Throws what the block throws, and std::domain_error where a residual is not a finite number.
void weighted_residuals(const Block& block, const LeastSquaresOptions& options, std::span<const double> values,
                        std::span<double> plain, std::span<double> bent, double* slopes);

/// How residuals of each series follow each other.
std::vector<SeriesFit> judge_series(const Block& block, std::span<const double> plain);

}  // namespace pullcast::measure

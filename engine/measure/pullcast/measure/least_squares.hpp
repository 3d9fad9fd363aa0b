/// Nonlinear least squares with what a user needs to judge the result: how well each unknown is known, what cannot be
/// told apart, whether the residuals look like noise.
///
/// Minimised is  sum rho((r_i / accuracy_i)^2) + sum ((u_j - mean_j) / deviation_j)^2  within bounds, by Levenberg and
/// Marquardt with exact Jacobians (Ceres). rho is the identity, or tames outliers beyond `loss_scale` accuracies:
///     Huber   rho(s) = 2 c sqrt(s) - c^2  for s > c^2        Cauchy   rho(s) = c^2 log(1 + s / c^2)
#pragma once
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast::measure {

/// What is known of an unknown beforehand.
struct Prior {
    double mean, deviation;
};

struct Unknown {
    std::string name;
    double start;
    double lo = -std::numeric_limits<double>::infinity(), hi = std::numeric_limits<double>::infinity();
    std::optional<Prior> prior{};
    /// An error of an instrument, whose prior is its calibration: that counts as measured, and nobody asks to know it.
    bool instrument = false;
};

/// A measured series: one accuracy (standard deviation, in the residual's unit) a point.
struct Series {
    std::string name;
    std::vector<double> accuracy;
};

/// Residuals that are computed together: the points of its series, one series after the other.
struct Block {
    std::vector<std::size_t> unknowns;  // that it depends on, as indices; none twice
    std::vector<Series> series;
    /// Computed less measured; `slopes` by residual and unknown of the block, or null where not wanted. Called from
    /// several threads for different blocks. May throw: the step that led there is then taken back.
    std::function<void(std::span<const double> values, std::span<double> residuals, double* slopes)> evaluate;
};

struct LeastSquaresOptions {
    enum class Loss { squares, huber, cauchy };
    Loss loss = Loss::squares;
    double loss_scale = 3;
    /// True: deviations follow from the stated accuracies. False: these are relative weights, and the scatter of the
    /// residuals sets the deviations.
    bool known_accuracy = true;
    /// Accuracies allow for residuals that go together with their neighbours': no warning of it is needed.
    bool neighbours_allowed_for = false;
    double tolerance = 1e-10;  // of the sum, relative; an integrated model cannot give much more than its own
    int most_steps = 200;
    unsigned threads = 1;
};

struct Estimate {
    std::string name;
    double value;
    double deviation;  // standard deviation; 0 at a bound, infinite where nothing tells
    bool at_bound = false;
};

/// The residuals of a series over their accuracies.
struct SeriesFit {
    std::string name;
    std::size_t points;
    double rms;
    double lag_correlation;   // of neighbours; 0 for noise
    double durbin_watson;     // 2 for noise, towards 0 where neighbours go together
    double effective_points;  // n (1 - r) / (1 + r) for r > 0
};

/// Two unknowns of which what was measured tells a combination better than each: were the instruments' errors known,
/// they would correlate by more than 0.8. Without priors.
struct Leaning {
    std::size_t a, b;
    double correlation;
};

struct LeastSquaresResult {
    bool converged = false;
    std::string stopped;  // why, in words
    int steps = 0;
    std::vector<Estimate> estimates;
    std::vector<double> covariance;  // by pair of unknowns; rows at a bound are 0
    double sum_of_squares = 0;       // of residuals over accuracies and of priors, before rho
    double residual_deviation = 0;   // its root over degrees of freedom; 0 without any
    double condition = 0;            // of the Jacobian, priors included, columns scaled to unit length
    std::vector<SeriesFit> series;
    std::vector<Leaning> leaning;
    std::vector<std::string> warnings;

    double correlation(std::size_t a, std::size_t b) const;
};

/// The model cannot be computed where the search is to start.
struct FitError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Throws std::invalid_argument for unknowns, bounds, priors or accuracies that make no sense, in names, and FitError.
LeastSquaresResult least_squares(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks,
                                 const LeastSquaresOptions& options = {});

}  // namespace pullcast::measure

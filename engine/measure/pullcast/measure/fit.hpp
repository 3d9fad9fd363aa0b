/// Fits parameters of a rig to measured pulls: each pull is a variant of the rig run by its own procedure, a parameter
/// is shared by the pulls that name it, and the Jacobian is exact (solve/pull_directions.hpp).
#pragma once
#include <pullcast/measure/least_squares.hpp>
#include <pullcast/solve/parameter.hpp>
#include <pullcast/solve/pull.hpp>

namespace pullcast::measure {

/// Where a parameter stands in the rigs, and what is known of it. Its start, bounds and prior are values as in
/// `value_of`: SI numbers, or factors on what stands in each rig.
struct FitParameter {
    Parameter parameter;
    double start;
    double lo = -std::numeric_limits<double>::infinity(), hi = std::numeric_limits<double>::infinity();
    std::optional<Prior> prior{};
};

/// What was measured of one channel of the rig.
struct MeasuredChannel {
    std::string channel;                      // as the network names it: "manifold.gas.p"
    std::vector<double> at, value, accuracy;  // s since the throttle opened, or rad/s of the crank, rising; SI
};

struct MeasuredPull {
    enum class Over { time, speed };

    std::string name;
    RigSpec rig;
    PullPlan plan;  // settling, report step and tolerance; where the pull ends follows from what was measured
    Over over = Over::time;
    std::vector<MeasuredChannel> measured;
    std::vector<std::size_t> parameters;  // of the fit's, that act on this pull
};

struct FitResult {
    LeastSquaresResult solution;                             // series named "pull: channel"
    std::vector<std::vector<std::vector<double>>> computed;  // by pull, by channel, as measured
};

/// A pull's channels at a set of values of its parameters, one series after the other; `slopes` by point and parameter,
/// or null. Between report points linearly; over speed, where the crank first reaches it. Throws as run_pull does.
void compute(const MeasuredPull& pull, const std::vector<FitParameter>& parameters, std::span<const double> values,
             std::span<double> computed, double* slopes);

/// Pulls are computed side by side on options.threads; options.tolerance is ten times that of the pulls at least, whose
/// own noise would otherwise keep the search going. Throws std::invalid_argument in names for what does not fit
/// together, as least_squares does otherwise, and Interrupted.
FitResult fit(const std::vector<FitParameter>& parameters, const std::vector<MeasuredPull>& pulls,
              LeastSquaresOptions options);

}  // namespace pullcast::measure

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

/// An error that readings have in common, in every pull that names it: so many times `size` at each point, SI. That
/// number is fitted too, and expected to be 0 with a deviation of 1.
struct SharedError {
    std::string name;
    std::vector<double> size;
};

/// What was measured of one channel of the rig.
struct MeasuredChannel {
    std::string channel;                      // as the network names it: "manifold.gas.p"
    std::vector<double> at, value, accuracy;  // s since the throttle opened, or rad/s of the crank, rising; SI
    std::vector<SharedError> errors{};
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
    LeastSquaresResult solution;      // series named "pull: channel"; shared errors behind the parameters
    std::vector<std::string> errors;  // names of the shared ones, in the order of the unknowns
    std::vector<std::vector<std::vector<double>>> computed;  // by pull, by channel, as measured: shared errors in it
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

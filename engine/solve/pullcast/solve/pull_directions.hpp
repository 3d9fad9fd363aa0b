/// A pull with its exact derivatives along parameters of the rig: states and directions advance together under one
/// error control.
#pragma once
#include <pullcast/solve/directions.hpp>
#include <pullcast/solve/pull.hpp>

namespace pullcast {

/// Derivatives are taken at fixed times, those of the report points. Where a value is read at a speed of the crank
/// instead, with v and the speed w as channels of the same pull,
///     dv/dp at the speed = dv/dp - (dv/dt) / (dw/dt) dw/dp .
/// The last report point is where the stop speed was reached; how that time moves is `stop_time`.
struct DirectedPull {
    Pull pull;
    std::vector<std::size_t> channels;  // that derivatives were asked for, columns of the pull
    std::size_t parameters = 0;
    std::vector<double> slopes;     // by point, channel, parameter: per unit of the parameter
    std::vector<double> stop_time;  // s per unit, by parameter; 0 where the pull ends at a time

    double slope(std::size_t point, std::size_t channel, std::size_t parameter) const {
        return slopes[(point * channels.size() + channel) * parameters + parameter];
    }
};

/// Runs a pull, and once more for each further eight parameters. A channel that is judged after the pull (`review`) has
/// no derivatives: they are NaN. Throws as run_pull does, and std::invalid_argument for a stock solver.
DirectedPull run_pull(const Directions& directions, const PullPlan& plan, std::vector<std::size_t> channels);

}  // namespace pullcast

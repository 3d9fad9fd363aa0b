#include <pullcast/solve/direction_system.hpp>
#include <pullcast/solve/pull_directions.hpp>

#include "pull_course.hpp"

namespace pullcast {

namespace {

/// Directions are carried scaled, so that they have their state's unit and may have its tolerance.
std::vector<double> tolerances(const Network& network, double relative) {
    std::vector<double> all;
    for (const double atol : absolute_tolerances(network, relative))
        all.insert(all.end(), DirectionSystem::group, atol);
    return all;
}

class Run {
    const Directions& directions_;
    const PullPlan& plan_;
    DirectedPull& result_;

public:
    Run(const Directions& directions, const PullPlan& plan, DirectedPull& result)
        : directions_(directions), plan_(plan), result_(result) {}

    /// Directions from `first` on, as many as have a lane. The first such run gives the pull itself as well; the others
    /// go on until its end, so that their report points are the same.
    void along(std::size_t first) {
        const Network& network = directions_.network();
        auto stop = stop_rule(network, plan_.stop_speed);
        PullPlan plan = plan_;
        if (first > 0) plan.longest = result_.pull.time.back();
        if (first > 0 && stop) stop->threshold = std::numeric_limits<double>::max();
        DirectionSystem system(directions_, first, stop);
        Integrator integrator(
            system,
            {.rtol = plan.tolerance, .atol = tolerances(network, plan.tolerance), .max_step = plan.longest_step});
        std::vector<double> x(system.size());
        system.start(x.data());
        Pull pull;
        Recorder recorder(network, system.rig(), plan, system.values(x.data()), pull);
        std::size_t points = 0;
        const bool reached =
            run_course(stop_times(network, plan), plan, integrator, x, [&](double t, const double* at) {
                if (first == 0) recorder.add(t, system.values(at));
                take(system, first, points++, t, at);
            });
        if (first == 0) {
            pull.reached_stop_speed = reached;
            recorder.finish(system.values(x.data()), integrator.statistics());
            result_.pull = std::move(pull);
        }
        if (result_.pull.reached_stop_speed) take_stop(system, first, result_.pull.time.back(), x.data());
    }

private:
    double unscaled(double slope, std::size_t parameter) const { return slope / directions_.scale(parameter); }

    void take(DirectionSystem& system, std::size_t first, std::size_t point, double t, const double* x) {
        const auto width = result_.channels.size() * result_.parameters;
        std::vector<double> slopes(result_.channels.size() * system.lanes());
        system.record(t, x, result_.channels, slopes.data());
        if (result_.slopes.size() < (point + 1) * width) result_.slopes.resize((point + 1) * width);
        for (std::size_t c = 0; c < result_.channels.size(); ++c)
            for (std::size_t k = 0; k < system.lanes(); ++k)
                result_.slopes[point * width + c * result_.parameters + first + k] =
                    unscaled(slopes[c * system.lanes() + k], first + k);
    }

    void take_stop(DirectionSystem& system, std::size_t first, double t, const double* x) {
        std::vector<double> along(system.lanes());
        double along_time = 0;
        system.stop_slopes(t, x, along.data(), along_time);
        for (std::size_t k = 0; k < along.size(); ++k)
            result_.stop_time[first + k] = -unscaled(along[k], first + k) / along_time;
    }
};

}  // namespace

DirectedPull run_pull(const Directions& directions, const PullPlan& plan, std::vector<std::size_t> channels) {
    if (plan.stock_solver) throw std::invalid_argument("a pull with directions needs our own solver");
    DirectedPull result;
    result.channels = std::move(channels);
    result.parameters = directions.size();
    result.stop_time.assign(directions.size(), 0.0);
    Run run(directions, plan, result);
    std::size_t first = 0;
    do run.along(first);
    while ((first += dual_width) < directions.size());
    return result;
}

}  // namespace pullcast

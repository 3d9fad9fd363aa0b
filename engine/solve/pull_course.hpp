/// What all kinds of pulls share: where the integrator stops and starts anew, report points, books.
#pragma once
#include <algorithm>
#include <limits>
#include <pullcast/solve/pull.hpp>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

std::vector<double> absolute_tolerances(const Network& network, double relative);
/// Times at which the integrator starts anew, and the end.
std::vector<double> stop_times(const Network& network, const PullPlan& plan);

/// Fills a pull in; states are given as the network holds them.
class Recorder {
    const Network& network_;
    RigSystem& system_;
    Pull& pull_;
    Stock before_;
    bool review_;
    std::optional<double> worst_from_;

public:
    Recorder(const Network& network, RigSystem& system, const PullPlan& plan, const double* start, Pull& pull);
    void add(double t, const double* x);
    /// Lets the components judge the pull, where the plan says so, and closes its books.
    void finish(const double* x, const Integrator::Statistics& statistics);
};

/// Runs from `x` at the start of settling to the end of the pull, which it leaves in `x`; `report(t, x)` at each report
/// point and at the end. True: the stop speed was reached.
template <class Report>
bool run_course(const std::vector<double>& stops, const PullPlan& plan, Integrator& integrator, std::vector<double>& x,
                Report&& report) {
    std::vector<double> at(x.size());
    std::size_t next = 0;
    double t = -plan.settle, last = -std::numeric_limits<double>::infinity();
    const auto add = [&](double time, const double* state) {
        if (time <= last) return;
        report(last = time, state);
    };
    auto end = Integrator::Stop::reached;
    for (auto stop = stops.begin(); stop != stops.end() && end != Integrator::Stop::crossing; ++stop) {
        integrator.start(t, x.data());
        if (t == 0) add(0, x.data()), next = 1;
        end = integrator.advance(*stop, [&](double reached) {
            if (plan.interrupt && *plan.interrupt) throw Interrupted();
            if (reached <= 0) return;
            for (double due; (due = static_cast<double>(next) * plan.output_step) <= reached; ++next) {
                integrator.interpolate(due, at.data());
                add(due, at.data());
            }
        });
        t = integrator.time();
        std::copy_n(integrator.state(), x.size(), x.data());
    }
    add(t, x.data());
    return end == Integrator::Stop::crossing;
}

}  // namespace pullcast

// Figures on the demo study: one full pull, and the program from start to finish.
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/solve/pull.hpp>

#include "component/allocation_count.hpp"
#include "figure.hpp"

namespace pullcast::bench {
namespace {

const std::string study_file = std::string(PULLCAST_SOURCE) + "/scenarios/studies/pulley-or-core.toml";

/// The whole run, settling included, with 400 report points over the pull; what the knock models add is told apart.
int full_pull(const Study& study) {
    const auto& p = study.procedure;
    const Network network(study.variants.front().rig);
    PullPlan plan{.settle = p.settle, .stop_speed = p.stop_speed, .longest = p.longest, .output_step = p.output_step};
    plan.tolerance = 1e-6;
    const double duration = run_pull(network, plan).time.back();
    plan.output_step = duration / 400;
    Pull once = run_pull(network, plan);
    const auto [whole, knock] =
        compare([&] { run_pull(network, plan); }, [&] { network.review(once.time, once.values); }, 15, 0.05);
    const double t = whole - knock;
    const auto& s = once.statistics;
    const std::string note =
        fmt::format("{} states, {:.2f} s pull after {:g} s, {} points, {} steps, {} right-hand sides",
                    network.state_count(), duration, p.settle, once.points(), s.steps, s.derivatives);
    plan.stock_solver = true;
    const double stock = seconds_of([&] { run_pull(network, plan); }, 2, 0.05);
    fmt::print("{:<58} {:>10.4g}     (no target; stock solver {:.1f} ms)\n", "demo rig: stock / ours",
               (stock - knock) / t, 1e3 * stock);
    return !report("demo rig: full pull at rtol 1e-6", 1e3 * t, "ms", Bound::at_most, 2, note) +
           !report("demo rig: simulated / real time", (duration + p.settle) / t, "", Bound::at_least, 4000, "") +
           !report("demo rig: knock over the pull itself", knock / t, "", Bound::at_most, 2,
                   fmt::format("{:.1f} ms after the pull", 1e3 * knock));
}

int overhead_of_demo_rig(const Study& study) {
    const Network network(study.variants.front().rig);
    Workspace<double> w(network);
    network.start(w.x.data());
    const auto before = test::allocation_count();
    const double t = seconds_of([&] { network.evaluate(w); }, 7, 0.02);
    const auto made = test::allocation_count() - before;
    return !report("demo rig: allocations in its right-hand side", static_cast<double>(made), "", Bound::at_most, 0,
                   fmt::format("{:.0f} ns each", 1e9 * t));
}

int whole_program() {
    const auto out = std::filesystem::temp_directory_path() / "pullcast_bench_results";
    const std::string command =
        fmt::format("'{}' run '{}' --force --out '{}' >/dev/null 2>&1", PULLCAST_PROGRAM, study_file, out.string());
    bool ran = true;
    const double t = seconds_of([&] { ran = ran && std::system(command.c_str()) == 0; }, 5, 0, wall_time);
    std::filesystem::remove_all(out);
    if (!ran) {
        skip("program, start to finish of the demo study", "it failed: " + command);
        return 1;
    }
    return !report("program, start to finish of the demo study", t, "s", Bound::at_most, 0.5, "4 variants, 2 threads");
}

}  // namespace

int demo_figures() {
    Registry registry;
    registry.load_folder(PULLCAST_PLUGINS);
    const Study study = read_study(study_file, registry);
    return overhead_of_demo_rig(study) + full_pull(study) + whole_program();
}

}  // namespace pullcast::bench

// Figures on the demo studies: one full pull, and the program from start to finish.
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/solve/pull_directions.hpp>
#include <pullcast/study/explain.hpp>

#include "component/allocation_count.hpp"
#include "figure.hpp"

namespace pullcast::bench {
namespace {

const std::string studies = std::string(PULLCAST_SOURCE) + "/scenarios/studies/";
const std::string study_file = studies + "pulley-or-core.toml";

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

/// Derivatives along eight parameters over the pull alone, with four measured channels at its report points.
int directions(const Study& study) {
    const auto& p = study.procedure;
    const RigSpec& rig = study.variants.front().rig;
    const Directions along(rig, {{"core", {{"cooler", "ua_scale"}}},
                                 {"pulley", {{"drive", "pulley_diameter"}}},
                                 {"sensor", {{"sensor", "time_constant"}}},
                                 {"weather", {{"ambient", "temperature"}}},
                                 {"spark", {{"calibration", "spark_table"}}, Parameter::Kind::factor},
                                 {"displacement", {{"breathing", "displacement"}}},
                                 {"volume", {{"manifold", "volume"}}},
                                 {"speed", {{"front", "face_velocity"}}}});
    const Network& network = along.network();
    const PullPlan plan{
        .settle = p.settle, .stop_speed = p.stop_speed, .longest = p.longest, .output_step = 0.05, .review = false};
    std::vector<std::size_t> channels;
    for (std::size_t k = 0; k < network.channels().size(); ++k)
        for (const char* name : {"manifold.gas.p", "manifold.gas.T", "core_in.coolant.T", "load.crank_power"})
            if (network.channels()[k].name == name) channels.push_back(k);
    const auto [eight, one] =
        compare([&] { run_pull(along, plan, channels); }, [&] { run_pull(network, plan); }, 7, 0.1);
    return !report(
        "demo rig: pull with 8 exact directions / pull", eight / one, "", Bound::at_most, 4,
        fmt::format("{:.0f} ms, {} steps for {}", 1e3 * eight, run_pull(along, plan, channels).pull.statistics.steps,
                    run_pull(network, plan).statistics.steps));
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

/// A command of the program from start to finish, its results written.
int program(const std::string& figure, const std::string& command, const std::string& study, int rounds, double limit,
            const std::string& note) {
    const auto out = std::filesystem::temp_directory_path() / "pullcast_bench_results";
    const std::string line =
        fmt::format("'{}' {} '{}' --force --out '{}' >/dev/null 2>&1", PULLCAST_PROGRAM, command, study, out.string());
    bool ran = true;
    const double t = seconds_of([&] { ran = ran && std::system(line.c_str()) == 0; }, rounds, 0, wall_time);
    std::filesystem::remove_all(out);
    if (!ran) {
        skip(figure, "it failed: " + line);
        return 1;
    }
    return !report(figure, t, "s", Bound::at_most, limit, note);
}

/// Two variants that differ by eight causes: 256 pulls of the demo rig, with their knock margins.
int explained_change(const Registry& registry) {
    const auto folder = std::filesystem::path(study_file).parent_path();
    const auto text =
        std::make_shared<const SourceFile>(SourceFile{(folder / "eight-causes.toml").string(),
                                                      "rig = \"../rigs/hillclimb-v6.toml\"\n"
                                                      "[variant.a]\n[variant.b.set]\n"
                                                      "\"ambient.parts.weather\" = \"coast-heat\"\n"
                                                      "\"common.start_pressure\" = \"100.9 kPa\"\n"
                                                      "\"common.start_temperature\" = \"42 degC\"\n"
                                                      "\"common.start_coolant_temperature\" = \"39 degC\"\n"
                                                      "\"common.parts.fuel\" = \"pump-95\"\n"
                                                      "\"drive.parts.pulley\" = \"pulley-86\"\n"
                                                      "\"cooler.parts.core\" = \"deep-core\"\n"});
    const Study study = read_study(text, registry);
    const auto &a = study.variants[0], &b = study.variants[1];
    std::size_t pulls = 0;
    const double t =
        seconds_of([&] { pulls = explain(a, b, causes_between(a, b), usual_figures(), 2).pulls; }, 2, 0, wall_time);
    return !report("explain: change by eight causes", t, "s", Bound::at_most, 1,
                   fmt::format("{} pulls with knock margins, 2 threads", pulls));
}

}  // namespace

int demo_figures() {
    Registry registry;
    registry.load_folder(PULLCAST_PLUGINS);
    const Study study = read_study(study_file, registry);
    return overhead_of_demo_rig(study) + full_pull(study) + directions(study) + explained_change(registry) +
           program("program, start to finish of the demo study", "run", study_file, 5, 0.5, "4 variants, 2 threads") +
           program("program, match of the demo with logs", "match", studies + "what-the-core-did.toml", 2, 10,
                   "6 pulls, 20 unknowns, 3 questions, split by 8 causes, 2 threads");
}

}  // namespace pullcast::bench

// What a sweep costs: a run of its own, from changed values to figures, and several threads over one.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <pullcast/choose/sweep_run.hpp>
#include <pullcast/scenario/variant_maker.hpp>
#include <pullcast/study/study_run.hpp>

#include "figure.hpp"

namespace pullcast::bench {
namespace {

using namespace choose;

struct Sweep {
    Study study;
    SweepChoices choices;
    SweepPlan plan;
};

Sweep demo(const Registry& registry) {
    Sweep s{read_study(std::filesystem::path(PULLCAST_SOURCE "/scenarios/studies/where-the-money-goes.toml"), registry),
            {},
            {}};
    Diagnostics d;
    s.choices = read_sweep_choices(s.study, d);
    d.throw_if_failed();
    s.plan = plan_sweep(s.study, s.choices, registry);
    return s;
}

/// Every n-th run, so that all parts and conditions are among them.
constexpr std::size_t shards = 24;

/// Seconds by the wall clock for one shard on so many threads, into a store that is thrown away.
double seconds_on(const Sweep& s, const Registry& registry, unsigned threads, std::size_t number) {
    const Shard shard{number, shards};
    const auto file =
        std::filesystem::temp_directory_path() / fmt::format("pullcast-bench-{}-{}.runs", getpid(), number);
    double spent = 0;
    {
        RunStore store(file, head_of(s.plan, s.choices, shard), true);
        const double begin = wall_time();
        run_sweep(s.study, s.choices, s.plan, registry, store, shard, threads, nullptr, {});
        spent = wall_time() - begin;
    }
    std::filesystem::remove(file);
    return spent;
}

/// What of a run is whose: means over runs that lie far apart.
void parts_of_a_run(const Sweep& s, const Registry& registry) {
    VariantMaker maker(s.study, registry);
    double bind = 0, compile = 0, pull = 0, judge = 0;
    std::size_t n = 0;
    for (std::size_t run = 0; run < s.plan.runs(); run += s.plan.runs() / 40 + 1, ++n) {
        auto changes = settings_of(s.choices.meet, s.plan.condition_of(run).values);
        for (auto& c : settings_of(s.choices.buy, s.plan.combination_of(run).values)) changes.push_back(std::move(c));
        const double t0 = processor_time();
        const auto variant = maker.make(0, changes);
        const double t1 = processor_time();
        const Network network(variant.rig);
        const double t2 = processor_time();
        auto plan = pull_plan(variant.procedure);
        plan.review = false;
        auto result = run_pull(network, plan);
        const double t3 = processor_time();
        network.review(result.time, result.values);
        bind += t1 - t0, compile += t2 - t1, pull += t3 - t2, judge += processor_time() - t3;
    }
    const double each = 1e3 / static_cast<double>(n);
    fmt::print("{:<58} {:.2f} bind, {:.2f} compile, {:.1f} pull, {:.1f} knock at every point (ms of processor time)\n",
               "sweep: a run", each * bind, each * compile, each * pull, each * judge);
}

}  // namespace

int sweep_figures() {
    Registry registry;
    registry.load_folder(PULLCAST_PLUGINS);
    const auto s = demo(registry);
    parts_of_a_run(s, registry);
    double one = 0, two = 0;  // in turn, on runs of their own each time
    for (std::size_t k = 1; k <= 4; k += 2)
        one += seconds_on(s, registry, 1, k), two += seconds_on(s, registry, 2, k + 1);
    const double runs = 2.0 * static_cast<double>(s.plan.runs()) / shards;
    const double all = two / runs * static_cast<double>(s.plan.runs());
    return !report("sweep: pulls a second on 2 threads / on 1", one / two, "", Bound::at_least, 1.8,
                   fmt::format("{:.0f} and {:.0f} distinct pulls a second; 10,000: {:.0f} and {:.0f} s", runs / two,
                               runs / one, two / runs * 1e4, one / runs * 1e4)) +
           !report("sweep: 1,200 combinations under 8 conditions", all, "s", Bound::at_most, 30,
                   "from those runs, on 2 threads");
}

}  // namespace pullcast::bench

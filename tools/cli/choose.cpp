#include <fmt/format.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <chrono>
#include <optional>
#include <pullcast/choose/chosen.hpp>
#include <pullcast/choose/sweep_run.hpp>
#include <pullcast/study/results.hpp>

#include "choice_page.hpp"
#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

namespace fs = std::filesystem;
using namespace choose;

/// Beside the results folder, also where that was given as "folder/".
fs::path store_of(const Options& o, const std::string& what) {
    const auto& out = o.out;
    return (out.has_filename() ? out : out.parent_path()).string() + what;
}

std::string duration(double seconds) {
    const auto s = static_cast<long>(seconds + 0.5);
    if (s < 120) return fmt::format("{} s", s);
    if (s < 7200) return fmt::format("{} min", (s + 30) / 60);
    return fmt::format("{} h {} min", s / 3600, s % 3600 / 60);
}

/// On a terminal one line that is written over; else a line for each tenth.
class Teller {
public:
    void operator()(const Progress& p) {
        const double rate = static_cast<double>(p.fresh) / std::max(p.seconds, 1e-3);
        const auto text = fmt::format("{} of {} runs, {:.0f} a second, {} left", p.done, p.all, rate,
                                      duration(static_cast<double>(p.all - p.done) / std::max(rate, 1e-3)));
        const auto tenth = 10 * p.done / p.all;
        if (live_) fmt::print(stderr, "\r{:<70}{}", text, p.done == p.all ? "\n" : "");
        else if (tenth != told_) fmt::print(stderr, "{}\n", text);
        told_ = tenth;
        std::fflush(stderr);
    }

private:
    bool live_ = isatty(STDERR_FILENO);
    std::size_t told_ = 0;
};

void tell_damage(std::size_t lines, const fs::path& file) {
    if (lines)
        spdlog::warn("{}: {} torn or damaged line{} left aside; these runs are made again", file.string(), lines,
                     lines == 1 ? "" : "s");
}

/// Runs what is open of a plan, and gives back all runs of the shard. What an interruption leaves is told.
std::map<std::size_t, Run> run_all(const Options& o, const Study& study, const SweepChoices& choices,
                                   const SweepPlan& plan, const Registry& registry, const fs::path& file,
                                   const Shard& shard) {
    RunStore store(file, head_of(plan, choices, shard), o.anew);
    tell_damage(store.damaged_lines(), file);
    if (!store.runs().empty())
        fmt::print(stderr, "{}: {} runs are there already\n", file.string(), store.runs().size());
    const auto& interrupt = listen_to_signals();
    Teller teller;
    try {
        run_sweep(study, choices, plan, registry, store, shard, thread_count(o), &interrupt, std::ref(teller));
    } catch (const Interrupted&) {
        const auto all = (plan.runs() + shard.of - shard.number) / shard.of;
        fmt::print(stderr, "\n{} of {} runs are kept in {}; the same command goes on from there\n", store.runs().size(),
                   all, file.string());
        throw;
    }
    return store.runs();
}

std::map<std::size_t, Run> merged(const Options& o, const SweepChoices& choices, const SweepPlan& plan) {
    auto all = merge_stores({o.stores.begin(), o.stores.end()});
    if (all.head != head_of(plan, choices, {}))
        throw StoreError(fmt::format("{}: these runs are of another study, or of other parts of it", o.stores.front()));
    tell_damage(all.damaged_lines, o.stores.front());
    const auto file = store_of(o, ".runs");
    RunStore(file, all.head, o.anew);  // what is there of another study is refused, not replaced
    write_store(file, all.head, all.runs);
    return all.runs;
}

/// How long all would take, from a few seconds of it.
int estimate(const Study& study, const SweepChoices& choices, const SweepPlan& plan, const Registry& registry) {
    constexpr double measured_for = 3;  // s
    using Clock = std::chrono::steady_clock;
    Runner runner(study, choices, registry);
    const auto start = Clock::now();
    std::size_t n = 0;
    double seconds = 0;
    const std::size_t stride = plan.runs() / 997 + 1;  // a prime: no axis is always met at the same value
    for (std::size_t run = 0; seconds < measured_for && run < plan.runs(); run += stride, ++n) {
        runner.run(run, plan.combination_of(run), plan.condition_of(run), &listen_to_signals());
        seconds = std::chrono::duration<double>(Clock::now() - start).count();
    }
    const double each = seconds / static_cast<double>(n), all = each * static_cast<double>(plan.runs());
    fmt::print(
        "{} runs; {} of them took {:.2f} s on one thread: {:.1f} ms each\nall on one thread: {}; a million: {}\n",
        plan.runs(), n, seconds, 1e3 * each, duration(all), duration(1e6 * each));
    return Exit::ok;
}

bool is_of(const fs::path& store, const std::string& hash) {
    try {
        return read_store(store).head.hash == hash;
    } catch (const StoreError&) {
        return false;
    }
}

SensitivityOf judge_sensitivity(const Options& o, const Chosen& c, const Registry& registry) {
    if (const auto why = no_sensitivity(c.choices, c.ranking); !why.empty()) return {0, 0, {}, why};
    const auto combination = c.ranking.shortlist.front();
    const auto plan = sensitivity_plan(c.choices, c.plan, combination);
    fmt::print(stderr, "which of what is met matters for the foremost: {} runs\n", plan.runs());
    const auto file = store_of(o, ".sensitivity.runs");
    auto own = o;
    own.anew |= !is_of(file, plan.hash);  // other wishes put another one foremost
    return sensitivity_of(c.choices, combination, run_all(own, *c.study, c.choices, plan, registry, file, {}));
}

void write_and_print(const Options& o, const Chosen& chosen) {
    const auto json = chosen_json(chosen);
    std::optional<OutputError> not_written;  // the numbers are worth printing all the same
    try {
        write_folder(o.out, o.force, [&](const FileWriter& write) {
            write(choice_file, json);
            write("report.html", choice_html(chosen, o.units));
            write("combinations.csv", combinations_csv(chosen, o.units));
            write("runs.csv", runs_csv(chosen, o.units));
        });
    } catch (const OutputError& e) {
        not_written = e;
    }
    fmt::print("{}", o.json ? json : chosen_text(chosen, o.units, terminal_width()));
    std::fflush(stdout);
    if (not_written) throw *not_written;
    fmt::print(stderr, "results: {}\nreport:  {} (opens in a browser, needs no network)\n", o.out.string(),
               (o.out / "report.html").string());
}

int choose_parts(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    Diagnostics d;
    auto choices = read_sweep_choices(study, d);
    d.throw_if_failed();
    auto plan = plan_sweep(study, choices, registry);
    if (o.estimate) return estimate(study, choices, plan, registry);
    if (const auto parent = store_of(o, "").parent_path(); !parent.empty()) fs::create_directories(parent);
    if (o.shard) {
        const auto file = store_of(o, fmt::format(".{}-of-{}.runs", o.shard->number, o.shard->of));
        const auto runs = run_all(o, study, choices, plan, registry, file, *o.shard);
        fmt::print(stderr, "{} runs: {}\n", runs.size(), file.string());
        return Exit::ok;
    }
    check_destination(o.out, o.force);
    auto runs = o.stores.empty() ? run_all(o, study, choices, plan, registry, store_of(o, ".runs"), {})
                                 : merged(o, choices, plan);
    auto ranking = rank(choices, plan, runs);
    Chosen chosen{&study, std::move(choices), std::move(plan), std::move(runs), std::move(ranking), {}};
    chosen.sensitivity = judge_sensitivity(o, chosen, registry);
    write_and_print(o, chosen);
    return chosen.ranking.failed ? Exit::solver : Exit::ok;
}

}  // namespace

int choose_command(const Options& o) {
    try {
        return choose_parts(o);
    } catch (const Interrupted&) {  // what is kept is told
        fmt::print(stderr, "error: interrupted\n");
        return Exit::interrupted;
    }
}

}  // namespace pullcast

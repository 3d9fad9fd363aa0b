#include <algorithm>
#include <chrono>
#include <cmath>
#include <exception>
#include <mutex>
#include <pullcast/choose/sweep_run.hpp>
#include <pullcast/scenario/variant_maker.hpp>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/session_run.hpp>

namespace pullcast::choose {
namespace {

using Clock = std::chrono::steady_clock;
constexpr double between_reports = 0.2, between_flushes = 5;  // s

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

/// The session up to a pull, its repetitions written out.
Session until_pull(const Session& session, std::size_t pulls) {
    Session out{session.steps, {}};
    std::size_t n = 0;
    for (const auto& turn : session.turns) {
        if (n >= pulls) break;
        if (turn.until) {
            out.turns.push_back(turn);
            continue;
        }
        for (std::size_t round = 0; round < turn.times; ++round)
            for (const auto step : turn.steps) {
                if (n >= pulls) return out;
                out.turns.push_back({{step}, 1, {}});
                n += session.steps[step].kind == SessionStep::Kind::pull;
            }
    }
    return out;
}

/// What the threads share: the store, and when it was last told and flushed.
class Watch {
public:
    Watch(RunStore& store, std::size_t before, std::size_t all, const std::function<void(const Progress&)>& tell)
        : store_(store), before_(before), all_(all), tell_(tell) {}

    void done(const Run& run) {
        store_.append(run);
        const std::lock_guard lock(mutex_);
        ++fresh_;
        const double now = seconds_since(start_);
        if (now - flushed_ > between_flushes) store_.flush_to_disk(), flushed_ = now;
        if (tell_ && (now - told_ > between_reports || before_ + fresh_ == all_)) {
            tell_({before_ + fresh_, all_, fresh_, now});
            told_ = now;
        }
    }
    void failed(std::exception_ptr error) {
        const std::lock_guard lock(mutex_);
        if (!error_) error_ = std::move(error);
        stop = true;
    }
    void finish() {
        if (error_) std::rethrow_exception(error_);
        store_.flush_to_disk();
    }

    std::atomic<bool> stop = false;

private:
    RunStore& store_;
    std::size_t before_, all_, fresh_ = 0;
    const std::function<void(const Progress&)>& tell_;
    std::mutex mutex_;
    Clock::time_point start_ = Clock::now();
    double told_ = 0, flushed_ = 0;
    std::exception_ptr error_;
};

}  // namespace

Runner::Runner(const Study& study, const SweepChoices& choices, const Registry& registry)
    : study_(study),
      choices_(choices),
      maker_(std::make_unique<VariantMaker>(study, registry)),
      base_(base_index(study)) {
    review_ = std::any_of(choices.columns.begin(), choices.columns.end(),
                          [](const Column& c) { return is_reviewed(*c.figure); });
}

Runner::~Runner() = default;

Run Runner::run(std::size_t index, const Combination& combination, const Condition& condition,
                const std::atomic<bool>* interrupt) {
    Run out{index, {}, {}};
    try {
        auto changes = settings_of(choices_.meet, condition.values);
        for (auto& s : settings_of(choices_.buy, combination.values)) changes.push_back(std::move(s));
        out.values = choices_.pulls ? session(changes, interrupt) : pull(changes, interrupt);
    } catch (const Interrupted&) {
        throw;
    } catch (const ScenarioError& e) {
        out.failure = e.diagnostics().front().message;
    } catch (const std::exception& e) {
        out.failure = e.what();
    }
    return out;
}

std::vector<double> Runner::pull(const Table& changes, const std::atomic<bool>* interrupt) {
    const auto variant = maker_->make(base_, changes);
    const Network network(variant.rig);
    auto plan = pull_plan(variant.procedure, interrupt);
    plan.review = review_, plan.worst_from = boost_settles;
    const auto pull = run_pull(network, plan);
    const PullView view(network, pull);
    std::vector<double> values;
    for (const auto& c : choices_.columns) values.push_back(c.figure->compute(view));
    return values;
}

std::vector<double> Runner::session(const Table& changes, const std::atomic<bool>* interrupt) {
    Study one;
    one.session = until_pull(*study_.session, choices_.pulls);
    for (std::size_t k = 0; k < one.session->steps.size(); ++k)
        one.session->steps[k].variants = {maker_->make(base_, changes, k)};
    one.variants = {one.session->steps[0].variants[0]};
    const auto result = run_sessions(one, 1, interrupt)[0];
    if (!result.failure.empty()) throw std::runtime_error(result.failure);
    const auto pulls = pulls_of(one, result);
    std::vector<double> values;
    for (const auto& c : choices_.columns)
        values.push_back(c.pull <= pulls.size() ? pulls[c.pull - 1]->figures[c.figure - figures().data()]
                                                : std::nan(""));
    return values;
}

StoreHead head_of(const SweepPlan& plan, const SweepChoices& choices, const Shard& shard) {
    StoreHead head{plan.hash, plan.runs(), shard, {}};
    for (const auto& c : choices.columns) head.columns.push_back(c.name());
    return head;
}

void run_sweep(const Study& study, const SweepChoices& choices, const SweepPlan& plan, const Registry& registry,
               RunStore& store, const Shard& shard, unsigned threads, const std::atomic<bool>* interrupt,
               const std::function<void(const Progress&)>& tell) {
    std::vector<std::size_t> open;
    std::size_t all = 0;
    for (std::size_t run = 0; run < plan.runs(); ++run)
        if (shard.has(run)) {
            ++all;
            if (!store.runs().contains(run)) open.push_back(run);
        }
    Watch watch(store, all - open.size(), all, tell);
    std::atomic<std::size_t> next = 0;
    in_parallel(threads, threads, [&](std::size_t) {
        try {
            Runner runner(study, choices, registry);
            for (std::size_t k; !watch.stop && (k = next++) < open.size();) {
                const auto run = open[k];
                watch.done(runner.run(run, plan.combination_of(run), plan.condition_of(run), interrupt));
            }
        } catch (...) {
            watch.failed(std::current_exception());
        }
    });
    watch.finish();
}

}  // namespace pullcast::choose

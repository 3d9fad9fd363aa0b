/// Runs what a plan holds and its store does not yet.
#pragma once
#include <atomic>
#include <functional>
#include <pullcast/choose/run_store.hpp>
#include <pullcast/choose/sweep_plan.hpp>

namespace pullcast {
class VariantMaker;
}

namespace pullcast::choose {

/// Values of the columns of one run; what went wrong is told in the run. One a thread.
class Runner {
public:
    Runner(const Study& study, const SweepChoices& choices, const Registry& registry);
    ~Runner();

    /// `index` is only handed on. Throws Interrupted.
    Run run(std::size_t index, const Combination& combination, const Condition& condition,
            const std::atomic<bool>* interrupt = nullptr);

private:
    std::vector<double> pull(const Table& changes, const std::atomic<bool>* interrupt);
    std::vector<double> session(const Table& changes, const std::atomic<bool>* interrupt);

    const Study& study_;
    const SweepChoices& choices_;
    std::unique_ptr<VariantMaker> maker_;
    std::size_t base_;
    bool review_;
};

struct Progress {
    std::size_t done, all;  // runs of this shard, those of earlier times among them
    std::size_t fresh;      // done since the start
    double seconds;         // since the start
};

/// The head of the store of one shard of a plan.
StoreHead head_of(const SweepPlan& plan, const SweepChoices& choices, const Shard& shard);

/// Runs what the store lacks of its shard. Each run depends on its own values alone: the results are the same, to the
/// bit, for any number of threads, any order and any interruption. `tell` is called by one thread at a time, a few
/// times a second. Throws StoreError where the store cannot be written, and Interrupted.
void run_sweep(const Study& study, const SweepChoices& choices, const SweepPlan& plan, const Registry& registry,
               RunStore& store, const Shard& shard, unsigned threads, const std::atomic<bool>* interrupt,
               const std::function<void(const Progress&)>& tell);

}  // namespace pullcast::choose

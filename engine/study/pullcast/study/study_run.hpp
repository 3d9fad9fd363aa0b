/// Runs the variants of a study in parallel and compares each with the base.
#pragma once
#include <atomic>
#include <memory>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/figures.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// A channel that left its limits during the pull.
struct Warning {
    std::string channel, text;  // "drive.slip_margin", "belt slipping"
    const char* unit;
    double limit, worst;  // SI
    double time, speed;   // s, rad/s of the crank: when it first left them
    double worst_speed;   // rad/s
};

struct VariantResult {
    std::shared_ptr<const Network> network;  // null where the rig could not be run
    Pull pull;
    std::vector<double> figures;  // in the order of figures(); NaN where the rig has none
    std::vector<Warning> warnings;
    std::string failure;  // why the pull stopped, in names; empty when it ran
};

/// How a variant's pull is run.
PullPlan pull_plan(const Procedure& procedure, const std::atomic<bool>* interrupt = nullptr);

/// Every channel that left its limits during a pull.
std::vector<Warning> warnings_of(const Network& network, const Pull& pull);

/// A figure by its key; NaN where the rig has none.
double figure(const VariantResult& result, std::string_view key);

/// One result a variant, in the order of the study. Each depends on its own variant alone, so that the numbers are
/// the same for any number of threads. A pull that fails is told in its result; a rig that cannot be compiled throws
/// ScenarioError. Once `interrupt` is set, all pulls end and Interrupted is thrown.
std::vector<VariantResult> run_study(const Study& study, unsigned threads,
                                     const std::atomic<bool>* interrupt = nullptr);

/// Index of the study's base variant.
std::size_t base_index(const Study& study);

}  // namespace pullcast

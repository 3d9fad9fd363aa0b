#include <algorithm>
#include <cmath>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/study_run.hpp>

namespace pullcast {
namespace {

/// A channel's first departure from its limits and its worst value.
void watch(const Network& network, const Pull& pull, std::size_t column, std::vector<Warning>& warnings) {
    const Channel& c = network.channels()[column];
    if (!c.field->warning || c.field->kind != Kind::output) return;
    const PullView view(network, pull);
    Warning w{c.name, c.field->warning, c.unit, 0, 0, -1, 0, 0};
    double worst = 0;
    for (std::size_t k = 0; k < pull.points(); ++k) {
        const double v = pull.at(k, column), beyond = std::max(v - c.warn_hi, c.warn_lo - v);
        if (!(beyond > worst)) continue;
        if (w.time < 0) w.time = pull.time[k], w.speed = view.speed(k);
        worst = beyond;
        w.worst = v, w.worst_speed = view.speed(k);
        w.limit = v > c.warn_hi ? c.warn_hi : c.warn_lo;
    }
    if (w.time >= 0) warnings.push_back(w);
}

void run_variant(const Procedure& procedure, const std::atomic<bool>* interrupt, VariantResult& result) {
    try {
        result.pull = run_pull(*result.network, pull_plan(procedure, interrupt));
        const PullView view(*result.network, result.pull);
        for (const auto& f : figures()) result.figures.push_back(f.compute(view));
        result.warnings = warnings_of(*result.network, result.pull);
    } catch (const std::exception& e) {
        result.failure = e.what();
        result.figures.assign(figures().size(), std::nan(""));
    }
}

}  // namespace

std::vector<Warning> warnings_of(const Network& network, const Pull& pull) {
    std::vector<Warning> all;
    for (std::size_t c = 0; c < network.channels().size(); ++c) watch(network, pull, c, all);
    return all;
}

PullPlan pull_plan(const Procedure& procedure, const std::atomic<bool>* interrupt) {
    return {.settle = procedure.settle,
            .stop_speed = procedure.stop_speed,
            .longest = procedure.longest,
            .output_step = procedure.output_step,
            .tolerance = procedure.tolerance,
            .interrupt = interrupt};
}

double figure(const VariantResult& result, std::string_view key) {
    for (std::size_t k = 0; k < figures().size(); ++k)
        if (key == figures()[k].key) return result.figures[k];
    return std::nan("");
}

std::size_t base_index(const Study& study) {
    const auto at = std::find_if(study.variants.begin(), study.variants.end(),
                                 [&](const Variant& v) { return v.name == study.base; });
    return at == study.variants.end() ? 0 : static_cast<std::size_t>(at - study.variants.begin());
}

std::vector<VariantResult> run_study(const Study& study, unsigned threads, const std::atomic<bool>* interrupt) {
    std::vector<VariantResult> results(study.variants.size());
    for (std::size_t k = 0; k < results.size(); ++k) {
        try {
            results[k].network = std::make_shared<const Network>(study.variants[k].rig);
        } catch (const RigError& e) {
            throw locate(e, study.variants[k]);
        }
    }
    in_parallel(results.size(), threads,
                [&](std::size_t k) { run_variant(study.variants[k].procedure, interrupt, results[k]); });
    if (interrupt && *interrupt) throw Interrupted();
    return results;
}

}  // namespace pullcast

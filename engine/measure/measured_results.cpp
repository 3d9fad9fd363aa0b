#include <algorithm>
#include <pullcast/measure/measured_results.hpp>

#include "missing_channels.hpp"

namespace pullcast::measure {
namespace {

constexpr double coarse_step = 0.05;  // many pulls are run, and differences are read off

/// Figures that a log shows by itself: the last reading that counts, or the highest.
struct Shown {
    const char *figure, *channel;
    bool peak;
};
constexpr Shown shown[] = {{"intake_redline", "intake_temperature", false}, {"wheel_power", "wheel_power", true}};

const LoggedPull& pull_named(const MeasuredStudy& m, const std::string& name) {
    return *std::find_if(m.pulls.begin(), m.pulls.end(), [&](const LoggedPull& p) { return p.name == name; });
}

Variant fitted_variant(const MeasuredFit& fit, const LoggedPull& p) {
    Variant v = p.variant;
    v.rig = fitted(v.rig, fit.unknowns, fit.values(), p.of, p.name);
    v.procedure.output_step = std::max(v.procedure.output_step, coarse_step);
    return v;
}

double read_off(const LoggedPull& p, const Shown& s) {
    const auto* c = p.find(s.channel);
    if (!c) return std::nan("");
    return s.peak ? *std::max_element(c->value.begin(), c->value.end()) : c->value.back();
}

std::optional<PullsExplained> explain_pulls(const MeasuredStudy& m, const MeasuredFit& fit, unsigned threads,
                                            const std::atomic<bool>* interrupt) {
    if (m.match.explain.size() != 2) return {};
    const auto &from = pull_named(m, m.match.explain[0]), &to = pull_named(m, m.match.explain[1]);
    PullsExplained e{fitted_variant(fit, from), fitted_variant(fit, to), {}, {}};
    const auto figures = m.match.figures;
    e.explanation =
        explain(e.from, e.to, at_most(causes_between(e.from, e.to), most_causes), figures, threads, interrupt);
    for (const auto& s : shown)
        for (const auto* f : figures)
            if (f->key == std::string_view(s.figure)) e.measured.push_back({f, read_off(from, s), read_off(to, s)});
    std::erase_if(e.measured, [](const auto& x) { return std::isnan(x.from) || std::isnan(x.to); });
    return e;
}

}  // namespace

MeasuredResults judge_pulls(const MeasuredStudy& m, bool with_match, unsigned threads,
                            const std::atomic<bool>* interrupt) {
    MeasuredResults r{m, fit_pulls(m.choices, m.pulls, threads, interrupt), {}, {}, {}};
    if (!with_match) return r;
    const MissingChannels missing(m.pulls, r.fit, threads);
    r.comparisons = match(m.study, m.match, m.pulls, r.fit, missing, threads, interrupt);
    try {
        r.explained = explain_pulls(m, r.fit, threads, interrupt);
    } catch (const SolveError& e) {  // one mixture of many: the rest stands without it
        r.not_explained = e.what();
    } catch (const ScenarioError& e) {
        r.not_explained = e.what();
    }
    return r;
}

}  // namespace pullcast::measure

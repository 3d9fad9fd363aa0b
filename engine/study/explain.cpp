#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <pullcast/study/explain.hpp>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/study_run.hpp>

namespace pullcast {
namespace {

/// What came of one mixture: its figures, or why it could not be run.
struct Outcome {
    std::vector<double> figures;
    std::string rig_fault;
    std::optional<SolveError> pull_fault;
};

Outcome run_mixture(const Variant& v, const std::vector<const Figure*>& figures, const std::atomic<bool>* interrupt) {
    Outcome out;
    try {
        const Network network(v.rig);
        auto plan = pull_plan(v.procedure, interrupt);
        plan.review = std::any_of(figures.begin(), figures.end(), [](const Figure* f) { return is_reviewed(*f); });
        plan.worst_from = boost_settles;  // where the figures of knock are read
        const auto pull = run_pull(network, plan);
        const PullView view(network, pull);
        for (const auto* f : figures) out.figures.push_back(f->compute(view));
    } catch (const RigError& e) {
        out.rig_fault = e.what();
    } catch (const SolveError& e) {
        out.pull_fault = e;
    } catch (const std::exception& e) {  // Interrupted too, which the caller tells
        out.pull_fault = SolveError(0, e.what());
    }
    return out;
}

std::vector<std::string> titles(const std::vector<Cause>& causes, Coalition taken) {
    std::vector<std::string> all;
    for (std::size_t k = 0; k < causes.size(); ++k)
        if (taken >> k & 1) all.push_back(causes[k].title);
    return all;
}

void refuse_too_many(const std::vector<Cause>& causes) {
    if (causes.size() <= most_causes) return;
    const auto names = titles(causes, ~Coalition{0});
    throw ScenarioError({},
                        fmt::format("{} causes need {} pulls; at most {} causes: {}", causes.size(),
                                    std::size_t{1} << causes.size(), most_causes, fmt::join(names, ", ")),
                        fmt::format("explain over a variant in between, or let causes count as one: --together \"{}, "
                                    "{}\"",
                                    names.end()[-2], names.back()));
}

/// The first mixture that could not be run, told by what it takes from which variant.
void report_faults(const std::vector<Outcome>& outcomes, const Variant& from, const Variant& to,
                   const std::vector<Cause>& causes) {
    for (Coalition c = 0; c < outcomes.size(); ++c) {
        const auto& o = outcomes[c];
        if (o.rig_fault.empty() && !o.pull_fault) continue;
        const auto mixture = c == 0 ? fmt::format("'{}'", from.name)
                             : c + 1 == outcomes.size()
                                 ? fmt::format("'{}'", to.name)
                                 : fmt::format("'{}' with {} of '{}'", from.name, listed(titles(causes, c)), to.name);
        if (o.pull_fault) throw SolveError(o.pull_fault->t, fmt::format("{}: {}", mixture, o.pull_fault->what()));
        throw ScenarioError({}, fmt::format("{} makes no rig: {}", mixture, o.rig_fault),
                            "where causes do not go apart, let them count as one: --together");
    }
}

}  // namespace

std::vector<const Figure*> usual_figures() {
    std::vector<const Figure*> all;
    for (const char* key :
         {"crank_power", "boost_redline", "charge_redline", "intake_redline", "knock_margin", "drive_power"})
        for (const auto& f : figures())
            if (std::string_view(f.key) == key) all.push_back(&f);
    return all;
}

Explanation explain(const Variant& from, const Variant& to, std::vector<Cause> causes,
                    const std::vector<const Figure*>& figures, unsigned threads, const std::atomic<bool>* interrupt) {
    refuse_too_many(causes);
    std::vector<Outcome> outcomes(std::size_t{1} << causes.size());
    in_parallel(outcomes.size(), threads, [&](std::size_t c) {
        outcomes[c] = run_mixture(between(from, to, causes, static_cast<Coalition>(c)), figures, interrupt);
    });
    if (interrupt && *interrupt) throw Interrupted();
    report_faults(outcomes, from, to, causes);
    Explanation out{std::move(causes), {}, {}, outcomes.size()};
    std::vector<double> worth(outcomes.size());
    for (std::size_t f = 0; f < figures.size(); ++f) {
        std::transform(outcomes.begin(), outcomes.end(), worth.begin(), [&](const Outcome& o) { return o.figures[f]; });
        if (std::any_of(worth.begin(), worth.end(), [](double w) { return std::isnan(w); }))
            out.not_there.push_back(figures[f]);
        else out.figures.push_back({figures[f], worth.front(), worth.back(), shapley(out.causes.size(), worth)});
    }
    return out;
}

}  // namespace pullcast

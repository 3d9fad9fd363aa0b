#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/measured_fit.hpp>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/study_run.hpp>

namespace pullcast::measure {
namespace {

constexpr double report_step = 0.05;  // s: curves are smooth, and what is between is interpolated
constexpr double fit_tolerance = 1e-5, least_accuracy = 0.1, most_alike = 0.98, loss_scale = 3;
constexpr int rough_steps = 3;  // of the first fit

bool acts_on(const FittedUnknown& u, const std::string& variant, const std::string& pull) {
    return u.of == "" || (u.choice->belongs == Belongs::variant && u.of == variant) ||
           (u.choice->belongs == Belongs::pull && u.of == pull);
}

std::vector<Parameter::Place> all_places(const FitChoice& c, const Variant& v) {
    std::vector<Parameter::Place> all;
    for (const auto& path : c.paths)
        for (auto& place : places_of(path, v)) all.push_back(std::move(place));
    return all;
}

std::optional<double> reading_of(const FitChoice& c, const LoggedPull& pull) {
    const double reading = c.measured ? pull.condition(c.measured->name) : std::nan("");
    return std::isnan(reading) ? std::nullopt : std::optional(reading);
}

std::optional<Prior> prior_of(const FitChoice& c, const LoggedPull& pull) {
    if (const auto reading = reading_of(c, pull)) {
        const auto& accuracy = pull.readings->find(c.measured->name)->accuracy;
        return Prior{*reading, std::hypot(accuracy.deviation(*reading), c.reading_deviation)};
    }
    if (c.expected) return Prior{*c.expected, *c.deviation};
    return {};
}

/// What differences are taken over: a number may be 0, or pass it.
double typical_size(const FitParameter& p) {
    if (p.prior) return std::max(std::fabs(p.start), p.prior->deviation);
    return std::isfinite(p.hi - p.lo) ? std::max(std::fabs(p.start), 0.1 * (p.hi - p.lo)) : std::fabs(p.start);
}

FittedUnknown unknown(const FitChoice& c, std::string of, const LoggedPull& pull) {
    FittedUnknown u{&c, std::move(of), {}, reading_of(c, pull).has_value()};
    auto& p = u.parameter;
    p.parameter = {u.of.empty() ? c.title : fmt::format("{} ({})", c.title, u.of), all_places(c, pull.variant), c.kind};
    p.lo = c.lowest, p.hi = c.highest, p.prior = prior_of(c, pull);
    const double stands = value_of(pull.variant.rig, p.parameter);
    p.start = std::clamp(p.prior ? p.prior->mean : stands, p.lo, p.hi);
    if (c.kind == Parameter::Kind::number) p.parameter.scale = typical_size(p);
    return u;
}

std::vector<FittedUnknown> unknowns_of(const std::vector<FitChoice>& choices, const std::vector<LoggedPull>& pulls) {
    std::vector<FittedUnknown> all;
    for (const auto& c : choices) {
        const auto first = all.size();
        for (const auto& p : pulls) {
            if (!c.pulls.empty() && std::find(c.pulls.begin(), c.pulls.end(), p.name) == c.pulls.end()) continue;
            const auto of = c.belongs == Belongs::rig ? "" : c.belongs == Belongs::variant ? p.of : p.name;
            const bool known = std::any_of(all.begin() + static_cast<std::ptrdiff_t>(first), all.end(),
                                           [&](const FittedUnknown& u) { return u.of == of; });
            if (!known) all.push_back(unknown(c, of, p));
        }
    }
    return all;
}

MeasuredChannel measured_channel(const BinnedChannel& c) {
    MeasuredChannel m{c.channel, c.speed, c.value, {}, {}};
    for (const double v : c.value) m.accuracy.push_back(c.accuracy.deviation(v));
    m.errors = {{fmt::format("error of {}", c.what->kind), m.accuracy}};
    return m;
}

MeasuredPull measured_pull(const LoggedPull& p, const std::vector<FittedUnknown>& unknowns,
                           const std::atomic<bool>* interrupt) {
    MeasuredPull m{p.name, p.variant.rig, pull_plan(p.variant.procedure, interrupt), MeasuredPull::Over::speed, {}, {}};
    m.plan.tolerance = std::max(m.plan.tolerance, fit_tolerance);
    m.plan.output_step = report_step;
    for (const auto& c : p.channels)
        if (c.what->fitted) m.measured.push_back(measured_channel(c));
    for (std::size_t k = 0; k < unknowns.size(); ++k)
        if (acts_on(unknowns[k], p.of, p.name)) m.parameters.push_back(k);
    return m;
}

/// What least squares would count of a pull, but for its sensors' errors; infinite where it cannot be run.
double loss_of(const MeasuredPull& p, const std::vector<FitParameter>& parameters, const std::vector<double>& own) {
    std::vector<double> measured, accuracy;
    for (const auto& m : p.measured) {
        measured.insert(measured.end(), m.value.begin(), m.value.end());
        accuracy.insert(accuracy.end(), m.accuracy.begin(), m.accuracy.end());
    }
    std::vector<double> computed(measured.size());
    try {
        compute(p, parameters, own, computed, nullptr);
    } catch (const std::runtime_error&) {
        return std::numeric_limits<double>::infinity();
    }
    double sum = 0;
    for (std::size_t k = 0; k < measured.size(); ++k) {
        const double off = std::fabs(computed[k] - measured[k]) / accuracy[k];
        sum += off < loss_scale ? off * off : loss_scale * (2 * off - loss_scale);
    }
    return sum;
}

/// A condition of a pull that was not read may start where nothing moves with it, as a belt that does not slip. So a
/// few values within what is expected are tried first.
void choose_start(std::size_t unknown, const MeasuredPull& pull, std::vector<FitParameter>& parameters) {
    auto& p = parameters[unknown];
    double least = std::numeric_limits<double>::infinity(), best = p.start;
    for (const double off : {0.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0}) {
        const double start = p.prior->mean + off * p.prior->deviation;
        if (start < p.lo || start > p.hi) continue;
        std::vector<double> own;
        for (const auto k : pull.parameters) own.push_back(k == unknown ? start : parameters[k].start);
        const double loss = loss_of(pull, parameters, own) + off * off;
        if (loss < least) least = loss, best = start;
    }
    p.start = best;
}

void choose_starts(const std::vector<FittedUnknown>& unknowns, const std::vector<MeasuredPull>& pulls, unsigned threads,
                   std::vector<FitParameter>& parameters) {
    in_parallel(pulls.size(), threads, [&](std::size_t p) {
        for (const auto k : pulls[p].parameters)
            if (unknowns[k].choice->belongs == Belongs::pull && parameters[k].prior && !unknowns[k].read)
                choose_start(k, pulls[p], parameters);
    });
}

/// Sum of squares, of products of neighbours, and how many of each, over all pulls.
struct Misfit {
    double squares = 0, products = 0;
    std::size_t points = 0;

    void add(const std::vector<double>& residual) {
        for (std::size_t k = 0; k < residual.size(); ++k) {
            squares += residual[k] * residual[k];
            if (k) products += residual[k] * residual[k - 1];
        }
        points += residual.size();
    }
    double accuracy() const {
        const double r = squares > 0 ? std::clamp(products / squares, 0.0, most_alike) : 0;
        return std::sqrt(squares / static_cast<double>(points) * (1 + r) / (1 - r));
    }
};

std::vector<double> residual(const std::vector<double>& computed, const std::vector<double>& measured) {
    std::vector<double> r(computed.size());
    std::transform(computed.begin(), computed.end(), measured.begin(), r.begin(), std::minus<>());
    return r;
}

/// Points count by how the rig follows their channel.
void weigh_by_misfit(const FitResult& result, std::vector<MeasuredPull>& pulls) {
    std::map<std::string, Misfit> by_error;  // a sensor's
    for (std::size_t p = 0; p < pulls.size(); ++p)
        for (std::size_t c = 0; c < pulls[p].measured.size(); ++c) {
            const auto& m = pulls[p].measured[c];
            by_error[m.errors[0].name].add(residual(result.computed[p][c], m.value));
        }
    for (auto& p : pulls)
        for (auto& m : p.measured)
            for (std::size_t k = 0; k < m.accuracy.size(); ++k)
                m.accuracy[k] = std::max(by_error[m.errors[0].name].accuracy(), least_accuracy * m.errors[0].size[k]);
}

Residuals judged(const BinnedChannel& measured, std::vector<double> computed) {
    Residuals r{&measured, std::move(computed), 0, 0, 0, 0};
    const auto off = residual(r.computed, measured.value);
    Misfit sum;
    sum.add(off);
    r.rms = std::sqrt(sum.squares / static_cast<double>(sum.points));
    r.lag_correlation = sum.squares > 0 ? sum.products / sum.squares : 0;
    for (std::size_t k = 0; k < off.size(); ++k)
        if (std::fabs(off[k]) > std::fabs(r.worst)) r.worst = off[k], r.worst_speed = measured.speed[k];
    return r;
}

/// Fitted channels as they are; what is only compared is computed now.
std::vector<Residuals> residuals_of(const LoggedPull& p, const MeasuredPull& m,
                                    const std::vector<std::vector<double>>& fitted_series,
                                    const std::vector<FitParameter>& parameters, const std::vector<double>& values) {
    MeasuredPull rest = m;
    rest.measured.clear();
    for (const auto& c : p.channels)
        if (!c.what->fitted) rest.measured.push_back({c.channel, c.speed, c.value, c.value, {}});
    std::vector<double> own, computed;
    for (const auto k : m.parameters) own.push_back(values[k]);
    for (const auto& c : rest.measured) computed.resize(computed.size() + c.at.size());
    if (!computed.empty()) compute(rest, parameters, own, computed, nullptr);
    std::vector<Residuals> all;
    auto series = fitted_series.begin();
    auto from = computed.begin();
    for (const auto& c : p.channels) {
        if (c.what->fitted) {
            all.push_back(judged(c, *series++));
        } else {
            const auto to = from + static_cast<std::ptrdiff_t>(c.value.size());
            all.push_back(judged(c, {from, to}));
            from = to;
        }
    }
    return all;
}

}  // namespace

std::vector<double> MeasuredFit::values() const {
    std::vector<double> all;
    for (std::size_t k = 0; k < unknowns.size(); ++k) all.push_back(result.solution.estimates[k].value);
    return all;
}

RigSpec fitted(const RigSpec& rig, const std::vector<FittedUnknown>& unknowns, const std::vector<double>& values,
               const std::string& variant, const std::string& pull) {
    RigSpec out = rig;
    for (std::size_t k = 0; k < unknowns.size(); ++k)
        if (acts_on(unknowns[k], variant, pull)) out = with_value(out, unknowns[k].parameter.parameter, values[k]);
    return out;
}

MeasuredFit fit_pulls(const std::vector<FitChoice>& choices, const std::vector<LoggedPull>& pulls, unsigned threads,
                      const std::atomic<bool>* interrupt) {
    MeasuredFit f;
    f.unknowns = unknowns_of(choices, pulls);
    for (const auto& p : pulls) f.pulls.push_back(measured_pull(p, f.unknowns, interrupt));
    std::vector<FitParameter> parameters;
    for (const auto& u : f.unknowns) parameters.push_back(u.parameter);
    LeastSquaresOptions options;
    options.loss = LeastSquaresOptions::Loss::huber, options.loss_scale = loss_scale, options.threads = threads;
    options.neighbours_allowed_for = true;
    choose_starts(f.unknowns, f.pulls, threads, parameters);
    options.most_steps = rough_steps;
    const auto first = fit(parameters, f.pulls, options);
    options.most_steps = LeastSquaresOptions{}.most_steps;
    weigh_by_misfit(first, f.pulls);
    for (std::size_t k = 0; k < parameters.size(); ++k) parameters[k].start = first.solution.estimates[k].value;
    f.result = fit(parameters, f.pulls, options);
    const auto values = f.values();
    for (std::size_t k = 0; k < pulls.size(); ++k)
        f.residuals.push_back(residuals_of(pulls[k], f.pulls[k], f.result.computed[k], parameters, values));
    return f;
}

}  // namespace pullcast::measure

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/fit.hpp>
#include <pullcast/network/names.hpp>
#include <pullcast/solve/pull_directions.hpp>
#include <stdexcept>

namespace pullcast::measure {

namespace {

constexpr double most_error = 10;  // of its expected deviation

std::size_t point_count(const MeasuredPull& p) {
    std::size_t n = 0;
    for (const auto& m : p.measured) n += m.at.size();
    return n;
}

std::size_t column_of(const Network& network, const std::string& name, const MeasuredPull& p) {
    std::vector<std::string> names;
    for (std::size_t k = 0; k < network.channels().size(); ++k) {
        if (network.channels()[k].name == name) return k;
        names.push_back(network.channels()[k].name);
    }
    const auto near = nearest_name(name, names);
    throw std::invalid_argument(fmt::format("{}: the rig has no channel '{}'{}", p.name, name,
                                            near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
}

/// Columns of what was measured; last the crank's speed, where that is what it was measured over.
std::vector<std::size_t> columns_of(const Network& network, const MeasuredPull& p) {
    std::vector<std::size_t> all;
    for (const auto& m : p.measured) all.push_back(column_of(network, m.channel, p));
    if (p.over != MeasuredPull::Over::speed) return all;
    const auto* load = network.find_role("load");
    if (!load) throw std::invalid_argument(p.name + ": measured over speed, but the rig has no load that knows it");
    all.push_back(column_of(network, load->name + ".crank.omega", p));
    return all;
}

/// As far as what was measured goes, and a little further.
PullPlan plan_of(const MeasuredPull& p) {
    double last = 0;
    for (const auto& m : p.measured) last = std::max(last, m.at.back());
    PullPlan plan = p.plan;
    plan.review = false;
    plan.stop_speed = p.over == MeasuredPull::Over::speed ? 1.01 * last : 0;
    if (p.over == MeasuredPull::Over::time) plan.longest = last + plan.output_step;
    return plan;
}

RigSpec rig_at(const MeasuredPull& p, const std::vector<FitParameter>& parameters, std::span<const double> values) {
    RigSpec rig = p.rig;
    for (std::size_t j = 0; j < values.size(); ++j)
        rig = with_value(rig, parameters[p.parameters[j]].parameter, values[j]);
    return rig;
}

/// A place between two report points (beyond the last one, on its line).
struct Spot {
    std::size_t before;
    double share;
};

Spot spot_in(const DirectedPull& r, bool over_speed, double at) {
    const auto points = r.pull.points();
    if (points < 2) throw std::runtime_error("the pull ends before its second report point");
    const auto scale = [&](std::size_t k) { return over_speed ? r.pull.at(k, r.channels.back()) : r.pull.time[k]; };
    std::size_t k = 1;
    while (k + 1 < points && scale(k) < at) ++k;
    return {k - 1, (at - scale(k - 1)) / (scale(k) - scale(k - 1))};
}

double between(const Spot& s, auto&& value) { return (1 - s.share) * value(s.before) + s.share * value(s.before + 1); }

/// At a fixed speed the spot moves with the parameter as well: less (change along the axis) over (that of speed) times
/// what the parameter does to speed.
double slope_at(const DirectedPull& r, const Spot& s, std::size_t channel, std::size_t parameter, bool over_speed) {
    const double slope = between(s, [&](std::size_t k) { return r.slope(k, channel, parameter); });
    if (!over_speed) return slope;
    const auto rise = [&](std::size_t c) { return r.pull.at(s.before + 1, c) - r.pull.at(s.before, c); };
    const std::size_t speed = r.channels.size() - 1;
    return slope - rise(r.channels[channel]) / rise(r.channels[speed]) *
                       between(s, [&](std::size_t k) { return r.slope(k, speed, parameter); });
}

void check(const std::vector<FitParameter>& parameters, const MeasuredPull& p) {
    const auto refuse = [&](const std::string& why) { throw std::invalid_argument(p.name + ": " + why); };
    if (point_count(p) == 0) refuse("nothing was measured");
    for (const auto& m : p.measured) {
        if (m.at.empty() || m.value.size() != m.at.size() || m.accuracy.size() != m.at.size())
            refuse(fmt::format("{}: as many values and accuracies as places, and one at least, are needed", m.channel));
        if (!std::is_sorted(m.at.begin(), m.at.end())) refuse(m.channel + ": times or speeds must rise");
        for (const auto& e : m.errors)
            if (e.size.size() != m.at.size())
                refuse(fmt::format("{}: {} needs as many sizes as places", m.channel, e.name));
    }
    for (const auto k : p.parameters) {
        if (k >= parameters.size()) refuse(fmt::format("parameter {} of {} is named", k, parameters.size()));
        value_of(p.rig, parameters[k].parameter);  // throws in names where the rig lacks it
    }
}

/// The shared errors of all pulls, each once.
std::vector<std::string> errors_of(const std::vector<MeasuredPull>& pulls) {
    std::vector<std::string> all;
    for (const auto& p : pulls)
        for (const auto& m : p.measured)
            for (const auto& e : m.errors)
                if (std::find(all.begin(), all.end(), e.name) == all.end()) all.push_back(e.name);
    return all;
}

/// Unknowns of a pull: its parameters, then its shared errors.
struct PullUnknowns {
    std::vector<std::size_t> all;                  // of the fit's
    std::vector<std::vector<std::size_t>> errors;  // by channel and error: place in `all`

    PullUnknowns(const MeasuredPull& p, std::size_t parameters, const std::vector<std::string>& names)
        : all(p.parameters) {
        for (const auto& m : p.measured) {
            auto& places = errors.emplace_back();
            for (const auto& e : m.errors) {
                const auto at = std::find(names.begin(), names.end(), e.name);
                const auto unknown = parameters + static_cast<std::size_t>(at - names.begin());
                const auto known = std::find(all.begin(), all.end(), unknown);
                places.push_back(static_cast<std::size_t>(known - all.begin()));
                if (known == all.end()) all.push_back(unknown);
            }
        }
    }
};

/// Computes with shared errors in it.
void compute_readings(const MeasuredPull& p, const std::vector<FitParameter>& parameters, const PullUnknowns& unknowns,
                      std::span<const double> values, std::span<double> readings, double* slopes) {
    const auto few = p.parameters.size(), width = unknowns.all.size();
    std::vector<double> own(slopes ? readings.size() * few : 0);
    compute(p, parameters, values.first(few), readings, slopes ? own.data() : nullptr);
    std::size_t i = 0;
    for (std::size_t c = 0; c < p.measured.size(); ++c)
        for (std::size_t k = 0; k < p.measured[c].at.size(); ++k, ++i) {
            auto* row = slopes ? slopes + i * width : nullptr;
            if (row) std::fill_n(std::copy_n(own.data() + i * few, few, row), width - few, 0.0);
            for (std::size_t e = 0; e < p.measured[c].errors.size(); ++e) {
                const double size = p.measured[c].errors[e].size[k];
                const auto place = unknowns.errors[c][e];
                readings[i] += values[place] * size;
                if (row) row[place] += size;
            }
        }
}

Block block_of(const std::vector<FitParameter>& parameters, const MeasuredPull& p,
               const std::vector<std::string>& errors) {
    const PullUnknowns unknowns(p, parameters.size(), errors);
    Block b{unknowns.all, {}, {}};
    for (const auto& m : p.measured) b.series.push_back({p.name + ": " + m.channel, m.accuracy});
    b.evaluate = [&, unknowns](std::span<const double> values, std::span<double> residuals, double* slopes) {
        compute_readings(p, parameters, unknowns, values, residuals, slopes);
        std::size_t i = 0;
        for (const auto& m : p.measured)
            for (const double measured : m.value) residuals[i++] -= measured;
    };
    return b;
}

}  // namespace

void compute(const MeasuredPull& p, const std::vector<FitParameter>& parameters, std::span<const double> values,
             std::span<double> computed, double* slopes) {
    const bool over_speed = p.over == MeasuredPull::Over::speed;
    const RigSpec rig = rig_at(p, parameters, values);
    std::vector<Parameter> along;
    for (std::size_t j = 0; slopes && j < values.size(); ++j) along.push_back(parameters[p.parameters[j]].parameter);
    const Directions directions(rig, along);
    const auto columns = columns_of(directions.network(), p);
    DirectedPull r;
    if (slopes) r = run_pull(directions, plan_of(p), columns);
    else r.pull = run_pull(directions.network(), plan_of(p)), r.channels = columns;
    std::size_t i = 0;
    for (std::size_t c = 0; c < p.measured.size(); ++c)
        for (const double at : p.measured[c].at) {
            const Spot s = spot_in(r, over_speed, at);
            computed[i] = between(s, [&](std::size_t k) { return r.pull.at(k, r.channels[c]); });
            for (std::size_t j = 0; j < along.size(); ++j) {
                const bool factor =
                    along[j].kind == Parameter::Kind::factor;  // slopes are per unit of a further factor
                slopes[i * along.size() + j] = slope_at(r, s, c, j, over_speed) / (factor ? values[j] : 1);
            }
            ++i;
        }
}

FitResult fit(const std::vector<FitParameter>& parameters, const std::vector<MeasuredPull>& pulls,
              LeastSquaresOptions options) {
    for (const auto& p : pulls) options.tolerance = std::max(options.tolerance, 10 * p.plan.tolerance);
    FitResult result;
    result.errors = errors_of(pulls);
    std::vector<Unknown> unknowns;
    for (const auto& p : parameters) unknowns.push_back({p.parameter.name, p.start, p.lo, p.hi, p.prior});
    for (const auto& e : result.errors) unknowns.push_back({e, 0, -most_error, most_error, Prior{0, 1}, true});
    std::vector<Block> blocks;
    for (const auto& p : pulls) {
        check(parameters, p);
        columns_of(Network(p.rig), p);  // throws in names
        blocks.push_back(block_of(parameters, p, result.errors));
    }
    const auto stop_if_asked = [&] {
        for (const auto& p : pulls)
            if (p.plan.interrupt && *p.plan.interrupt) throw Interrupted();
    };
    try {
        result.solution = least_squares(unknowns, blocks, options);
    } catch (const FitError&) {
        stop_if_asked();
        throw;
    }
    stop_if_asked();
    for (const auto& p : pulls) {
        const PullUnknowns own(p, parameters.size(), result.errors);
        std::vector<double> values, all(point_count(p));
        for (const auto k : own.all) values.push_back(result.solution.estimates[k].value);
        compute_readings(p, parameters, own, values, all, nullptr);
        auto from = all.begin();
        auto& series = result.computed.emplace_back();
        for (const auto& m : p.measured) {
            const auto to = from + static_cast<std::ptrdiff_t>(m.at.size());
            series.emplace_back(from, to);
            from = to;
        }
    }
    return result;
}

}  // namespace pullcast::measure

#include "reference_runs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/study/explain_words.hpp>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/study_run.hpp>
#include <utility>

namespace pullcast::measure {
namespace {

constexpr double degree = 0.017453292519943295;
constexpr Held pulley{"drive", "pulley_diameter", Parameter::Kind::factor, -0.02, "boost_redline", 20, "pulley"};
constexpr Held spark{"calibration",  "spark_offset", Parameter::Kind::number, -0.5 * degree, "knock_margin",
                     0.005 * degree, "spark"};
constexpr int most_turns = 12;

const ComponentSpec& component_of(const RigSpec& rig, const Held& held) {
    for (const auto& c : rig.components)
        if (c.type->role == std::string_view(held.role)) return c;
    throw std::runtime_error(fmt::format("the rig has no {}", held.role));
}

Parameter parameter_of(const RigSpec& rig, const Held& held) {
    return {held.title, {{component_of(rig, held).name, held.key}}, held.kind};
}

/// How far the component lets it be turned.
std::pair<double, double> range_of(const RigSpec& rig, const Held& held) {
    auto number = parameter_of(rig, held);
    number.kind = Parameter::Kind::number;
    const double size = held.kind == Parameter::Kind::factor ? value_of(rig, number) : 1;
    for (const auto& f : fields_of(*component_of(rig, held).type))
        if (held.key == std::string_view(f.name)) return {f.lo / size, f.hi / size};
    return {};
}

}  // namespace

const Held* held_by(Question question) {
    constexpr const Held* all[] = {nullptr, &pulley, &spark};
    return all[static_cast<int>(question)];
}

ReferenceRuns::ReferenceRuns(const Study& study, std::vector<const Figure*> figures, const MeasuredFit& fit,
                             unsigned threads, const std::atomic<bool>* interrupt)
    : study_(study),
      figures_(std::move(figures)),
      fit_(fit),
      values_(fit.values()),
      threads_(threads),
      interrupt_(interrupt) {}

std::size_t ReferenceRuns::place(std::string_view figure) const {
    const auto at = std::find_if(figures_.begin(), figures_.end(), [&](const Figure* f) { return figure == f->key; });
    return static_cast<std::size_t>(at - figures_.begin());
}

std::vector<double> ReferenceRuns::figures_at(std::size_t variant, const Held* held, const Point& point) const {
    const auto& v = study_.reference[variant];
    auto rig = fitted(v.rig, fit_.unknowns, point.values, v.name, "");
    if (point.turned) rig = with_value(rig, parameter_of(rig, *held), *point.turned);
    const Network network(rig);
    const auto pull = run_pull(network, pull_plan(v.procedure, interrupt_));
    const PullView view(network, pull);
    std::vector<double> all;
    for (const auto* f : figures_) all.push_back(f->compute(view));
    return all;
}

std::vector<std::vector<double>> ReferenceRuns::all_at(std::size_t variant, const Held* held,
                                                       const std::vector<Point>& points) const {
    std::vector<std::vector<double>> all(points.size());
    std::vector<std::string> faults(points.size());
    in_parallel(points.size(), threads_, [&](std::size_t k) {
        try {
            all[k] = figures_at(variant, held, points[k]);
        } catch (const std::exception& e) {
            faults[k] = e.what();
        }
    });
    if (interrupt_ && *interrupt_) throw Interrupted();
    for (const auto& fault : faults)
        if (!fault.empty())
            throw SolveError(0, fmt::format("'{}' under [reference]: {}", study_.reference[variant].name, fault));
    return all;
}

ReferenceRun ReferenceRuns::run(std::size_t variant) const { return {all_at(variant, nullptr, {{values_, {}}})[0], 0}; }

ReferenceRun ReferenceRuns::run(std::size_t variant, const Held& held, double target) const {
    const auto at = place(held.figure);
    const auto off = [&](const ReferenceRun& r) { return r.figures[at] - target; };
    const auto go = [&](double to) { return ReferenceRun{all_at(variant, &held, {{values_, to}})[0], to}; };
    const auto& rig = study_.reference[variant].rig;
    const double start = value_of(rig, parameter_of(rig, held));
    const auto [low, high] = range_of(rig, held);
    ReferenceRun last = go(start);
    if (std::isnan(off(last))) throw std::runtime_error(fmt::format("there is no {}", figure_name(*figures_[at])));
    ReferenceRun now = go(start + held.step < low ? start - held.step : start + held.step);
    for (int turn = 0; turn < most_turns; ++turn) {
        if (std::fabs(off(last)) < held.near) return last;
        if (std::fabs(off(now)) < held.near) return now;
        const double slope = (off(now) - off(last)) / (now.turned - last.turned);
        if (!(std::fabs(slope) > 0)) throw std::runtime_error(fmt::format("{} does not move it", held.title));
        const double next = std::clamp(now.turned - off(now) / slope, low, high);
        if (next == now.turned)
            throw std::runtime_error(fmt::format("{} does not bring it there within its range", held.title));
        last = std::exchange(now, go(next));
    }
    throw std::runtime_error(fmt::format("no {} brings it there", held.title));
}

std::vector<std::vector<double>> ReferenceRuns::slopes(std::size_t variant, const Held* held, double to) const {
    const auto& estimates = fit_.result.solution.estimates;
    const auto& name = study_.reference[variant].name;
    std::vector<std::size_t> moved;
    std::vector<Point> points;
    for (std::size_t k = 0; k < values_.size(); ++k) {
        const auto& u = fit_.unknowns[k];
        const bool acts = u.of.empty() || (u.choice->belongs == Belongs::variant && u.of == name);
        const double step = estimates[k].deviation;
        if (!acts || !(step > 0) || !std::isfinite(step)) continue;
        moved.push_back(k);
        for (const double sign : {1.0, -1.0}) {
            Point p{values_, held ? std::optional(to) : std::nullopt};
            const auto& bounds = u.parameter;
            p.values[k] = std::clamp(values_[k] + sign * step, bounds.lo, bounds.hi);
            points.push_back(std::move(p));
        }
    }
    const auto all = all_at(variant, held, points);
    std::vector<std::vector<double>> slopes(figures_.size(), std::vector<double>(values_.size()));
    for (std::size_t m = 0; m < moved.size(); ++m) {
        const auto k = moved[m];
        const double step = points[2 * m].values[k] - points[2 * m + 1].values[k];
        for (std::size_t f = 0; f < figures_.size(); ++f) slopes[f][k] = (all[2 * m][f] - all[2 * m + 1][f]) / step;
    }
    return slopes;
}

std::vector<double> ReferenceRuns::slopes_over(std::size_t variant, const Held& held, double to) const {
    const double step = std::fabs(held.step) / 2;
    const auto all = all_at(variant, &held, {{values_, to + step}, {values_, to - step}});
    std::vector<double> slopes;
    for (std::size_t f = 0; f < figures_.size(); ++f) slopes.push_back((all[0][f] - all[1][f]) / (2 * step));
    return slopes;
}

}  // namespace pullcast::measure

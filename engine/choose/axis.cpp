#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <pullcast/choose/sweep_choices.hpp>

namespace pullcast::choose {

double Axis::level(std::size_t k) const {
    if (!is_range()) return static_cast<double>(k);
    const auto n = static_cast<double>(count), at = static_cast<double>(k);
    if (!bought) return quantile((at + 0.5) / n);
    const double value = count == 1 ? (knob->from + knob->to) / 2 : std::lerp(knob->from, knob->to, at / (n - 1));
    return knob->whole ? std::round(value) : value;
}

double Axis::quantile(double u) const {
    if (!is_range()) {
        std::size_t k = 0;
        for (double sum = shares[0]; u >= sum && k + 1 < shares.size(); sum += shares[++k]) {
        }
        return static_cast<double>(k);
    }
    const double half = knob->whole ? 0.5 : 0;  // so that a whole number at an end is met as often as the others
    double value = std::lerp(knob->from - half, knob->to + half, u);
    if (normal) {
        const boost::math::normal law(normal->mean, normal->deviation);
        const double below = cdf(law, knob->from - half), within = cdf(law, knob->to + half) - below;
        const double part = below + u * within;
        value = part < 1 ? boost::math::quantile(law, part) : knob->to;
    }
    return std::clamp(knob->whole ? std::round(value) : value, knob->from, knob->to);
}

Value Axis::text(double value) const {
    Value v{knob->place, {}};
    if (!is_range()) v.data = knob->choices[static_cast<std::size_t>(value)].value;
    else if (knob->whole) v.data = static_cast<std::int64_t>(value);
    else if (knob->unit == "1") v.data = value;
    else v.data = fmt::format("{} {}", value, knob->unit == "dK" ? "K" : knob->unit);
    return v;
}

bool Wish::counts(const std::vector<double>& met) const {
    return std::all_of(on.begin(), on.end(), [&](const auto& o) {
        return std::find(o.second.begin(), o.second.end(), met[o.first]) != o.second.end();
    });
}

std::string Column::name() const { return pull ? fmt::format("{}:{}", figure->key, pull) : figure->key; }

}  // namespace pullcast::choose

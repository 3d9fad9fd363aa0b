#include "day_curves.hpp"

#include <algorithm>
#include <cmath>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

using View = const PullView&;
using Values = std::vector<double>;

Values column(View v, std::optional<std::size_t> channel) {
    Values out(channel ? v.points() : 0);
    for (std::size_t k = 0; k < out.size(); ++k) out[k] = v.pull().at(k, *channel);
    return out;
}

/// The wall of the volume that the engine breathes from.
Values manifold_wall(View v) {
    const auto& node = v.manifold_node();
    return column(v, v.find(node.substr(0, node.find('.')) + ".wall_temperature"));
}

constexpr PullCurve of_a_day[] = {
    {"core_metal", "metal of the core", "K", "temperature", 1, "tubes and fins, between charge and coolant",
     [](View v) { return column(v, v.find("cooler", "wall_temperature")); }},
    {"casing_metal", "blower casing", "K", "temperature", 1, "what the blower's casing has soaked up",
     [](View v) { return column(v, v.find("blower", "case_temperature")); }},
    {"manifold_metal", "wall of the manifold", "K", "temperature", 1, "what the charge passes last",
     [](View v) { return manifold_wall(v); }},
    {"engine_metal", "metal of the engine", "K", "temperature", 1, "it warms the bay and what is bolted to it",
     [](View v) { return column(v, v.find("thermal", "metal_temperature")); }},
    {"bay_air", "air in the engine bay", "K", "temperature", 1, "what soaks lid, manifold and blower while it idles",
     [](View v) { return column(v, v.find("bay", "temperature")); }},
    {"engine_speed", "engine speed", "rad/s", "speed", 0, "of the crank",
     [](View v) { return column(v, v.find("load", "speed")); }},
};

/// Half of what the last decimal shows in metric units, SI.
double tolerance(const PullCurve& c) {
    const auto display = display_unit(c.unit, UnitSystem::metric, c.quantity);
    return 0.5 * std::pow(10.0, -c.decimals) / std::fabs(display.scale);
}

/// Which point between two is farthest from the lines that join them, in tolerances.
class Farthest {
public:
    Farthest(const Values& time, std::span<const PullCurve> curves, const std::vector<Values>& columns)
        : time_(time), columns_(columns) {
        for (const auto& c : curves) scale_.push_back(1 / tolerance(c));
    }

    /// Nothing where all are within their tolerance.
    std::optional<std::size_t> between(std::size_t a, std::size_t b) const {
        std::optional<std::size_t> at;
        double worst = 1;
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            if (columns_[c].empty()) continue;
            for (std::size_t k = a + 1; k < b; ++k)
                if (const double off = scale_[c] * distance(columns_[c], a, b, k); off > worst) worst = off, at = k;
        }
        return at;
    }

private:
    double distance(const Values& y, std::size_t a, std::size_t b, std::size_t k) const {
        const int missing = std::isnan(y[a]) + std::isnan(y[b]) + std::isnan(y[k]);
        if (missing > 0) return missing == 3 ? 0 : std::numeric_limits<double>::infinity();
        const double share = (time_[k] - time_[a]) / (time_[b] - time_[a]);
        return std::fabs(y[k] - (y[a] + share * (y[b] - y[a])));
    }

    const Values& time_;
    const std::vector<Values>& columns_;
    std::vector<double> scale_;
};

}  // namespace

const std::vector<PullCurve>& day_curves() {
    static const auto all = [] {
        std::vector<PullCurve> list(curves().begin(), curves().end());
        list.insert(list.end(), std::begin(of_a_day), std::end(of_a_day));
        return list;
    }();
    return all;
}

const std::vector<Chart>& day_charts() {
    static const auto all = [] {
        std::vector<Chart> list{{"metal",
                                 "Metal, and the air about it",
                                 "What a pull stores here comes back to the charge while the car stands.",
                                 {"core_metal", "casing_metal", "manifold_metal", "engine_metal", "bay_air"}},
                                {"crank", "Engine speed", "Pulls stand out from idling.", {"engine_speed"}}};
        for (const auto* first : {"coolant", "temperature"}) {
            const auto at = std::find_if(charts().begin(), charts().end(),
                                         [&](const Chart& c) { return c.key == std::string(first); });
            if (at != charts().end()) list.insert(list.begin(), *at);
        }
        for (const auto& c : charts())
            if (std::none_of(list.begin(), list.end(), [&](const Chart& l) { return l.key == std::string(c.key); }))
                list.push_back(c);
        return list;
    }();
    return all;
}

const std::vector<const char*>& first_over_the_day() {
    static const std::vector<const char*> keys{"intake_temperature", "coolant_in", "core_metal",
                                               "manifold_metal",     "boost",      "engine_speed"};
    return keys;
}

const std::vector<const char*>& first_over_the_pulls() {
    static const std::vector<const char*> keys{
        "intake_temperature", "charge_temperature", "coolant_in", "crank_power", "boost", "knock_margin"};
    return keys;
}

/// Halves at the worst point until no line is off (Ramer, Douglas and Peucker), for all curves at once.
std::vector<std::size_t> points_to_draw(const Values& time, std::span<const PullCurve> curves,
                                        const std::vector<Values>& columns) {
    const Farthest farthest(time, curves, columns);
    std::vector<std::size_t> kept;
    std::vector<std::pair<std::size_t, std::size_t>> open{{0, time.size() - 1}};
    while (!open.empty()) {
        const auto [a, b] = open.back();
        open.pop_back();
        if (const auto at = farthest.between(a, b)) {
            open.emplace_back(*at, b), open.emplace_back(a, *at);
            continue;
        }
        kept.push_back(a);
        if (b == time.size() - 1 && b != a) kept.push_back(b);
    }
    return kept;
}

}  // namespace pullcast

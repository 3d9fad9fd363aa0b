#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/solve/directions.hpp>
#include <set>
#include <stdexcept>

namespace pullcast {

namespace {

std::vector<std::uint32_t> components_of(const Network& network, const Parameter& p) {
    std::set<std::uint32_t> ids;
    for (const auto& place : p.places)
        for (const auto& part : network.parts())
            if (part.name == place.component) ids.insert(part.id);
    return {ids.begin(), ids.end()};
}

std::vector<double> rates_at_start(const Network& network) {
    Workspace<double> w(network);
    network.start(w.x.data());
    network.evaluate(w);
    return w.dx;
}

/// Where a whole number follows from the parameter (tubes that fit into a height), the rig jumps at some of its values.
/// There, one of the two steps away from the value changes some rate out of all proportion to the other.
bool jumps(const Network& network, const std::vector<double>& below, const std::vector<double>& at,
           const std::vector<double>& above) {
    constexpr double lopsided = 1e3, large = 1e-6;
    for (std::size_t i = 0; i < network.state_count(); ++i) {
        const double one = std::fabs(at[i] - below[i]), other = std::fabs(above[i] - at[i]);
        if (std::max(one, other) > lopsided * std::min(one, other) &&
            std::max(one, other) > large * (std::fabs(at[i]) + network.nominal()[i]))
            return true;
    }
    return false;
}

}  // namespace

Directions::Directions(const RigSpec& rig, std::vector<Parameter> parameters)
    : parameters_(std::move(parameters)), network_(std::make_unique<const Network>(rig)) {
    for (const Parameter& p : parameters_) {
        const Direction d = direction_along(rig, p);
        Along along{d.scale, {}, components_of(*network_, p)};
        for (const Sample& s : d.samples) {
            moved_.push_back(std::make_unique<const Network>(moved(rig, p, s.shift * d.scale)));
            along.trials.push_back({moved_.back().get(), s.shift, s.weight});
        }
        const auto& t = along.trials;
        if (t.size() == 2 &&
            jumps(*network_, rates_at_start(*t[0].network), rates_at_start(*network_), rates_at_start(*t[1].network)))
            throw std::invalid_argument(fmt::format(
                "parameter '{}': the rig jumps at its value {:.6g}: move it a little", p.name, value_of(rig, p)));
        along_.push_back(std::move(along));
    }
}

std::vector<Shift> Directions::shifts(std::size_t first) const {
    std::vector<Shift> all;
    for (std::size_t k = first; k < std::min(size(), first + dual_width); ++k)
        for (const Trial& t : along_[k].trials)
            for (const auto id : along_[k].components)
                all.push_back({t.network, id, static_cast<int>(k - first), t.weight});
    return all;
}

}  // namespace pullcast

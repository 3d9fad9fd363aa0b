/// A finished pull, read by role instead of by the names that a rig happens to use.
#pragma once
#include <optional>
#include <pullcast/solve/pull.hpp>
#include <string_view>
#include <vector>

namespace pullcast {

class PullView {
public:
    /// Network and pull must outlive the view.
    PullView(const Network& network, const Pull& pull);

    /// Column of "item" ("speed", "air.p") of a component with that role, the first or the n-th after it in the order
    /// of the rig; nothing where the rig has none.
    std::optional<std::size_t> find(std::string_view role, std::string_view item, std::size_t n = 0) const;
    /// Column of a channel by its whole name.
    std::optional<std::size_t> find(std::string_view name) const;

    /// Value at a report point, NaN where the rig has no such channel.
    double at(std::string_view role, std::string_view item, std::size_t point, std::size_t n = 0) const;
    double largest(std::string_view role, std::string_view item) const;
    double smallest(std::string_view role, std::string_view item) const;
    /// The n-th component with that role; null where there are fewer.
    const Network::Part* part(std::string_view role, std::size_t n = 0) const;

    /// Manifold: the gas node that the breathing model draws from.
    double manifold(std::string_view potential, std::size_t point) const;
    double boost(std::size_t point) const;  ///< Pa above ambient
    const std::string& manifold_node() const { return manifold_; }  ///< "manifold.gas"; "" without breathing

    std::size_t points() const { return pull_.points(); }
    std::size_t last() const { return pull_.points() - 1; }
    std::size_t peak_power() const { return peak_power_; }   ///< report point of the highest crank power
    std::size_t peak_torque() const { return peak_torque_; }
    std::size_t after(double t) const;                       ///< first report point at or after t s
    double time(std::size_t point) const { return pull_.time[point]; }
    double speed(std::size_t point) const { return at("load", "speed", point); }
    const Network& network() const { return network_; }
    const Pull& pull() const { return pull_; }

private:
    double extreme(std::string_view role, std::string_view item, bool (*better)(double, double)) const;
    std::size_t peak_of(std::string_view item) const;

    const Network& network_;
    const Pull& pull_;
    std::string manifold_;  // "manifold.gas"
    std::size_t peak_power_, peak_torque_;
};

}  // namespace pullcast

/// A positive-displacement blower from a measured map. Transports gas; stores rotor speed and the heat of the casing.
///
///     VE = map(omega, PR),  eta = map(omega, PR)               PR = p2 / p1, each floored: max(map, floor), rounded
///     m  = VE rho1 Vs N                                        delivered; leakage is in VE, so no separate leak flows
///     tau_map = VE rho1 Vs (h2s - h1) / (2 pi eta)             eta: isentropic power of m over shaft power
///     tau = Vs (p2 - p1) / (2 pi) + d (tau_map - Vs p1 (PRc - 1) / (2 pi)),   tau_map with VE, h2s and eta at PRc
///
/// Beyond the map: PRc = max(PR, lowest PR of the map), rounded over `ratio_width`. Below it the torque goes on with
/// the displacement's own slope Vs dp / (2 pi), the law of external compression, because eta has no meaning at PR = 1.
/// Everywhere else the tables go on linearly, above their floors. `map_distance` says how far out the point is. d is
/// the sense of rotation: what exceeds the reversible displacement torque always brakes. Warming of the inlet air by a
/// hot casing is in a measured VE already: `inlet_conductance` has the preset 0 and adds heat to the gas only.
#include "components.hpp"
#include "machine.hpp"

namespace pullcast::blower {
namespace {

struct FromMap : Machine {
    Map volumetric, isentropic;
    double volumetric_floor, isentropic_floor, floor_width, ratio_width;
    Output out_distance;

    static void describe(Schema<FromMap>& s) {
        s.summary = "transports: volumetric and isentropic efficiency from a map; stores rotor speed and case heat";
        s.reference = "definitions of volumetric and isentropic efficiency (thermodynamics textbooks); README.md";
        s.validity = "inside the map; map_distance tells how far outside";
        describe_ports(s);
        describe_rotor(s);
        s.map(&FromMap::volumetric, "volumetric_efficiency", "1", "speed", "rad/s", "pressure_ratio", "1",
              "delivered mass over inlet density times swept volume").shape_preserving();
        s.map(&FromMap::isentropic, "isentropic_efficiency", "1", "speed", "rad/s", "pressure_ratio", "1",
              "isentropic power of the delivered mass over shaft power").shape_preserving();
        s.number(&FromMap::volumetric_floor, "volumetric_floor", "1", "lowest volumetric efficiency beyond the map")
            .in(0, 1).preset(0.05);
        s.number(&FromMap::isentropic_floor, "isentropic_floor", "1", "lowest isentropic efficiency beyond the map")
            .in(0.01, 1).preset(0.2);
        s.number(&FromMap::floor_width, "floor_width", "1", "range over which the floors set in")
            .in(1e-6, 0.1).preset(0.01);
        s.number(&FromMap::ratio_width, "ratio_width", "1",
                 "range of pressure ratio over which the map's low end sets in")
            .in(1e-6, 0.2).preset(0.003);
        describe_case(s, 0);
        describe_outputs(s);
        s.output(&FromMap::out_distance, "map_distance", "1", "distance beyond the map over the map's extent")
            .warn_above(0, "the blower runs outside its map: efficiencies are extrapolated");
    }

    Problem prepare() {
        for (const Map* map : {&volumetric, &isentropic}) {
            const char* name = map == &volumetric ? "volumetric_efficiency" : "isentropic_efficiency";
            if (!(map->x[0] >= 0)) return {name, "speeds must not be negative"};
            if (!(map->y[0] > 1))
                return {name, "pressure ratios must be above 1: isentropic efficiency has no meaning at 1"};
            for (std::uint32_t i = 0; i < map->nx * map->ny; ++i)
                if (!(map->f[i] > 0 && map->f[i] <= 1.2)) return {name, "efficiencies must lie above 0 and up to 1.2"};
        }
        return {};
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const Intake<S> in = intake<S>(v, 1);
        const S p1 = v[from].p, p2 = v[to].p, ratio = p2 / p1;
        const S speed = soft_abs(v[omega], speed_width);
        const S ratio_in_map = soft_max(ratio, S(isentropic.y[0]), ratio_width);
        const auto fill = [&](const S& r) { return soft_max(volumetric(speed, r), S(volumetric_floor), floor_width); };
        const S efficiency = soft_max(isentropic(speed, ratio_in_map), S(isentropic_floor), floor_width);
        const S rise = media::enthalpy(media::isentropic_temperature(in.T, ratio_in_map, in.w), in.w) -
                       media::enthalpy(in.T, in.w);
        const S map_torque = fill(ratio_in_map) * in.rho * rise / efficiency;  // N m per m^3/rad
        Laws<S> l;
        l.mass_flow = fill(ratio) * in.rho * in.volume_flow;
        l.leak_flow = S(0);
        l.gas_torque = displacement / rad_per_rev * (p2 - p1 + in.sense * (map_torque - p1 * (ratio_in_map - 1)));
        l.friction_torque = S(0);
        deliver(v, in, l);
        if (!v.recording()) return;
        const S swept = in.rho * in.volume_flow;
        v.output(out_swept, swept);
        v.output(out_leak, swept - l.mass_flow);
        const double n = value(v[omega]), r = value(ratio);
        v.output(out_distance, std::max(volumetric.outside(n, r), isentropic.outside(n, r)));
    }
};

}  // namespace
}  // namespace pullcast::blower

const pullcast::ComponentType* blower_map() { return pullcast::component<pullcast::blower::FromMap>("blower.map"); }

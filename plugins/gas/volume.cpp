/// A well-mixed gas volume with a wall: duct, lid, plenum, manifold. Stores gas, vapour, energy and the wall's heat.
///
///     dm/dt = sum m,   dmw/dt = sum mw,   dU/dt = sum H - Q         states m, mw, U
///     C dTw/dt = Q + sum of heat put into `wall`                    state Tw
///     T from u(T, w) = U / m,   p = m R(w) T / V,   w = mw / m
///     Q = G (T - Tw)       gas.volume: G = h A, constant          gas.volume_adiabatic: Q = 0
///
/// First law of an open system with an ideal gas, kinetic energy neglected (thermodynamics textbooks). G is a constant
/// though h grows with flow: take it at the flow that matters. The wall is one lump: Biot number below about 0.1.
#include <pullcast/media/moist_air.hpp>

#include "components.hpp"

namespace pullcast::gas {
namespace {

template <bool exchanging>
struct Volume {
    double volume, conductance = 0, wall_capacity;
    double start_pressure, start_temperature, start_humidity, start_wall_temperature;
    Node<Gas> gas;
    Node<Heat> wall;
    State mass, energy, vapour, wall_temperature;
    Account to_wall;
    Output out_pressure, out_temperature, out_wall, out_mass;

    static void describe(Schema<Volume>& s) {
        s.role = "volume";
        s.summary = exchanging ? "stores moist air; exchanges heat with one wall lump"
                               : "stores moist air; the wall lump does not touch the gas";
        s.reference = "first law of an open system, ideal gas with variable specific heat (thermodynamics textbooks)";
        s.validity = "well mixed, gas 200 to 1200 K, wall of Biot number below 0.1";
        s.number(&Volume::volume, "volume", "m^3", "inner volume").in(1e-6, 10);
        if constexpr (exchanging)
            s.number(&Volume::conductance, "wall_conductance", "W/K", "heat transfer coefficient times inner area")
                .in(0, 1e4).preset(5);
        s.number(&Volume::wall_capacity, "wall_heat_capacity", "J/K", "wall mass times specific heat")
            .in(1, 1e6).preset(2000);
        s.number(&Volume::start_pressure, "start_pressure", "Pa", "pressure at the start")
            .in(1e3, 1e7).common("start_pressure").preset(101325);
        s.number(&Volume::start_temperature, "start_temperature", "K", "gas temperature at the start")
            .in(200, 800).common("start_temperature").preset(298.15);
        s.number(&Volume::start_humidity, "start_humidity", "1", "vapour in the gas at the start, by mass")
            .in(0, 0.2).common("start_humidity").preset(0);
        s.number(&Volume::start_wall_temperature, "start_wall_temperature", "K", "wall temperature at the start")
            .in(200, 800).common("start_temperature").preset(298.15);
        s.node(&Volume::gas, "gas", "the gas inside");
        s.node(&Volume::wall, "wall", "the wall");
        s.state(&Volume::mass, "mass", "kg", 1e-3, "mass of moist gas");
        s.state(&Volume::energy, "energy", "J", 100, "internal energy of the gas (its enthalpy is zero at 298.15 K)");
        s.state(&Volume::vapour, "vapour", "kg", 1e-5, "mass of water vapour in the gas");
        s.state(&Volume::wall_temperature, "wall_temperature", "K", 300, "wall temperature");
        s.account(&Volume::to_wall, "heat_to_wall", Ledger::meter, "heat from the gas to the wall");
        s.output(&Volume::out_pressure, "pressure", "Pa", "gas pressure, absolute");
        s.output(&Volume::out_temperature, "temperature", "K", "gas temperature");
        s.output(&Volume::out_wall, "wall_temperature", "K", "wall temperature");
        s.output(&Volume::out_mass, "mass", "kg", "mass of gas");
    }

    void start(Start x) const {
        const double R = media::gas_constant(start_humidity);
        const double m = start_pressure * volume / (R * start_temperature);
        x[mass] = m;
        x[energy] = m * media::internal_energy(start_temperature, start_humidity);
        x[vapour] = m * start_humidity;
        x[wall_temperature] = start_wall_temperature;
    }

    Stock stored(Held x) const {
        return {.energy = x[energy] + wall_capacity * x[wall_temperature], .gas = x[mass], .water = x[vapour]};
    }

    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S& m = v[mass];
        if (!(value(m) > 0)) v.reject("gas mass", m, 0, 1e3 * volume);
        const S w = v[vapour] / m;
        const S T = media::temperature_of_energy(S(v[energy] / m), w);
        if (!(value(T) > 100 && value(T) < 2000)) v.reject("gas temperature", T, 100, 2000);
        const S p = m * media::gas_constant(w) * T / volume;
        v(gas, media::gas_state(p, T, w));
        v(wall, {v[wall_temperature]});
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        if constexpr (exchanging) {
            const S Q = conductance * (v[gas].T - v[wall_temperature]);
            v.put(gas, {S(0), -Q, S(0)});
            v.put(wall, {Q});
            v.rate(to_wall) = Q;
        } else {
            v.rate(to_wall) = S(0);
        }
        if (!v.recording()) return;
        v.output(out_pressure, v[gas].p);
        v.output(out_temperature, v[gas].T);
        v.output(out_wall, v[wall_temperature]);
        v.output(out_mass, v[mass]);
    }

    void balance(auto v) const {
        const auto& into = v[gas];
        v.rate(mass) = into.m;
        v.rate(energy) = into.H;
        v.rate(vapour) = into.mw;
        v.rate(wall_temperature) = v[wall].Q / wall_capacity;
    }
};

}  // namespace
}  // namespace pullcast::gas

const pullcast::ComponentType* gas_volume() {
    return pullcast::component<pullcast::gas::Volume<true>>("gas.volume");
}
const pullcast::ComponentType* gas_volume_adiabatic() {
    return pullcast::component<pullcast::gas::Volume<false>>("gas.volume_adiabatic");
}

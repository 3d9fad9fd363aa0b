/// Outside air and the warm things around it: fixed potentials, everything that crosses is counted.
///
///     w = 0.621945 p_v / (p - p_v) / (1 + same)     p_v = RH p_ws(T), Hyland-Wexler (ASHRAE Fundamentals)
///     gas.ambient            p given
///     gas.ambient_altitude   p = 101325 (1 - 0.0065 H / 288.15)^5.25588, ISO 2533, H geopotential, -500 .. 11000 m
///
/// The air temperature is given in both models: a day is hotter or colder than the standard one.
#include <pullcast/media/moist_air.hpp>

#include "components.hpp"

namespace pullcast::gas {
namespace {

template <bool by_altitude>
struct Ambient {
    double temperature, pressure = 101325, altitude = 0, humidity;
    Node<Gas> air;
    Node<Heat> surroundings;
    Account gas, water, enthalpy, heat;
    Output out_temperature, out_pressure, out_humidity, out_vapour;
    Gas::Potential<double> state;  // derived

    static void describe(Schema<Ambient>& s) {
        s.role = "ambient";
        s.summary = by_altitude ? "outside air at an altitude of the standard atmosphere"
                                : "outside air at a given pressure";
        s.reference = by_altitude ? "ISO 2533 (pressure); ASHRAE Fundamentals ch. 1, Hyland-Wexler (humidity)"
                                  : "ASHRAE Fundamentals ch. 1, Hyland-Wexler (humidity)";
        s.validity = "230 to 330 K, steady weather";
        s.number(&Ambient::temperature, "temperature", "K", "air temperature").in(230, 330).preset(298.15);
        if constexpr (by_altitude)
            s.number(&Ambient::altitude, "altitude", "m", "geopotential height above sea level")
                .in(-500, 11000).preset(0);
        else
            s.number(&Ambient::pressure, "pressure", "Pa", "barometer, not reduced to sea level")
                .in(2e4, 1.2e5).preset(101325);
        s.number(&Ambient::humidity, "humidity", "1", "relative humidity").in(0, 1).preset(0.5);
        s.node(&Ambient::air, "air", "outside air");
        s.node(&Ambient::surroundings, "surroundings", "what warm parts lose heat to, at air temperature");
        s.account(&Ambient::gas, "gas", Ledger::gas, "moist air drawn in");
        s.account(&Ambient::water, "water", Ledger::water, "vapour drawn in with the air");
        s.account(&Ambient::enthalpy, "enthalpy", Ledger::energy, "enthalpy of the air drawn in");
        s.account(&Ambient::heat, "heat", Ledger::energy, "heat taken from the surroundings");
        s.output(&Ambient::out_temperature, "temperature", "K", "air temperature");
        s.output(&Ambient::out_pressure, "pressure", "Pa", "barometer");
        s.output(&Ambient::out_humidity, "humidity", "1", "relative humidity");
        s.output(&Ambient::out_vapour, "vapour_fraction", "1", "vapour in the moist air, by mass");
    }

    Problem prepare() {
        if constexpr (by_altitude) pressure = media::isa(altitude).p;
        if (humidity * media::saturation_pressure(temperature) > 0.5 * pressure)
            return {"humidity", "makes more vapour than air at this temperature and pressure"};
        state = media::gas_state(pressure, temperature, media::vapour_fraction(humidity, temperature, pressure));
        return {};
    }

    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(air, {S(state.p), S(state.T), S(state.h), S(state.rho), S(state.w)});
        v(surroundings, {S(state.T)});
    }

    void balance(auto v) const {
        const auto& into = v[air];
        v.rate(gas) = -into.m;
        v.rate(water) = -into.mw;
        v.rate(enthalpy) = -into.H;
        v.rate(heat) = -v[surroundings].Q;
        if (!v.recording()) return;
        v.output(out_temperature, state.T);
        v.output(out_pressure, state.p);
        v.output(out_humidity, humidity);
        v.output(out_vapour, state.w);
    }
};

}  // namespace
}  // namespace pullcast::gas

const pullcast::ComponentType* gas_ambient() {
    return pullcast::component<pullcast::gas::Ambient<false>>("gas.ambient");
}
const pullcast::ComponentType* gas_ambient_altitude() {
    return pullcast::component<pullcast::gas::Ambient<true>>("gas.ambient_altitude");
}

/// What joints and reservoirs share: a well-mixed body of coolant with states mass m and energy U.
///
///   h = U/m,  T = T(h),   dm/dt = sum m_dot,   dU/dt = sum H_dot
///
/// Coolant counts as incompressible with enthalpy = internal energy; pressure comes from the compliance of walls and of
/// trapped gas alone, thermal expansion is left out.
#pragma once
#include <pullcast/media/coolant.hpp>
#include <pullcast/sdk.hpp>

namespace coolant_family {
using namespace pullcast;

struct Body {
    double volume, fill_pressure, glycol, start_temperature;
    State mass, energy;
    Node<Coolant> coolant;
    media::CoolantMix mix;
    double full;  // m0: coolant that fills the volume at the fill pressure

    template <class C> static void describe_body(Schema<C>& s, double volume_preset) {
        s.number(&C::volume, "volume", "m^3", "coolant volume").positive().preset(volume_preset);
        s.number(&C::fill_pressure, "fill_pressure", "Pa", "absolute pressure at the start").positive().preset(101325);
        s.number(&C::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.number(&C::start_temperature, "start_temperature", "K", "coolant temperature at the start")
            .in(230, 400).common("start_coolant_temperature").preset(298.15);
        s.state(&C::mass, "mass", "kg", 0.1, "coolant");
        s.state(&C::energy, "energy", "J", 1e4, "energy of the coolant (that of its enthalpy)");
        s.template node<Coolant>(&C::coolant, "coolant", "contents");
    }
    void fill() {
        mix = media::coolant(glycol);
        full = mix.rho(start_temperature) * volume;
    }
    void start(Start v) const {
        v[mass] = full;
        v[energy] = full * mix.h(start_temperature);
    }
    Stock stored(Held v) const { return {.energy = v[energy], .coolant = v[mass]}; }
    /// Publishes the contents at pressure `p`.
    template <class S> void publish_body(const Publish<S>& v, const S& p) const {
        const S& m = v[mass];
        if (value(m) <= 0) v.reject("coolant mass in a joint or reservoir", m, 0, 2 * full);
        const S h = v[energy] / m;
        v(coolant, {p, mix.T_of_h(h), h});
    }
    void balance(auto v) const {
        v.rate(mass) = v[coolant].m;
        v.rate(energy) = v[coolant].H;
    }
};

}  // namespace coolant_family

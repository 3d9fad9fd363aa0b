/// What both thermal models share: the radiator behind its thermostat, and the loss to the engine bay.
///
///   Q_radiator = UA_radiator s(T_coolant) (T_coolant - T_surroundings)
///   Q_bay = G_bay (T_metal - T_bay), from metal to the bay; where none is connected, to the surroundings
/// s is 0 below opens_at, 1 above open_at and smooth (C2) between.
///
/// Reference: heat balance; opening window of wax thermostats (about 10 K): common practice, no source.
#pragma once
#include <pullcast/sdk.hpp>

namespace engine_family {
using namespace pullcast;

struct Cooling {
    double bay_conductance, radiator_conductance, opens_at, open_at, start_temperature;
    Node<Heat> metal, coolant;
    End<Heat> surroundings, bay;
    Output metal_temperature, coolant_temperature, thermostat;

    template <class C> static void describe_cooling(Schema<C>& s) {
        s.role = "thermal";
        s.number(&C::bay_conductance, "bay_conductance", "W/K", "metal to the engine bay").non_negative().preset(25);
        s.number(&C::radiator_conductance, "radiator_conductance", "W/K", "radiator with open thermostat")
            .non_negative().preset(1200);
        s.number(&C::opens_at, "opens_at", "K", "thermostat starts to open").in(300, 400).preset(355.15);
        s.number(&C::open_at, "open_at", "K", "thermostat fully open").in(300, 420).preset(367.15);
        s.number(&C::start_temperature, "start_temperature", "K", "metal and coolant temperature at the start")
            .in(230, 420).common("engine_temperature").preset(363.15);
        s.template node<Heat>(&C::metal, "metal", "engine metal");
        s.template node<Heat>(&C::coolant, "coolant", "engine coolant");
        s.template end<Heat>(&C::surroundings, "surroundings", "radiator air; the engine bay too where it has no node of its own");
        s.template end<Heat>(&C::bay, "bay", "air of the engine bay").optional();
        s.output(&C::metal_temperature, "metal_temperature", "K", "engine metal");
        s.output(&C::coolant_temperature, "coolant_temperature", "K", "engine coolant")
            .warn_above(388.15, "engine coolant above 115 degC");
        s.output(&C::thermostat, "thermostat", "1", "thermostat opening");
    }
    Problem check() const {
        if (open_at <= opens_at) return {"open_at", "must be above opens_at"};
        return {};
    }
    void flow_cooling(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S Ts = v[surroundings].T, Tm = v[metal].T, Tc = v[coolant].T, opening = soft_step(Tc, opens_at, open_at);
        const auto around = v.connected(bay) ? bay : surroundings;
        v.transfer(metal, around, {bay_conductance * (Tm - v[around].T)});
        v.transfer(coolant, surroundings, {radiator_conductance * opening * (Tc - Ts)});
        if (!v.recording()) return;
        v.output(metal_temperature, Tm);
        v.output(coolant_temperature, Tc);
        v.output(thermostat, opening);
    }
};

}  // namespace engine_family

/// Engine metal and engine coolant as two lumps. Stores heat.
///
///   C_m dT_m/dt = sum Q_metal   - G (T_m - T_c) - Q_bay
///   C_c dT_c/dt = sum Q_coolant + G (T_m - T_c) - Q_radiator
///
/// Thermostat and losses are in thermal.hpp. Start: both at start_temperature.
/// Reference: heat balance. Validity: coolant well mixed (pump running).
#include "components.hpp"
#include "thermal.hpp"

namespace {
using namespace engine_family;

struct Thermal : Cooling {
    double metal_capacity, coolant_capacity, conductance;
    State metal_state, coolant_state;

    static void describe(Schema<Thermal>& s) {
        s.summary = "stores heat: engine metal and engine coolant, thermostat to a radiator";
        s.reference = "heat balance";
        s.validity = "coolant well mixed";
        describe_cooling(s);
        s.number(&Thermal::metal_capacity, "metal_capacity", "J/K", "heat capacity of the metal")
            .positive().preset(100e3);
        s.number(&Thermal::coolant_capacity, "coolant_capacity", "J/K", "heat capacity of the coolant")
            .positive().preset(30e3);
        s.number(&Thermal::conductance, "conductance", "W/K", "metal to coolant").positive().preset(4000);
        s.state(&Thermal::metal_state, "metal_lump", "K", 300, "metal temperature");
        s.state(&Thermal::coolant_state, "coolant_lump", "K", 300, "coolant temperature");
    }
    Problem prepare() { return check(); }
    void start(Start v) const {
        v[metal_state] = start_temperature;
        v[coolant_state] = start_temperature;
    }
    Stock stored(Held v) const {
        return {.energy = metal_capacity * v[metal_state] + coolant_capacity * v[coolant_state]};
    }
    void publish(auto v) const {
        v(metal, {v[metal_state]});
        v(coolant, {v[coolant_state]});
    }
    void flow(auto v) const {
        v.transfer(metal, coolant, {conductance * (v[metal].T - v[coolant].T)});
        flow_cooling(v);
    }
    void balance(auto v) const {
        v.rate(metal_state) = v[metal].Q / metal_capacity;
        v.rate(coolant_state) = v[coolant].Q / coolant_capacity;
    }
};

}  // namespace

const pullcast::ComponentType* engine_thermal() { return component<Thermal>("engine.thermal"); }

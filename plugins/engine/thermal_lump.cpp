/// Engine metal and coolant as one lump. Stores heat.
///
///   C dT/dt = sum Q_metal + sum Q_coolant - Q_radiator - Q_bay
///
/// Both nodes have its temperature. Thermostat and losses are in thermal.hpp.
/// Reference: heat balance. Validity: minutes; within a 10 s pull the metal near the chamber runs ahead of a lump.
#include "components.hpp"
#include "thermal.hpp"

namespace {
using namespace engine_family;

struct ThermalLump : Cooling {
    double capacity;
    State temperature;

    static void describe(Schema<ThermalLump>& s) {
        s.summary = "stores heat: engine metal and coolant as one lump, thermostat to a radiator";
        s.reference = "heat balance";
        s.validity = "changes over minutes";
        describe_cooling(s);
        s.number(&ThermalLump::capacity, "capacity", "J/K", "heat capacity of metal and coolant")
            .positive().preset(130e3);
        s.state(&ThermalLump::temperature, "lump", "K", 300, "temperature of metal and coolant");
    }
    Problem prepare() { return check(); }
    void start(Start v) const { v[temperature] = start_temperature; }
    Stock stored(Held v) const { return {.energy = capacity * v[temperature]}; }
    void publish(auto v) const {
        v(metal, {v[temperature]});
        v(coolant, {v[temperature]});
    }
    void flow(auto v) const { flow_cooling(v); }
    void balance(auto v) const { v.rate(temperature) = (v[metal].Q + v[coolant].Q) / capacity; }
};

}  // namespace

const pullcast::ComponentType* engine_thermal_lump() { return component<ThermalLump>("engine.thermal_lump"); }

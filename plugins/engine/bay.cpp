/// Air and sheet metal under the bonnet as one lump. Stores heat.
///
///   C dT/dt = sum Q - (G + c u) (T - T_surroundings)
///   G     through bonnet, floor and wheel arches: conductance_shut or conductance_open, by `bonnet`
///   c u   air that a fan or the wind drives through: its density, heat capacity and opening make c (well mixed)
///
/// Reference: heat balance. Validity: air well mixed; the radiator's air and the sun are left out. Conductances of an
/// engine bay are guesses until a cool-down has been logged (common practice, no source).
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct Bay {
    double capacity, conductance_shut, conductance_open, draught_conductance, draught, start_temperature;
    std::int32_t bonnet;  // 0 shut, 1 open
    State lump;
    Node<Heat> air;
    End<Heat> surroundings;
    Output temperature, heat;
    double conductance;  // derived

    static void describe(Schema<Bay>& s) {
        s.role = "bay";
        s.summary = "stores heat: air and sheet metal under the bonnet, which lose heat to the outside";
        s.reference = "heat balance";
        s.validity = "well mixed; without radiator air and sun";
        s.number(&Bay::capacity, "heat_capacity", "J/K", "air and the sheet metal around it").in(100, 1e6).preset(8e3);
        s.choice(&Bay::bonnet, "bonnet", "shut|open", "which conductance holds").common("bonnet").preset(0);
        s.number(&Bay::conductance_shut, "conductance_shut", "W/K", "to the outside with the bonnet shut")
            .in(0, 1e4)
            .preset(20);
        s.number(&Bay::conductance_open, "conductance_open", "W/K", "to the outside with the bonnet open")
            .in(0, 1e4)
            .preset(60);
        s.number(&Bay::draught_conductance, "draught_conductance", "J/(m K)", "more of it per m/s of draught")
            .in(0, 1e4)
            .preset(20);
        s.number(&Bay::draught, "draught", "m/s", "speed of the air that fan or wind drives through")
            .in(0, 100)
            .common("draught")
            .preset(0);
        s.number(&Bay::start_temperature, "start_temperature", "K", "temperature at the start")
            .in(200, 500)
            .common("start_temperature")
            .preset(298.15);
        s.state(&Bay::lump, "lump", "K", 300, "temperature of the bay");
        s.node(&Bay::air, "air", "air of the engine bay");
        s.end(&Bay::surroundings, "surroundings", "outside air");
        s.output(&Bay::temperature, "temperature", "K", "air of the engine bay");
        s.output(&Bay::heat, "heat_to_surroundings", "W", "heat to the outside");
    }
    Problem prepare() {
        conductance = (bonnet == 1 ? conductance_open : conductance_shut) + draught_conductance * draught;
        return {};
    }
    void start(Start x) const { x[lump] = start_temperature; }
    Stock stored(Held x) const { return {.energy = capacity * x[lump]}; }
    void publish(auto v) const { v(air, {v[lump]}); }
    void flow(auto v) const {
        const auto Q = conductance * (v[air].T - v[surroundings].T);
        v.transfer(air, surroundings, {Q});
        if (!v.recording()) return;
        v.output(temperature, v[air].T);
        v.output(heat, Q);
    }
    void balance(auto v) const { v.rate(lump) = v[air].Q / capacity; }
};

}  // namespace

const pullcast::ComponentType* engine_bay() { return component<Bay>("engine.bay"); }

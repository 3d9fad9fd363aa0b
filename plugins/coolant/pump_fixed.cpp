/// Pump that delivers a set volume flow whatever the loop resists: for people who know the flow and not the pump.
/// Transports; carries its mass flow as a state so that it starts and stops softly.
///
///   dm/dt = (rho V - m) / tau
///   P into the coolant as heat
///
/// Reference: definition. Validity: the loop is open; against a blocked loop its pressure grows without bound, where a
/// real pump would stall (use coolant.pump).
#include <pullcast/media/coolant.hpp>
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct PumpFixed {
    double volume_flow, heat, response_time, start_flow, glycol, flow_width;
    State mass_flow;
    End<Coolant> from, to;
    Account electricity;
    Output flow_out, head_out, power_out;
    media::CoolantMix mix;

    static void describe(Schema<PumpFixed>& s) {
        s.role = "pump";
        s.summary = "transports coolant: a set volume flow";
        s.reference = "definition";
        s.validity = "open loop; does not stall";
        s.number(&PumpFixed::volume_flow, "volume_flow", "m^3/s", "flow from -> to").preset(3.83e-4);
        s.number(&PumpFixed::heat, "heat", "W", "electrical power, all of it heat in the coolant")
            .non_negative().preset(50);
        s.number(&PumpFixed::response_time, "response_time", "s", "time constant of the flow").positive().preset(0.2);
        s.number(&PumpFixed::start_flow, "start_flow", "kg/s", "mass flow at the start")
            .common("start_coolant_flow").preset(0);
        s.number(&PumpFixed::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.number(&PumpFixed::flow_width, "flow_width", "kg/s", "rounding of flow reversal").positive().preset(1e-3);
        s.state(&PumpFixed::mass_flow, "mass_flow", "kg/s", 0.3, "mass flow from -> to");
        s.end(&PumpFixed::from, "from", "suction side");
        s.end(&PumpFixed::to, "to", "delivery side");
        s.account(&PumpFixed::electricity, "electricity", Ledger::energy, "electrical energy, all into the coolant");
        s.output(&PumpFixed::flow_out, "flow", "m^3/s", "volume flow");
        s.output(&PumpFixed::head_out, "head", "Pa", "pressure rise that the loop asked for");
        s.output(&PumpFixed::power_out, "power", "W", "electrical power");
    }
    Problem prepare() { return mix = media::coolant(glycol), Problem{}; }
    void start(Start v) const { v[mass_flow] = start_flow; }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const auto &a = v[from], &b = v[to];
        const S m = v[mass_flow], rho = mix.rho(a.T);
        v.rate(mass_flow) = (rho * volume_flow - m) / response_time;
        v.transfer(from, to, carried(m, a, b, flow_width));
        v.put(to, {S(0), S(heat)});
        v.rate(electricity) = heat;
        if (!v.recording()) return;
        v.output(flow_out, m / rho);
        v.output(head_out, b.p - a.p);
        v.output(power_out, S(heat));
    }
};

}  // namespace

const pullcast::ComponentType* coolant_pump_fixed() { return component<PumpFixed>("coolant.pump_fixed"); }

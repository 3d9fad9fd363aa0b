/// Centrifugal coolant pump with an electric drive. Transports; carries its mass flow as a state.
///
///   n  = health voltage / rated_voltage                        relative speed
///   dp = (1 - g) n^2 H(V/n) - (1 - (1 - g) s(n)) K V|V|        head; affinity laws: V ~ n, dp ~ n^2
///   L dm/dt = dp + p_from - p_to,   V = m / rho
///   P  = rated_power n^3                                       all of it ends as heat in the coolant
///
/// H(V) head curve at rated voltage, g air-locked fraction, s(n) 0 at standstill and 1 above n = 0.2, K V|V| drop of
/// the standing rotor, L inertance = passage length / area. A dead pump (health 0) is a passive resistance.
///
/// Reference: affinity laws of centrifugal pumps (any pump handbook; from memory). Speed proportional to voltage:
/// common practice, no source. Validity: no cavitation; below n of about 0.2 the affinity laws flatter a real pump.
#include <algorithm>
#include <pullcast/media/coolant.hpp>
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct Pump {
    Curve head_curve;
    double voltage, rated_voltage, health, air_locked_fraction, stalled_drop, stalled_flow, rated_power, inertance;
    double start_flow, glycol, flow_width;
    State mass_flow;
    End<Coolant> from, to;
    Account electricity;
    Output flow_out, head_out, power_out;
    media::CoolantMix mix;
    double speed, grip, stalled, power;  // n, (1 - g), K (1 - (1 - g) s), P

    static void describe(Schema<Pump>& s) {
        s.role = "pump";
        s.summary = "transports coolant: head curve at rated voltage, affinity laws with voltage";
        s.reference = "affinity laws of centrifugal pumps (handbook knowledge, from memory)";
        s.validity = "no cavitation; relative speed above about 0.2";
        s.curve(&Pump::head_curve, "head_curve", "Pa", "flow", "m^3/s", "head over volume flow at rated voltage")
            .shape_preserving();
        s.number(&Pump::voltage, "voltage", "V", "voltage at the pump").non_negative().preset(13.5);
        s.number(&Pump::rated_voltage, "rated_voltage", "V", "voltage of the head curve").positive().preset(13.5);
        s.number(&Pump::health, "health", "1", "speed it reaches, of what it should: 1 sound, 0 dead")
            .in(0, 1).preset(1);
        s.number(&Pump::air_locked_fraction, "air_locked_fraction", "1", "head lost to trapped air").in(0, 1).preset(0);
        s.number(&Pump::stalled_drop, "stalled_drop", "Pa", "drop across the standing rotor at stalled_flow")
            .positive().preset(20e3);
        s.number(&Pump::stalled_flow, "stalled_flow", "m^3/s", "flow of stalled_drop").positive().preset(3.33e-4);
        s.number(&Pump::rated_power, "rated_power", "W", "electrical power at rated voltage").non_negative().preset(50);
        s.number(&Pump::inertance, "inertance", "1/m", "length / area of its passages").positive().preset(1000);
        s.number(&Pump::start_flow, "start_flow", "kg/s", "mass flow at the start")
            .common("start_coolant_flow").preset(0);
        s.number(&Pump::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.number(&Pump::flow_width, "flow_width", "kg/s", "rounding of flow reversal").positive().preset(1e-3);
        s.state(&Pump::mass_flow, "mass_flow", "kg/s", 0.3, "mass flow from -> to");
        s.end(&Pump::from, "from", "suction side");
        s.end(&Pump::to, "to", "delivery side");
        s.account(&Pump::electricity, "electricity", Ledger::energy, "electrical energy, all into the coolant");
        s.output(&Pump::flow_out, "flow", "m^3/s", "volume flow");
        s.output(&Pump::head_out, "head", "Pa", "pressure rise made by the pump");
        s.output(&Pump::power_out, "power", "W", "electrical power");
    }
    Problem prepare() {
        if (head_curve.low() > 0) return {"head_curve", "must start at zero flow (shut-off head)"};
        mix = media::coolant(glycol);
        speed = health * voltage / rated_voltage;
        grip = 1 - air_locked_fraction;
        stalled = (1 - grip * soft_step(speed, 0.0, 0.2)) * stalled_drop / (stalled_flow * stalled_flow);
        power = rated_power * speed * speed * speed;
        return {};
    }
    void start(Start v) const { v[mass_flow] = start_flow; }
    /// Pressure rise at volume flow V. The floor keeps V/n finite at standstill.
    template <class S> S pressure_rise(const S& V) const {
        using std::sqrt;
        const double n = std::max(speed, 1e-6), width = 1e-3 * stalled_flow;
        return grip * n * n * head_curve(V / n) - stalled * V * sqrt(V * V + width * width);
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const auto &a = v[from], &b = v[to];
        const S m = v[mass_flow], V = m / mix.rho(a.T), dp = pressure_rise(V);
        v.rate(mass_flow) = (dp + a.p - b.p) / inertance;
        v.transfer(from, to, carried(m, a, b, flow_width));
        v.put(to, {S(0), S(power)});
        v.rate(electricity) = power;
        if (!v.recording()) return;
        v.output(flow_out, V);
        v.output(head_out, dp);
        v.output(power_out, S(power));
    }
};

}  // namespace

const pullcast::ComponentType* coolant_pump() { return component<Pump>("coolant.pump"); }

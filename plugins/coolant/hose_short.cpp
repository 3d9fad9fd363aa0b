/// Short hose: inertance, friction and heat loss, without the coolant in it. Transports; its mass flow is a state.
///
///   (l/A) dm/dt = p_from - p_to - dp(m),   H = m h_upstream
///   Q = loss l ((T_from + T_to)/2 - T_surroundings), half from each end
///
/// Reference: friction as in friction.hpp. Validity: delay l A rho / m short against what is studied (0.3 m of 19 mm
/// bore at 20 L/min: 0.26 s).
#include <pullcast/media/coolant.hpp>

#include "components.hpp"
#include "friction.hpp"

namespace {
using namespace coolant_family;

struct HoseShort {
    double length, bore, fittings, loss, start_flow, glycol, flow_width;
    State mass_flow;
    End<Coolant> from, to;
    End<Heat> surroundings;
    Output flow_out, drop, outlet_temperature;
    media::CoolantMix mix;
    Line line;
    double inertance, half_loss;  // 1/m, W/K

    static void describe(Schema<HoseShort>& s) {
        s.role = "hose";
        s.summary = "transports coolant: inertance, friction and heat loss, no delay";
        s.reference = "Blasius and Hagen-Poiseuille friction";
        s.validity = "Re < 1e5; delay short against what is studied";
        s.number(&HoseShort::length, "length", "m", "length").positive().preset(0.3);
        s.number(&HoseShort::bore, "bore", "m", "inner diameter").positive().preset(0.019);
        s.number(&HoseShort::fittings, "fittings", "1", "sum of loss coefficients of bends and fittings")
            .non_negative().preset(2);
        s.number(&HoseShort::loss, "loss", "W/(m K)", "heat loss per length to the surroundings")
            .non_negative().preset(0.8);
        s.number(&HoseShort::start_flow, "start_flow", "kg/s", "mass flow at the start")
            .common("start_coolant_flow").preset(0);
        s.number(&HoseShort::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.number(&HoseShort::flow_width, "flow_width", "kg/s", "rounding of flow reversal").positive().preset(1e-3);
        s.state(&HoseShort::mass_flow, "mass_flow", "kg/s", 0.3, "mass flow from -> to");
        s.end(&HoseShort::from, "from", "one end");
        s.end(&HoseShort::to, "to", "other end");
        s.end(&HoseShort::surroundings, "surroundings", "what it loses heat to; insulated where left open").optional();
        s.output(&HoseShort::flow_out, "flow", "m^3/s", "volume flow");
        s.output(&HoseShort::drop, "pressure_drop", "Pa", "friction pressure drop");
        s.output(&HoseShort::outlet_temperature, "outlet_temperature", "K", "temperature at the `to` end");
    }
    Problem prepare() {
        mix = media::coolant(glycol);
        line = {length, bore, fittings, flow_width};
        inertance = length / line.area();
        half_loss = loss * length / 2;
        return {};
    }
    void start(Start v) const { v[mass_flow] = start_flow; }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const auto &a = v[from], &b = v[to];
        const S m = v[mass_flow], T = 0.5 * (a.T + b.T), rho = mix.rho(T), dp = line.pressure_drop(m, rho, mix.mu(T));
        v.rate(mass_flow) = (a.p - b.p - dp) / inertance;
        v.transfer(from, to, carried(m, a, b, flow_width));
        if (v.connected(surroundings)) {
            const S Ts = v[surroundings].T, Qa = half_loss * (a.T - Ts), Qb = half_loss * (b.T - Ts);
            v.put(from, {S(0), -Qa});
            v.put(to, {S(0), -Qb});
            v.put(surroundings, {Qa + Qb});
        }
        if (!v.recording()) return;
        v.output(flow_out, m / rho);
        v.output(drop, dp);
        v.output(outlet_temperature, b.T);
    }
};

}  // namespace

const pullcast::ComponentType* coolant_hose_short() { return component<HoseShort>("coolant.hose_short"); }

/// What both blower models share: rotor, casing, the stream through the machine with its heat exchange, and the
/// outputs. A model adds two laws, what is drawn in and which torque the gas takes, and calls `deliver`.
///
///     J domega/dt = sum of torques on the shaft            C dTc/dt = sum of heat put into `case`
///     d  = omega / sqrt(omega^2 + w^2)                     sense of rotation, -1 .. 1; s = (1 + d) / 2
///     e  = 1 - exp(-hA / (cp |m|))                         share of the way to the casing temperature, exact for a
///                                                          wall of one temperature; alike at inlet and discharge
///     h1' = h1 + e1 cp (Tc - T1)                           inlet air warmed by the casing: that is how leakage, which
///                                                          heats inlet node and casing, costs mass flow
///     |m| h2' = |m| h1' + tau_gas omega                    first law between inlet and discharge port
///     Qc = e2 |m| (h2' - h(Tc)) + tau_friction omega       heat to the casing
///     leakage carries the enthalpy and vapour of the outlet node back to the inlet node
///
/// First law of an open system with a lumped casing. Reverse rotation carries the other node's gas the other way.
#pragma once
#include <numbers>
#include <pullcast/media/moist_air.hpp>
#include <pullcast/sdk.hpp>

namespace pullcast::blower {

inline constexpr double rad_per_rev = 2 * std::numbers::pi;

/// The gas that the rotors take in, from the side that the sense of rotation makes the inlet.
template <class S>
struct Intake {
    S sense, forward;            // d and s above
    S p, T, h, w, rho, cp, R;
    S volume_flow;               // m^3/s swept, positive `from` -> `to`
    S T_warmed, h_warmed;        // after the casing
};
/// What a model's laws give.
template <class S>
struct Laws {
    S mass_flow;                 // kg/s drawn in, signed as volume_flow
    S leak_flow;                 // kg/s from `to` back to `from`
    S gas_torque;                // N m taken from the shaft and given to the gas
    S friction_torque;           // N m taken from the shaft and given to the casing
};

struct Machine {
    double displacement, speed_limit, inertia, case_capacity, inlet_conductance, outlet_conductance;
    double start_speed, start_ratio, start_case_temperature, speed_width, flow_width;
    End<Gas> from, to;
    Node<Shaft> shaft;
    Node<Heat> casing;
    State omega, case_temperature;
    Account shaft_work, case_heat;
    Output out_speed, out_ratio, out_power, out_volumetric, out_isentropic, out_temperature, out_swept, out_leak,
        out_case, out_margin;

    template <class C> static void describe_ports(Schema<C>& s) {
        s.role = "blower";
        s.template end<Gas>(&C::from, "from", "inlet");
        s.template end<Gas>(&C::to, "to", "discharge");
        s.template node<Shaft>(&C::shaft, "shaft", "rotor shaft, at the rotors' own speed");
        s.template node<Heat>(&C::casing, "case", "casing and rotors");
        s.state(&C::omega, "rotor_speed", "rad/s", 1000, "rotor speed");
        s.state(&C::case_temperature, "case_metal", "K", 300, "temperature of casing and rotors");
        s.account(&C::shaft_work, "shaft_work", Ledger::meter, "work taken from the shaft");
        s.account(&C::case_heat, "heat_to_case", Ledger::meter, "heat from gas and friction to the casing");
    }
    template <class C> static void describe_rotor(Schema<C>& s) {
        s.number(&C::displacement, "displacement", "m^3/rev", "swept volume per revolution").in(1e-5, 0.1);
        s.number(&C::speed_limit, "speed_limit", "rad/s", "highest permitted rotor speed").in(10, 2e4);
        s.number(&C::inertia, "inertia", "kg m^2", "moment of inertia of both rotors at the shaft")
            .in(1e-6, 1).preset(4e-3);
        s.number(&C::start_speed, "start_speed", "rad/s", "crank speed at the start").in(0, 2000)
            .common("start_speed").preset(150);
        s.number(&C::start_ratio, "start_ratio", "1",
                 "rotor speed over crank speed at the start; the drive corrects it")
            .in(0, 10).preset(2);
        s.number(&C::speed_width, "speed_width", "rad/s",
                 "range about standstill over which friction and flow turn over")
            .in(1e-3, 100).preset(2);
        s.number(&C::flow_width, "flow_width", "kg/s", "range about zero flow over which the upstream side changes")
            .in(1e-9, 0.01).preset(1e-4);
    }
    /// `inlet_preset`: 0 where the efficiency was measured with the casing hot, so that warming is in it already.
    template <class C> static void describe_case(Schema<C>& s, double inlet_preset) {
        s.number(&C::case_capacity, "case_heat_capacity", "J/K", "mass times specific heat of casing and rotors")
            .in(1, 1e6).preset(6000);
        s.number(&C::inlet_conductance, "inlet_conductance", "W/K", "h A between casing and inlet air").in(0, 1e4)
            .preset(inlet_preset);
        s.number(&C::outlet_conductance, "outlet_conductance", "W/K", "h A between discharged air and casing")
            .in(0, 1e4).preset(10);
        s.number(&C::start_case_temperature, "start_case_temperature", "K", "casing temperature at the start")
            .in(200, 500).common("start_temperature").preset(298.15);
    }
    template <class C> static void describe_outputs(Schema<C>& s) {
        s.output(&C::out_speed, "speed", "rad/s", "rotor speed");
        s.output(&C::out_ratio, "pressure_ratio", "1", "discharge over inlet pressure, absolute");
        s.output(&C::out_power, "drive_power", "W", "power taken from the shaft");
        s.output(&C::out_volumetric, "volumetric_efficiency", "1",
                 "delivered mass over inlet density times swept volume");
        s.output(&C::out_isentropic, "isentropic_efficiency", "1",
                 "isentropic power of the delivered mass over drive power; "
                 "0 where there is nothing to compress");
        s.output(&C::out_temperature, "outlet_temperature", "K",
                 "temperature of the air that leaves the discharge port");
        s.output(&C::out_swept, "swept_flow", "kg/s", "mass flow drawn in by the rotors");
        s.output(&C::out_leak, "leak_flow", "kg/s", "mass flow back from discharge to inlet");
        s.output(&C::out_case, "case_temperature", "K", "temperature of casing and rotors");
        s.output(&C::out_margin, "speed_margin", "rad/s", "speed limit minus rotor speed")
            .warn_below(0, "the blower runs faster than its rotor speed limit");
    }

    void start(Start x) const {
        x[omega] = start_speed * start_ratio;
        x[case_temperature] = start_case_temperature;
    }
    Stock stored(Held x) const {
        return {.energy = 0.5 * inertia * x[omega] * x[omega] + case_capacity * x[case_temperature]};
    }
    void publish(auto v) const {
        v(shaft, {v[omega]});
        v(casing, {v[case_temperature]});
    }
    void balance(auto v) const {
        v.rate(omega) = v[shaft].tau / inertia;
        v.rate(case_temperature) = v[casing].Q / case_capacity;
    }

protected:
    /// Share of the way that `flow` (kg/s, any sign) goes towards the casing temperature along a conductance.
    template <class S> S approach(const S& flow, const S& cp, double conductance) const {
        using std::expm1, std::sqrt;
        if (conductance == 0) return S(0);
        return -expm1(-conductance / (cp * sqrt(flow * flow + flow_width * flow_width)));
    }

    /// `reverse_volume`: volume taken in per revolution when turned backwards, over the displacement.
    template <class S, class V> Intake<S> intake(const V& v, double reverse_volume) const {
        using std::sqrt;
        const auto &a = v[from], &b = v[to];
        const S& n = v[omega];
        Intake<S> in;
        in.sense = n / sqrt(n * n + speed_width * speed_width);
        in.forward = 0.5 * (1 + in.sense);
        const auto side = [&](const S& x, const S& y) { return y + in.forward * (x - y); };
        in.p = side(a.p, b.p), in.T = side(a.T, b.T), in.h = side(a.h, b.h), in.w = side(a.w, b.w);
        in.cp = media::specific_heat(in.T, in.w), in.R = media::gas_constant(in.w);
        in.rho = in.p / (in.R * in.T);
        in.volume_flow = displacement / rad_per_rev * n * (in.forward + reverse_volume * (1 - in.forward));
        const S rise = approach(S(in.rho * in.volume_flow), in.cp, inlet_conductance) * (v[case_temperature] - in.T);
        in.T_warmed = in.T + rise, in.h_warmed = in.h + in.cp * rise;
        return in;
    }

    /// Moves mass, energy and torque by the model's laws, and reports.
    template <class S, class V> void deliver(const V& v, const Intake<S>& in, const Laws<S>& l) const {
        const S& n = v[omega];
        const S stream = l.mass_flow * in.sense, gas_power = l.gas_torque * n, friction = l.friction_torque * n;
        const S from_case = stream * (in.h_warmed - in.h);
        const S after_work = stream * in.h_warmed + gas_power;
        const S to_case = approach(l.mass_flow, in.cp, outlet_conductance) *
                          (after_work - stream * media::enthalpy(v[case_temperature], in.w));
        const S heat = to_case + friction - from_case, added = gas_power + from_case - to_case;

        v.transfer(from, to, {l.mass_flow, l.mass_flow * in.h, l.mass_flow * in.w});
        v.put(to, {S(0), in.forward * added, S(0)});
        v.put(from, {S(0), (1 - in.forward) * added, S(0)});
        v.transfer(to, from, carried(l.leak_flow, v[to], v[from], flow_width));
        v.put(shaft, {-(l.gas_torque + l.friction_torque)});
        v.put(casing, {heat});
        v.rate(shaft_work) = gas_power + friction;
        v.rate(case_heat) = heat;
        if (v.recording()) report(v, in, l, S(stream), S(added));
    }

private:
    template <class S, class V>
    void report(const V& v, const Intake<S>& in, const Laws<S>& l, const S& stream, const S& added) const {
        const double p1 = value(v[from].p), p2 = value(v[to].p), T1 = value(v[from].T), w = value(in.w);
        const double net = value(l.mass_flow) - value(l.leak_flow), n = value(v[omega]);
        const double swept = value(v[from].rho) * displacement / rad_per_rev * n;
        const double power = (value(l.gas_torque) + value(l.friction_torque)) * n;
        const double ideal = media::enthalpy(media::isentropic_temperature(T1, p2 / p1, w), w) - media::enthalpy(T1, w);
        const double m = value(stream), h2 = value(in.h) + value(added) * m / (m * m + 1e-12);
        double T2 = value(in.T);
        for (int step = 0; step < 3; ++step) T2 += (h2 - media::enthalpy(T2, w)) / media::specific_heat(T2, w);
        v.output(out_speed, n), v.output(out_ratio, p2 / p1), v.output(out_power, power);
        v.output(out_volumetric, ratio(net, swept, 1e-6)),
            v.output(out_isentropic, p2 > p1 ? ratio(net * ideal, power, 1e-3) : 0);
        v.output(out_temperature, T2), v.output(out_swept, value(l.mass_flow)), v.output(out_leak, value(l.leak_flow));
        v.output(out_case, v[case_temperature]), v.output(out_margin, speed_limit - n);
    }
    /// a / b, and 0 where b is nothing.
    static double ratio(double a, double b, double nothing) { return a * b / (b * b + nothing * nothing); }
};

}  // namespace pullcast::blower

/// What all charge coolers share: the charge air's path through the core with its pressure drop, the optional heat to
/// the surroundings, and the outputs of the role.
///
///     dp rho = dp0 rho0 (m / m0)^(1/q)               q = 1/2: quadratic law; a core's friction factor falls with flow:
///     m = m0 x / (x^2 + w^2)^((1 - q)/2)             q > 1/2;  x = dp rho / (dp0 rho0), w: linear near zero
///     rho = mean of both sides                       smooth through reversal
///     core flow = (1 - bypass_fraction) m            the rest leaks round the core and mixes behind it
///     Ca = cp |core flow|, smooth and zero at rest
///     heat is taken out of the stream that leaves: put at the node downstream, shared smoothly near zero flow
#pragma once
#include <pullcast/media/moist_air.hpp>
#include <pullcast/sdk.hpp>

namespace pullcast::cooler {

inline constexpr double least_flow = 1e-9;  // kg/s: keeps a ratio of capacity rates finite at rest

/// The charge as it enters, whichever side that is.
template <class S>
struct Air {
    S m;              // kg/s, positive `from` -> `to`
    S forward;        // share of `to` in being downstream, 0 .. 1
    S T, w, cp;       // of the side it enters from
    S core;           // kg/s through the core, >= 0
    S C;              // W/K, capacity rate of the core flow, > 0
    bool ahead;       // m >= 0
};

struct Charge {
    double rated_flow, rated_drop, rated_density, flow_exponent = 0.5, drop_width, flow_width, bypass_fraction = 0;
    End<Gas> from, to;
    Sees<Gas> outside;
    Account heat_from_charge;
    Output out_effectiveness, out_in, out_out, out_heat, out_coolant_in, out_coolant_out, out_drop, out_flow, out_wall;

    /// `cooled_by_air`: the model works with outside air; the others take the connection and leave it aside.
    template <class C> static void describe_path(Schema<C>& s, bool cooled_by_air = false) {
        s.role = "cooler";
        s.template end<Gas>(&C::from, "from", "charge air in");
        s.template end<Gas>(&C::to, "to", "charge air out");
        auto sees = s.template sees<Gas>(&C::outside, "outside", cooled_by_air ? "outside air, which takes the heat"
                                                                              : "outside air: not used by this model");
        if (!cooled_by_air) sees.optional();
        s.account(&C::heat_from_charge, "heat_from_charge", Ledger::meter, "heat from the charge air to the core");
        s.number(&C::drop_width, "drop_width", "1", "share of the rated pressure drop below which the law turns linear")
            .in(1e-8, 0.1).preset(1e-4);
        s.number(&C::flow_width, "flow_width", "kg/s", "range of charge flow over which the inlet side changes")
            .in(1e-7, 0.01).preset(1e-4);
    }
    template <class C> static void describe_drop(Schema<C>& s, double drop) {
        s.number(&C::rated_flow, "rated_flow", "kg/s", "charge flow at the rated point").in(1e-4, 10).preset(0.35);
        s.number(&C::rated_drop, "rated_pressure_drop", "Pa", "charge pressure drop at the rated point").in(1, 2e5)
            .preset(drop);
        s.number(&C::rated_density, "rated_density", "kg/m^3", "charge density at the rated point")
            .in(0.1, 20).preset(1.6);
    }
    template <class C> static void describe_bypass(Schema<C>& s) {
        s.number(&C::bypass_fraction, "bypass_fraction", "1", "share of the charge that leaks round the core")
            .in(0, 0.9).preset(0.02);
    }
    template <class C> static void describe_outputs(Schema<C>& s) {
        s.output(&C::out_effectiveness, "effectiveness", "1", "charge cooling over (charge in - coolant in)");
        s.output(&C::out_in, "charge_in", "K", "charge temperature at the inlet");
        s.output(&C::out_out, "charge_out", "K", "charge temperature at the outlet, bypass leakage mixed in");
        s.output(&C::out_heat, "heat", "W", "heat from the charge to the core");
        s.output(&C::out_coolant_in, "coolant_in", "K", "temperature of the cooling medium at its inlet");
        s.output(&C::out_coolant_out, "coolant_out", "K", "temperature of the cooling medium at its outlet");
        s.output(&C::out_drop, "air_pressure_drop", "Pa", "charge pressure drop");
        s.output(&C::out_flow, "charge_flow", "kg/s", "charge flow");
        s.output(&C::out_wall, "wall_temperature", "K", "mean temperature of the core metal");
    }

protected:
    template <class S> static S smooth_size(const S& flow, double width) { return soft_abs(flow, width) + least_flow; }

    template <class S, class V> Air<S> air(const V& v) const {
        using std::sqrt, std::pow;
        const auto &a = v[from], &b = v[to];
        const S x = (a.p - b.p) * (0.5 * (a.rho + b.rho)) / (rated_drop * rated_density);
        Air<S> r;
        if (flow_exponent == 0.5) r.m = rated_flow * signed_sqrt(x, drop_width);
        else r.m = rated_flow * x * pow(x * x + drop_width * drop_width, 0.5 * (flow_exponent - 1));
        r.ahead = value(r.m) >= 0;
        r.forward = 0.5 * (1 + r.m / sqrt(r.m * r.m + flow_width * flow_width));
        r.T = b.T + r.forward * (a.T - b.T), r.w = b.w + r.forward * (a.w - b.w);
        r.cp = media::specific_heat(r.T, r.w);
        r.core = smooth_size(S((1 - bypass_fraction) * r.m), flow_width);
        r.C = r.cp * r.core;
        return r;
    }
    /// Moves the charge and takes `heat` (W) out of it.
    template <class S, class V> void pass(const V& v, const Air<S>& a, const S& heat) const {
        v.transfer(from, to, carried(a.m, v[from], v[to], flow_width));
        v.put(to, {S(0), -a.forward * heat, S(0)});
        v.put(from, {S(0), (a.forward - 1) * heat, S(0)});
        v.rate(heat_from_charge) = heat;
    }
    /// `in`, `out`: temperatures of the cooling medium; `wall`: mean of the core.
    template <class S, class V>
    void report(const V& v, const Air<S>& a, const S& heat, double in, double out, double wall) const {
        const double T1 = value(a.T), w = value(a.w), m = value(smooth_size(a.m, flow_width));
        const double h2 = media::enthalpy(T1, w) - value(heat) / m, approach = T1 - in;
        double T2 = T1;
        for (int step = 0; step < 3; ++step) T2 += (h2 - media::enthalpy(T2, w)) / media::specific_heat(T2, w);
        v.output(out_effectiveness, (T1 - T2) * approach / (approach * approach + 1e-4));
        v.output(out_in, T1), v.output(out_out, T2), v.output(out_heat, heat);
        v.output(out_coolant_in, in), v.output(out_coolant_out, out), v.output(out_wall, wall);
        v.output(out_drop, v[from].p - v[to].p), v.output(out_flow, a.m);
    }
};

/// Heat to what surrounds the core: Q = UA (Tw - Ts), nothing where the end is left open.
struct Surroundings {
    double surroundings_conductance;
    End<Heat> surroundings;

    template <class C> static void describe_surroundings(Schema<C>& s) {
        s.template end<Heat>(&C::surroundings, "surroundings", "air and metal round the core").optional();
        s.number(&C::surroundings_conductance, "surroundings_conductance", "W/K",
                 "from the core metal to its surroundings")
            .in(0, 1e3).preset(1);
    }
    /// Heat that a part `share` of the core, at `wall` K, gives away. The sum of all of them is put by `give_away`.
    template <class S, class V> S loss(const V& v, const S& wall, double share) const {
        return v.connected(surroundings) ? S(share * surroundings_conductance * (wall - v[surroundings].T)) : S(0);
    }
    template <class S, class V> void give_away(const V& v, const S& heat) const {
        if (v.connected(surroundings)) v.put(surroundings, {heat});
    }
};

/// The coolant's path as a quadratic loss: m = m0 sqrt(dp / dp0), linear near zero.
struct CoolantPath {
    double coolant_rated_flow, coolant_rated_drop, coolant_drop_width;
    End<Coolant> coolant_in, coolant_out;

    template <class C> static void describe_coolant(Schema<C>& s, bool needed) {
        auto in = s.template end<Coolant>(&C::coolant_in, "coolant_in", "coolant in");
        if (!needed) in.optional();
        auto out = s.template end<Coolant>(&C::coolant_out, "coolant_out", "coolant out");
        if (!needed) out.optional();
        s.number(&C::coolant_rated_flow, "coolant_rated_flow", "kg/s", "coolant flow at its rated point").in(1e-3, 20)
            .preset(0.4);
        s.number(&C::coolant_drop_width, "coolant_drop_width", "1",
                 "share of the rated coolant pressure drop below which "
                 "the law turns linear")
            .in(1e-8, 0.1).preset(1e-4);
    }
    template <class C> static void describe_coolant_drop(Schema<C>& s) {
        s.number(&C::coolant_rated_drop, "coolant_rated_pressure_drop", "Pa",
                 "coolant pressure drop at its rated point")
            .in(1, 1e6).preset(1.2e4);
    }
    /// kg/s, positive `coolant_in` -> `coolant_out`.
    template <class S, class V> S coolant_flow(const V& v) const {
        return coolant_rated_flow *
               signed_sqrt(S((v[coolant_in].p - v[coolant_out].p) / coolant_rated_drop), coolant_drop_width);
    }
    /// For a component that only lets the coolant through: the two ends joined by the loss, where both are connected.
    template <class S, class V> void pass_coolant(const V& v) const {
        if (v.connected(coolant_in) && v.connected(coolant_out))
            v.transfer(coolant_in, coolant_out, carried(coolant_flow<S>(v), v[coolant_in], v[coolant_out]));
    }
};

}  // namespace pullcast::cooler

/// The reference rig once more, as one right-hand side written by hand: what the network of components is measured
/// against. Equations: components.hpp. States: m, U of duct, lid, manifold; two walls; core, reservoir; crank; sensor.
#pragma once
#include <pullcast/solve/system.hpp>

#include "components.hpp"
#include "parameters.hpp"

namespace pullcast::reference {

class Fused {
    double R, cp, cv, p0, T0, width, flow_width, leak, open, opening, V[3], Vb, ratio, ve0, ve1, eta;
    double Ac, Ga, Gc, Cw, Cc, Cr, F, front, Ve, ve, air_work, drag, J, omega0, lag;

    template <class S> struct Side { S p, T, h, rho; };
    template <class S> Side<S> contents(const S& m, const S& U, double volume) const {
        const S T = U / (m * cv), rho = m / volume;
        return {rho * R * T, T, cp * T, rho};
    }
    template <class S> S loss(const Side<S>& a, const Side<S>& b, double area) const {
        using std::sqrt;
        return area * sqrt(0.5 * (a.rho + b.rho)) * signed_sqrt(S(a.p - b.p), width);
    }

public:
    static constexpr std::size_t size = 12;
    enum : std::size_t { duct, lid = 2, manifold = 4, wall = 6, core = 8, reservoir, crank, sensor };

    explicit Fused(const Parameters& p)
        : R(p["R"]), cp(p["cp"]), cv(cp - R), p0(p["ambient_pressure"]), T0(p["ambient_temperature"]),
          width(p["width"]), flow_width(p["flow_width"]), leak(p["leak_area"]), open(p["open_area"]),
          opening(p["opening_time"]), V{p["duct_volume"], p["lid_volume"], p["manifold_volume"]},
          Vb(p["blower_displacement"]), ratio(p["blower_ratio"]), ve0(p["ve0"]), ve1(p["ve1"]), eta(p["eta"]),
          Ac(p["cooler_flow"]), Ga(p["air_conductance"]), Gc(p["coolant_conductance"]), Cw(p["wall_capacity"]),
          Cc(p["core_capacity"]), Cr(p["reservoir_capacity"]), F(p["coolant_flow"]), front(p["front_conductance"]),
          Ve(p["engine_displacement"]), ve(p["engine_ve"]), air_work(p["air_work"]), drag(p["drag"]), J(p["inertia"]),
          omega0(p["start_speed"]), lag(p["sensor_lag"]) {}

    void start(double* x) const {
        for (std::size_t k = 0; k < 3; ++k) x[2 * k] = p0 * V[k] / (R * T0), x[2 * k + 1] = x[2 * k] * cv * T0;
        x[wall] = x[wall + 1] = x[core] = x[reservoir] = x[sensor] = T0, x[crank] = omega0;
    }
    double pressure(const double* x) const { return x[manifold + 1] * R / (cv * V[2]); }
    double temperature(const double* x) const { return x[manifold + 1] / (cv * x[manifold]); }

    template <class S> void rates(double t, const S* x, S* dx) const {
        using std::sqrt, std::exp, std::pow;
        const Side<S> air{S(p0), S(T0), S(cp * T0), S(p0 / (R * T0))};
        const auto d = contents(x[duct], x[duct + 1], V[0]), l = contents(x[lid], x[lid + 1], V[1]);
        const auto m = contents(x[manifold], x[manifold + 1], V[2]);
        const double gate = soft_step(t, 0.0, opening);

        const S m1 = loss(air, d, std::numbers::sqrt2 * (leak + (open - leak) * gate));
        const S H1 = upwind(m1, air.h, d.h, flow_width);

        const S PR = l.p / d.p, omega = x[crank];
        const S m2 = (ve0 - ve1 * (PR - 1)) * d.rho * (Vb * ratio / two_pi) * omega;
        const S work = m2 * d.h * ((pow(PR, R / cp) - 1) / eta);

        const S m3 = loss(l, m, Ac), H3 = upwind(m3, l.h, m.h, flow_width);
        const S C = cp * sqrt(m3 * m3 + flow_width * flow_width), share = 1 - exp(-Ga / C);
        const S Q1 = C * (l.T - x[wall]) * share, T2 = l.T - Q1 / C, Q2 = C * (T2 - x[wall + 1]) * share;
        const S out1 = Gc * (x[wall] - x[core]), out2 = Gc * (x[wall + 1] - x[core]);

        const S per_radian = (ve * Ve / (2 * two_pi)) * m.rho, m4 = per_radian * omega;
        const S exchange = F * (x[core] - x[reservoir]);

        dx[duct] = m1 - m2, dx[duct + 1] = H1 - m2 * d.h;
        dx[lid] = m2 - m3, dx[lid + 1] = m2 * d.h + work - H3;
        dx[manifold] = m3 - m4, dx[manifold + 1] = H3 - Q1 - Q2 - m4 * m.h;
        dx[wall] = (Q1 - out1) / Cw, dx[wall + 1] = (Q2 - out2) / Cw;
        dx[core] = (out1 + out2 - exchange) / Cc;
        dx[reservoir] = (exchange - front * (x[reservoir] - air.T)) / Cr;
        dx[crank] = gate * (air_work * per_radian - work / omega - drag * omega * omega) / J;
        dx[sensor] = (m.T - x[sensor]) / lag;
    }
};

}  // namespace pullcast::reference

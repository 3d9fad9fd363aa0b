/// From what the engine breathes to what is trapped when the inlet valve closes.
///
///   T_f = T_m + e (T_coolant - T_m) - dT                 charge warmed by the walls, cooled by evaporation
///   a   = (p_e/p_m) V_c/V_1                              residual gas fills the clearance at exhaust pressure
///   T_1 = T_f / (1 - a (1 - T_f/T_r)),  x_r = a T_1/T_r  mixed at equal heat capacity
///   p_1 = p_m
///   q   = (1 - x_r) x/(1 + x) LHV 0.98 min(1, lambda),   x = (1 - w)/(AFR lambda) fuel per moist gas
///   duration = D (N/3000 rpm)^n_N (p/100 kPa)^-n_p (1 + c (lambda - 0.9)^2)
///
/// Sources: residual gas by the ideal cycle (Heywood ch. 5), oxygen-limited heat (Heywood fig. 3-9), burn duration: 60
/// to 70 degrees from the spark at 3000 rpm, growing with speed to the power 0.3 to 0.5, shrinking slowly with
/// pressure: from memory. Its growth with the distance from lambda 0.9, where flames are fastest: common practice, no
/// source. Heating by the walls and the temperature of the residual gas: assumptions, to be replaced by what is known.
#pragma once
#include <pullcast/media/charge.hpp>

#include "cycle.hpp"

namespace pullcast::knock {

struct Fuel {
    media::FuelMake make;
    double afr, lhv, latent_heat;  // 1, J/kg, J/kg
};

/// What does not change from point to point.
struct Trapping {
    double wall_heating, realised_evaporation;  // e; share of the fuel that the charge evaporates
    double residual_temperature, wall_excess;   // T_r, K; cylinder wall over coolant, K
    double duration, duration_speed, duration_pressure, duration_mixture;  // D rad, n_N, n_p, c
};

/// An operating point; S where sensitivities may be wanted.
template <class S> struct Point {
    S p, T, w;                                   // Pa, K, kg/kg in the manifold
    S omega, lambda, exhaust_pressure, coolant;  // rad/s, 1, Pa, K
};

template <class S> struct Filling { S T, residual; };  // K at inlet valve closing; share of burned gas

/// Residual gas over fresh gas by volume if both had one temperature: a.
template <class S> S residual_ratio(const Cylinder& c, const Point<S>& at) {
    return at.exhaust_pressure / at.p * (c.clearance() / c.volume(c.closes));
}
/// Charge cooling by evaporation, K.
template <class S> S cooling(const Trapping& t, const Fuel& f, const Point<S>& at) {
    const S x = (1 - at.w) / (f.afr * at.lambda);
    return media::evaporation_cooling(t.realised_evaporation, f.latent_heat, x, media::specific_heat(at.T, at.w));
}
template <class S> Filling<S> fill(const Cylinder& c, const Trapping& t, const Fuel& f, const Point<S>& at) {
    const S fresh = at.T + t.wall_heating * (at.coolant - at.T) - cooling(t, f, at), a = residual_ratio(c, at);
    const S T = fresh / (1 - a * (1 - fresh / t.residual_temperature));
    return {T, a * T / t.residual_temperature};
}

/// `share` of b in a, by mass.
template <class S> Mixture<S> mixture(const media::IdealGas& a, const media::IdealGas& b, const S& share) {
    Mixture<S> g;
    g.R = a.R + share * (b.R - a.R);
    for (std::size_t i = 0; i < a.cp.size(); ++i) g.c[i] = a.cp[i] + share * (b.cp[i] - a.cp[i]);
    g.offset = a.offset + share * (b.offset - a.offset);
    return g;
}

template <class S> S burn_duration(const Trapping& t, const Point<S>& at) {
    using std::exp, std::log;
    constexpr double omega_0 = 100 * std::numbers::pi, p_0 = 100e3, fastest = 0.9;  // rad/s, Pa, lambda
    const S off = at.lambda - fastest;
    return t.duration * (1 + t.duration_mixture * off * off) *
           exp(t.duration_speed * log(at.omega * (1 / omega_0)) - t.duration_pressure * log(at.p * (1 / p_0)));
}

/// Mixture and residual gas are taken at the values of lambda and w; the rest follows S.
template <class S> Charge<S> trapped(const Cylinder& c, const Trapping& t, const Fuel& f, const Point<S>& at) {
    const auto filling = fill(c, t, f, at);
    const double lambda = value(at.lambda), w = value(at.w), x = (1 - w) / (f.afr * lambda);
    Charge<S> g;
    g.unburned =
        mixture(media::fresh_charge(f.make, f.afr, lambda, w), media::burned_cool(f.make, lambda, w), filling.residual);
    const auto hot = media::burned_hot(f.make, lambda, w);
    g.burned = mixture(hot, hot, S(0.0));
    g.p = at.p, g.T = filling.T;
    g.heat = (1 - filling.residual) * (x / (1 + x) * f.lhv * 0.98 * std::fmin(1.0, lambda));
    g.slowness = 1 / at.omega;
    g.piston_speed = at.omega * (c.stroke / std::numbers::pi);
    g.wall = at.coolant + t.wall_excess;
    g.duration = burn_duration(t, at);
    return g;
}

}  // namespace pullcast::knock

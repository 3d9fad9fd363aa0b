/// One closed cycle, from inlet valve closing to exhaust opening, in two zones: unburned gas and burned gas, each of
/// uniform state, at one pressure. Templated on its number: one point, a dual number for exact sensitivities, or lanes.
///
///   p v = (1 - x) R_u T_u + x R_b T_b                                 volume; everything per kg of charge
///   (1 - x) cp_u dT_u = v_u dp - dQ_u                                  unburned zone, compressed by the flame
///   d(x h_b) = v_b dp - dQ_b + (h_u + q) dx                            burned zone
///   x = 1 - exp(-5 y^3),  y = (theta - theta_spark) / duration         burn law (Wiebe), a = 5, m = 2
///   dQ_z = h A_z (T_z - T_w) dt,  A_b = A sqrt(x)                      walls
///   h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8   (m, kPa, K, m/s)            Woschni
///   w = 2.28 S_p + 3.24e-3 V_d T_1/(p_1 V_1) (p - p_1 (V_1/V)^1.3)     the second term while it is positive
///   dI = (omega/omega_a)^k dt / tau,  tau = 17.68 ms (p/atm)^-1.7 exp(3800/T_a + g 3800 (1/T_u - 1/T_a))
///                                                                      Livengood & Wu; octane number 100
///
/// Marched by the midpoint rule over equal steps of crank angle; the pressure follows from the volume, so that no drift
/// builds up. The knock integral stops at a burned share of which the rest is too little to be heard.
///
/// Sources: burn law, wall heat transfer (Woschni SAE 670931 in the form printed by Heywood) and the delay (Douaud &
/// Eyzat SAE 780080, as Heywood eq. 9.20): constants from memory. The knock integral: Livengood & Wu, 5th Symposium on
/// Combustion, 1955. Area shares of the zones: Ferguson, from memory. Gains g, k: see end_gas.cpp.
/// Validity: no dissociation, no crevices, no blow-by, one temperature in the end gas, no cool flames.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <pullcast/dual.hpp>
#include <pullcast/media/charge.hpp>
#include <vector>

#include "lanes.hpp"

namespace pullcast::knock {

constexpr double degree = std::numbers::pi / 180, atmosphere = 101325;
constexpr double wiebe_a = 5;
constexpr double delay_scale = 17.68e-3, delay_pressure = 1.7, delay_temperature = 3800;  // s, 1, K
constexpr double delay_octane = 3.402;  // tau is proportional to (ON/100)^3.402

/// An ideal gas with numbers of type S: cp = sum c_i T^i, J/(kg K); h = offset + its integral, J/kg.
template <class S> struct Mixture {
    S R;
    std::array<S, 5> c;
    S offset;

    S cp(const S& T) const { return c[0] + T * (c[1] + T * (c[2] + T * (c[3] + T * c[4]))); }
    S h(const S& T) const {
        return offset +
               T * (c[0] + T * (c[1] * (1.0 / 2) + T * (c[2] * (1.0 / 3) + T * (c[3] * 0.25 + T * (c[4] * 0.2)))));
    }
};

/// What is in the cylinder when the inlet valve closes, and how it burns. Nothing but numbers of type S.
template <class S> struct Charge {
    Mixture<S> unburned, burned;
    S p, T;          // Pa, K, at inlet valve closing
    S heat;          // released per kg of charge, J/kg
    S slowness;      // 1/omega, s/rad
    S piston_speed;  // mean, m/s
    S wall;          // K
    S duration;      // of the burn, rad
};

/// One cylinder. Angles in rad after firing top centre.
struct Cylinder {
    double bore, stroke, compression_ratio, rod;                         // m, m, 1, m
    double closes = -130 * degree, opens = 130 * degree, step = degree;  // inlet closes, exhaust opens, of the march

    double circle() const { return std::numbers::pi / 4 * bore * bore; }
    double swept() const { return circle() * stroke; }
    double clearance() const { return swept() / (compression_ratio - 1); }
    /// Piston below top centre, m.
    double travel(double angle) const {
        const double crank = stroke / 2, side = crank * std::sin(angle);
        return crank * (1 - std::cos(angle)) + rod - std::sqrt(rod * rod - side * side);
    }
    double volume(double angle) const { return clearance() + circle() * travel(angle); }
    double area(double angle) const {
        return 2 * circle() + std::numbers::pi * bore * (travel(angle) + stroke / (compression_ratio - 1));
    }
};

/// A cylinder on the march's grid of crank angles.
class Chamber : public Cylinder {
public:
    struct Place {
        double angle, volume, area, motored;
    };  // rad, m^3, m^2; motored: (V_1/V)^1.3

    explicit Chamber(const Cylinder& c) : Cylinder(c), steps_(static_cast<int>(std::ceil((opens - closes) / step))) {
        const double closed = volume(closes);
        for (int k = 0; k < 2 * steps_ + 1; ++k) {
            const double angle = closes + 0.5 * k * step_angle(), V = volume(angle);
            places_.push_back({angle, V, area(angle), std::pow(closed / V, 1.3)});
        }
    }
    int steps() const { return steps_; }
    double step_angle() const { return (opens - closes) / steps_; }
    /// Begin (half 0), middle (1) and end (2) of a step.
    const Place& place(int of_step, int half = 0) const { return places_[2 * of_step + half]; }
    /// The step in which an angle lies.
    int step_at(double angle) const {
        return std::clamp(static_cast<int>(std::floor((angle - closes) / step_angle())), 0, steps_ - 1);
    }

private:
    int steps_;
    std::vector<Place> places_;
};

/// Burned share at y burn durations after the spark.
struct Wiebe {
    template <class S> S operator()(const S& y) const {
        using std::exp;
        const S c = smaller(larger(y, S(0.0)), S(1.0));
        return 1 - exp(-wiebe_a * (c * c * c));
    }
    /// y at a burned share.
    static double inverse(double x) { return std::cbrt(-std::log(1 - x) / wiebe_a); }
};

/// 1/tau at octane number 100, 1/s. `gain` scales the temperature's exponent around `anchor`, K.
template <class S> S delay_rate_of_log(const S& log_p, const S& T, double gain, double anchor) {
    using std::exp;
    const double constant = -delay_pressure * std::log(atmosphere) - delay_temperature * (1 - gain) / anchor;
    return exp(delay_pressure * log_p + (constant - delay_temperature * gain / T)) * (1 / delay_scale);
}
template <class S> S delay_rate(const S& p, const S& T, double gain, double anchor) {
    using std::log;
    return delay_rate_of_log(S(log(p)), T, gain, anchor);
}

/// Where a march stands, and what it has added up.
template <class S> struct March {
    S T;                       // unburned, K
    S x = 0.0, Hb = 0.0;       // burned share; x h_b, J/kg
    S Tb = 0.0;                // burned, K: where the next inversion begins; 0 before the burn
    S knock = 0.0;             // Livengood-Wu integral at octane number 100
    S work = 0.0, lost = 0.0;  // to the piston, to the walls, J per kg of charge
    S peak = 0.0;              // highest pressure, Pa
    S film = 0.0;              // h times seconds a radian and kg, at the middle of the last step
};

struct Delay {
    double gain = 1, anchor = 850;                                 // of temperature, see delay_rate
    double heard_until = 1;                                        // burned share at which the integral stops
    double speed_gain = 0, speed_anchor = 200.0 / 3 * std::numbers::pi;  // k; omega_a, 2000 rpm in rad/s
};

/// Marches a charge through a chamber.
template <class S, class Burn = Wiebe> class Cycle {
    const Chamber& c_;
    const Charge<S>& g_;
    Delay delay_;
    Burn burn_;
    S scale_;       // specific volume per m^3, 1/kg
    S per_area_;    // seconds a radian and kg: h A dT times this is dQ per rad and kg
    S gas_speed_;   // m/s per Pa above motored
    S pace_;        // seconds a radian, as they count for ignition
    double quiet_;  // burn durations after the spark at which the integral is complete
    double film_;

public:
    Cycle(const Chamber& chamber, const Charge<S>& charge, const Delay& delay, Burn burn = {})
        : c_(chamber), g_(charge), delay_(delay), burn_(burn) {
        const double V = c_.place(0).volume;
        film_ = 3.26 * std::pow(c_.bore, -0.2);
        scale_ = g_.unburned.R * g_.T / (g_.p * V);
        per_area_ = g_.slowness * scale_;
        using std::exp, std::log;
        pace_ = g_.slowness * exp(-delay_.speed_gain * log(g_.slowness * delay_.speed_anchor));
        gas_speed_ = 3.24e-3 * c_.swept() * g_.T / (g_.p * V);
        quiet_ = Wiebe::inverse(std::min(delay_.heard_until, 1 - std::exp(-wiebe_a)));
    }

    /// From inlet valve closing to the begin of step `last`, nothing burning. `trail` gets the begin of every step.
    March<S> compress(int last, March<S>* trail = nullptr) const {
        using std::log;
        March<S> m{g_.T};
        const State begin{g_.T, S(0.0), S(0.0), S(0.0), g_.p};
        m.film = film<false>(c_.place(0), begin, S(log(g_.p)));
        for (int k = 0; k < last; ++k) {
            if (trail) trail[k] = m;
            advance<false>(k, m, g_.T);
        }
        if (trail) trail[last] = m;
        return m;
    }
    /// From the begin of step `first`, with the spark at an angle (rad after top centre), until step `last`, or, with
    /// `last` below 0, until the knock integral is complete.
    March<S> burn(int first, March<S> m, const S& spark, int last = -1) const {
        m.Tb = given_or(m.Tb, flame_temperature(m.T));
        const double quiet = last < 0 ? largest(S(spark + quiet_ * g_.duration)) : c_.opens;
        const int end = last < 0 ? c_.steps() : last;
        for (int k = first; k < end && c_.place(k).angle <= quiet; ++k) advance<true>(k, m, spark);
        return m;
    }

private:
    struct Rates {
        S dT, dH, dQ;
    };

    S flame_temperature(const S& T) const {
        const S goal = g_.unburned.h(T) + g_.heat;
        S Tb = T + g_.heat * (1 / 1400.0);
        for (int k = 0; k < 3; ++k) Tb = Tb - (g_.burned.h(Tb) - goal) / g_.burned.cp(Tb);
        return Tb;
    }
    struct State {
        S T, x, Hb, Tb, p;
    };

    /// Burned temperature from its enthalpy, pressure from the volume.
    template <bool burning> void close(State& z, const S& v) const {
        if constexpr (!burning) {
            z.p = g_.unburned.R * z.T / v;
        } else {
            constexpr double tiny = 1e-9;
            const S fresh = g_.unburned.h(z.T) + g_.heat;
            const S hb = (z.Hb + tiny * fresh) / (z.x + tiny);
            z.Tb = z.Tb - (g_.burned.h(z.Tb) - hb) / g_.burned.cp(z.Tb);
            z.p = ((1 - z.x) * g_.unburned.R * z.T + z.x * g_.burned.R * z.Tb) / v;
        }
    }

    /// Film coefficient times seconds a radian and kg.
    template <bool burning> S film(const Chamber::Place& at, const State& z, const S& log_p) const {
        using std::exp, std::log;
        constexpr double log_kilo = 6.907755278982137;
        S w = 2.28 * g_.piston_speed, mean = z.T;
        if constexpr (burning) {
            w += gas_speed_ * larger(S(z.p - g_.p * at.motored), S(0.0));
            mean = (1 - z.x) * z.T + z.x * z.Tb;
        }
        return exp(0.8 * (log_p - log_kilo + log(w)) - 0.55 * log(mean)) * (film_ * per_area_);
    }

    /// What a step of dv and dx changes. `film` as above.
    template <bool burning>
    Rates rates(const Chamber::Place& at, const State& z, const S& film, const S& dv, const S& dx, double angle) const {
        using std::sqrt;
        const S v = at.volume * scale_, film_area = film * (at.area * angle);
        const S cu = 1 / g_.unburned.cp(z.T), ru = g_.unburned.R * cu, vu_share = g_.unburned.R * z.T / z.p;
        if constexpr (!burning) {
            const S loss = film_area * (z.T - g_.wall);
            const S dp = (-z.p * dv - ru * loss) / (v * (1 - ru));
            return {(vu_share * dp - loss) * cu, S(0.0), loss};
        } else {
            const S root = sqrt(larger(z.x, S(1e-12)));
            const S loss_u = film_area * (z.T - g_.wall) / (1 + root);  // over 1 - x
            const S loss_b = film_area * root * (z.Tb - g_.wall);
            const S cb = 1 / g_.burned.cp(z.Tb), rb = g_.burned.R * cb;
            const S hu = g_.unburned.h(z.T), source = hu + g_.heat;
            const S vu = (1 - z.x) * vu_share, vb = z.x * g_.burned.R * z.Tb / z.p;
            const S excess = source - g_.burned.h(z.Tb);
            const S dp = (-z.p * dv - ru * (1 - z.x) * loss_u - rb * (loss_b - excess * dx) +
                          (g_.burned.R * z.Tb - g_.unburned.R * z.T) * dx) /
                         (v - ru * vu - rb * vb);
            return {(vu_share * dp - loss_u) * cu, vb * dp - loss_b + source * dx, (1 - z.x) * loss_u + loss_b};
        }
    }

    /// Step k by the midpoint rule. The film of the half step is that of the step before: the middle is still found to
    /// second order.
    template <bool burning> void advance(int k, March<S>& m, const S& spark) const {
        using std::log;
        const auto &a = c_.place(k), &h = c_.place(k, 1), &b = c_.place(k, 2);
        const double angle = c_.step_angle();
        const S va = a.volume * scale_, vh = h.volume * scale_, vb = b.volume * scale_;
        S xh = m.x, xb = m.x, share = 1.0;  // share: of the step in which knock counts
        if constexpr (burning) {
            const S per = 1 / g_.duration;
            xh = burn_(S((h.angle - spark) * per)), xb = burn_(S((b.angle - spark) * per));
            share = smaller(larger(S((spark + quiet_ * g_.duration - a.angle) * (1 / angle)), S(0.0)), S(1.0));
        }
        State begin{m.T, m.x, m.Hb, m.Tb, S(0.0)};
        close<burning>(begin, va);
        const Rates half = rates<burning>(a, begin, m.film, S(vh - va), S(xh - m.x), angle / 2);
        State mid{m.T + half.dT, xh, m.Hb + half.dH, begin.Tb, S(0.0)};
        close<burning>(mid, vh);
        const S log_p = log(mid.p);
        m.film = film<burning>(h, mid, log_p);
        const Rates whole = rates<burning>(h, mid, m.film, S(vb - va), S(xb - m.x), angle);
        m.T += whole.dT, m.x = xb, m.Hb += whole.dH, m.Tb = mid.Tb;
        m.knock += share * delay_rate_of_log(log_p, mid.T, delay_.gain, delay_.anchor) * (angle * pace_);
        m.work += mid.p * (vb - va), m.lost += whole.dQ, m.peak = larger(m.peak, mid.p);
    }
};

}  // namespace pullcast::knock

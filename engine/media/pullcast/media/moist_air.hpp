/// Moist air as an ideal mixture of dry air and water vapour, each an ideal gas with a heat capacity of its own.
///   cp_i / R_i = a1 + a2 T + a3 T^2 + a4 T^3 + a5 T^4
///   h_i = integral of cp_i from 298.15 K (sensible; zero at 298.15 K for dry air and for vapour alike)
///   y = (1 - w) y_dry + w y_vapour   for R, cp, h, s;     u = h - R T,   gamma = cp / (cp - R),   rho = p / (R T)
/// Coefficients: NASA TM-4513 (McBride, Gordon, Reno 1993), 200 .. 1000 K. Dry air by mole: N2 .78084, O2 .20946,
/// Ar .00934, CO2 .0004 (normalised). Beyond 200 .. 1000 K cp keeps the value of the edge (h is C1 there).
/// Real air at 1 atm: denser by 0.1 % at 250 K and 0.04 % at 300 K, cp higher by 0.26 and 0.16 % (Lemmon et al. 2000).
/// Transport: dry air (US Standard Atmosphere 1976), 200 .. 1000 K, no pressure dependence.
///   mu = 1.458e-6 T^1.5 / (T + 110.4)     k = 2.64638e-3 T^1.5 / (T + 245.4 * 10^(-12 / T))
/// T in K, p in Pa, w in kg vapour per kg moist air. Nothing allocates or throws; T > 0 and p > 0 are the caller's.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <pullcast/domains.hpp>
#include <pullcast/media/humidity.hpp>
#include <pullcast/media/lift.hpp>
#include <pullcast/media/standard_atmosphere.hpp>

namespace pullcast::media {

inline constexpr double reference_temperature = 298.15;  // K, where the sensible enthalpies are zero

namespace detail {

using Nasa = std::array<double, 5>;
inline constexpr Nasa nitrogen{3.53100528, -1.23660987e-04, -5.02999437e-07, 2.43530612e-09, -1.40881235e-12};
inline constexpr Nasa oxygen{3.78245636, -2.99673415e-03, 9.847302e-06, -9.68129508e-09, 3.24372836e-12};
inline constexpr Nasa argon{2.5, 0, 0, 0, 0};
inline constexpr Nasa carbon_dioxide{2.35677352, 8.98459677e-03, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13};
inline constexpr Nasa water_vapour{4.19864056, -2.0364341e-03, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12};

inline constexpr double R_dry = universal_gas_constant / molar_mass_air;       // 287.042 J/(kg K)
inline constexpr double R_vapour = universal_gas_constant / molar_mass_water;   // 461.523 J/(kg K)
inline constexpr double nasa_low = 200, nasa_high = 1000;  // K, range of the coefficients
inline constexpr double log_nasa_low = 5.298317366548036, log_nasa_high = 6.907755278982137;

/// One pure gas: cp(T) in J/(kg K), h(T) in J/kg, and s(T) in J/(kg K) at constant pressure, up to a constant.
struct Species {
    std::array<double, 5> cp_{}, entropy{};
    std::array<double, 6> enthalpy{};

    constexpr explicit Species(const Nasa& cp_coefficients) : cp_(cp_coefficients) {
        for (std::size_t i = 0; i < 5; ++i) enthalpy[i + 1] = cp_[i] / static_cast<double>(i + 1);
        enthalpy[0] = -polynomial(enthalpy, reference_temperature);
        for (std::size_t i = 1; i < 5; ++i) entropy[i] = cp_[i] / static_cast<double>(i);
    }
    static double inside(double T) { return std::clamp(T, nasa_low, nasa_high); }
    double cp(double T) const { return polynomial(cp_, inside(T)); }
    double h(double T) const {
        const double Tc = inside(T), at_edge = polynomial(enthalpy, Tc);
        return Tc == T ? at_edge : at_edge + polynomial(cp_, Tc) * (T - Tc);
    }
    double s(double T, double log_T) const {
        const double Tc = inside(T), log_Tc = Tc == T ? log_T : T < nasa_low ? log_nasa_low : log_nasa_high;
        return cp_[0] * log_Tc + polynomial(entropy, Tc) + polynomial(cp_, Tc) * (log_T - log_Tc);
    }
    double cp_slope(double T) const { return T > nasa_low && T < nasa_high ? polynomial_slope(cp_, T) : 0; }
};

constexpr Nasa dry_air_cp() {
    Nasa c{};
    for (std::size_t i = 0; i < 5; ++i)
        c[i] = R_dry / 1.00004 *
               (0.78084 * nitrogen[i] + 0.20946 * oxygen[i] + 0.00934 * argon[i] + 0.0004 * carbon_dioxide[i]);
    return c;
}
/// Vapour minus dry air, so that a mixture is y_dry + w y_excess.
constexpr Nasa excess_cp() {
    Nasa c = dry_air_cp();
    for (std::size_t i = 0; i < 5; ++i) c[i] = R_vapour * water_vapour[i] - c[i];
    return c;
}
inline constexpr Species dry{dry_air_cp()}, excess{excess_cp()};
inline constexpr double R_excess = R_vapour - R_dry;

inline double gas_constant(double w) { return R_dry + w * R_excess; }
inline double cp(double T, double w) { return dry.cp(T) + w * excess.cp(T); }
inline double h(double T, double w) { return dry.h(T) + w * excess.h(T); }
inline double s(double T, double log_T, double w) { return dry.s(T, log_T) + w * excess.s(T, log_T); }

}  // namespace detail

/// R = p / (rho T), J/(kg K).
template <class S> S gas_constant(const S& w) { return detail::R_dry + detail::R_excess * w; }

/// cp, J/(kg K).
template <class S> S specific_heat(const S& T, const S& w) {
    const double t = value(T), v = value(w), excess = detail::excess.cp(t);
    return lift(detail::dry.cp(t) + v * excess, Along{T, detail::dry.cp_slope(t) + v * detail::excess.cp_slope(t)},
                Along{w, excess});
}
/// Sensible enthalpy, J/kg.
template <class S> S enthalpy(const S& T, const S& w) {
    const double t = value(T), v = value(w), excess = detail::excess.h(t);
    return lift(detail::dry.h(t) + v * excess, Along{T, detail::cp(t, v)}, Along{w, excess});
}
/// u = h - R T, J/kg: not zero at 298.15 K.
template <class S> S internal_energy(const S& T, const S& w) { return enthalpy(T, w) - gas_constant(w) * T; }

/// cp / cv.
template <class S> S heat_ratio(const S& T, const S& w) {
    const S cp = specific_heat(T, w);
    return cp / (cp - gas_constant(w));
}

/// T of an internal energy u (J/kg): a rational guess good to 7 K, then two Newton steps. Within 1e-9 of T at
/// 220 .. 800 K and w up to 0.1, exact where cp is constant.
template <class S> S temperature_of_energy(const S& u, const S& w) {
    const double goal = value(u), v = value(w), R = detail::gas_constant(v);
    // theta: the rise above 298.15 K if cv kept its value there; 1.0133e-4 fits the growth of cv over 215 .. 850 K.
    const double theta = (goal + R * reference_temperature) / (detail::cp(reference_temperature, v) - R);
    double T = reference_temperature + theta / (1 + 1.0133e-4 * theta);
    for (int step = 0; step < 2; ++step) T -= (detail::h(T, v) - R * T - goal) / (detail::cp(T, v) - R);
    const double per_cv = 1 / (detail::cp(T, v) - R);
    return lift(T, Along{u, per_cv}, Along{w, -per_cv * (detail::excess.h(T) - detail::R_excess * T)});
}

/// T2 at equal entropy: s(T2) - s(T1) = R ln(p2 / p1), with variable cp. Two Newton steps in ln T from the guess of
/// constant gamma; within 1e-9 of T2 for pressure ratios 0.1 .. 10. Needs pressure_ratio > 0.
template <class S> S isentropic_temperature(const S& T1, const S& pressure_ratio, const S& w) {
    const double t1 = value(T1), v = value(w), R = detail::gas_constant(v), cp1 = detail::cp(t1, v);
    const double log_ratio = std::log(value(pressure_ratio)), log_t1 = std::log(t1);
    const double goal = detail::s(t1, log_t1, v) + R * log_ratio;
    double log_t2 = log_t1 + R * log_ratio / cp1, t2 = std::exp(log_t2);
    for (int step = 0; step < 2; ++step) {
        log_t2 -= (detail::s(t2, log_t2, v) - goal) / detail::cp(t2, v);
        t2 = std::exp(log_t2);
    }
    const double per_cp = t2 / detail::cp(t2, v);
    const double excess_rise = detail::excess.s(t2, log_t2) - detail::excess.s(t1, log_t1);
    return lift(t2, Along{T1, per_cp * cp1 / t1}, Along{pressure_ratio, per_cp * R / value(pressure_ratio)},
                Along{w, per_cp * (detail::R_excess * log_ratio - excess_rise)});
}

/// Dynamic viscosity, Pa s.
template <class S> S viscosity(const S& T) {
    const double t = value(T), mu = 1.458e-6 * t * std::sqrt(t) / (t + 110.4);
    return lift(mu, Along{T, mu * (1.5 / t - 1 / (t + 110.4))});
}
/// Thermal conductivity, W/(m K).
template <class S> S conductivity(const S& T) {
    const double t = value(T), z = 12 * 2.302585092994046 / t;
    // 10^(-12/T) = e^-z by its (2,2) Pade form: within 1e-7 above 200 K, and no exponential in the hot path.
    const double square = z * z / 12, below = 1 + square + z / 2, c = 245.4 * (1 + square - z / 2) / below;
    const double c_slope = 245.4 * (1 - square) / (below * below) * z / t;
    const double k = 2.64638e-3 * t * std::sqrt(t) / (t + c);
    return lift(k, Along{T, k * (1.5 / t - (1 + c_slope) / (t + c))});
}
/// mu cp / k of dry air.
template <class S> S prandtl(const S& T) { return viscosity(T) * specific_heat(T, S(0)) / conductivity(T); }

/// What a gas node publishes, from p (Pa), T (K) and w.
template <class S> Gas::Potential<S> gas_state(const S& p, const S& T, const S& w) {
    return {p, T, enthalpy(T, w), p / (gas_constant(w) * T), w};
}

}  // namespace pullcast::media

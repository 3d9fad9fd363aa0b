/// Water, and water with ethylene glycol, as an incompressible coolant. For one mixture, theta = T - T_base:
///   rho, k = p0 + p1 theta + p2 theta^2 + p3 theta^3        mu = exp(same form)
///   cp = c0 + c1 (T - 273.15)        h = c0 (T - 273.15) + c1/2 (T - 273.15)^2, zero at 0 degC, and its exact inverse
/// 10 .. 60 % glycol by volume, -35 .. 100 degC: fit to the ASHRAE Handbook 2001 tables (inhibited industrial fluid),
/// the coefficients of the open-source library CoolProp, set "AEG". Largest deviations from the tables: rho 0.03 %,
/// cp 0.02 %, k 0.16 %, mu 2.6 % from 0 degC up, 4.2 % from -30 degC, 10 % at -35 degC.
/// Below 10 %: plain water, least squares through IAPWS-95, R12, R15 values at 1 atm, 0 .. 90 degC: rho within 0.01 %,
/// k 0.1 %, mu 0.5 %, cp 0.7 %. Properties jump at 10 %, and freezing is then 0 degC: on the safe side.
/// Beyond 238.15 .. 373.15 K (water 273.15 .. 373.15 K) rho, k and ln mu go on linearly (C1). No pressure dependence.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <pullcast/media/humidity.hpp>
#include <pullcast/media/lift.hpp>

namespace pullcast::media {

inline constexpr double glycol_low = 0.10, glycol_high = 0.60;              // volume fraction: range of the ASHRAE set
inline constexpr double coolant_T_low = 238.15, coolant_T_high = 373.15;    // K

/// Ice at 0 degC and 1 atm: IAPWS-06 (ice) against IAPWS-95 (liquid).
namespace ice {
inline constexpr double melting_point = 273.15;   // K
inline constexpr double latent_heat = 333420;     // J/kg
inline constexpr double density = 916.72;         // kg/m^3
inline constexpr double specific_heat = 2096.7;   // J/(kg K)
}  // namespace ice

namespace detail {
using Cubic = std::array<double, 4>;
/// c[j][i] multiplies (T - T_base)^j (x - x_base)^i.
using Grid = std::array<std::array<double, 6>, 4>;

struct AshraeGlycol {
    static constexpr double x_base = 0.35, T_base = 305.65;
    static constexpr Grid rho{{{1047.337, 140.4485, -48.70559, 71.41693, 52.4585, -693.3962},
                               {-0.4505054, -0.3001582, -0.03952614, 0.02496264, -0.06817576, 0},
                               {-0.002432696, -2.084384e-05, 0.0003108353, -0.0008979712, 0, 0},
                               {-3.72545e-09, 1.044784e-06, -4.391164e-06, 0, 0, 0}}};
    static constexpr Grid cp{{{3596.551, -1707.073, -444.7538, -552.7923, -715.9059, 7905.301},
                              {3.096886, 5.184379, -0.7061384, 0.7949891, -0.6689394, 0},
                              {-3.388642e-05, 0.0003639717, 0.0009169943, -0.005359818, 0, 0},
                              {3.171299e-07, -2.457345e-06, 1.419543e-05, 0, 0, 0}}};
    static constexpr Grid log_mu{{{-6.319551, 2.881296, 0.8374394, -19.29626, -13.10981, 252.8586},
                                  {-0.02410848, -0.01593008, -0.006961209, -0.06322254, -0.2651482, 0},
                                  {0.0001764482, 0.0001708786, -0.0004014337, -0.00024771, 0, 0},
                                  {-1.315418e-06, -1.745316e-06, 9.973464e-06, 0, 0, 0}}};
    static constexpr Grid k{{{0.4453745, -0.4067857, 0.2325883, -0.1569133, -0.1074279, 1.192263},
                             {0.0008706814, -0.001560464, 0.000790936, -2.926925e-05, -0.0002372089, 0},
                             {-5.352757e-06, 1.082907e-05, -6.117302e-06, 5.716025e-06, 0, 0},
                             {-1.560759e-10, -6.139943e-09, 3.179827e-08, 0, 0, 0}}};
    using Row = std::array<double, 6>;
    static constexpr Row log_freezing{5.534468, -0.3574293, -0.6535113, -0.9039166, 1.048048, 4.622116};
    static constexpr Row volume_of_mass{0.3256146, 0.9786794, 0.1492694, 0.03635665, -0.3467691, -1.011665};
};
/// The polynomial in T that a grid leaves at one concentration.
inline Cubic at_fraction(const Grid& c, double x) {
    Cubic p{};
    for (std::size_t j = 0; j < 4; ++j) p[j] = polynomial(c[j], x - AshraeGlycol::x_base);
    return p;
}
/// The set gives volume fraction over mass fraction (nearly a straight line): inverted by Newton.
inline double mass_fraction(double volume_fraction) {
    double y = volume_fraction;
    for (int step = 0; step < 4; ++step) {
        const double dy = y - AshraeGlycol::x_base;
        y -= (polynomial(AshraeGlycol::volume_of_mass, dy) - volume_fraction) /
             polynomial_slope(AshraeGlycol::volume_of_mass, dy);
    }
    return y;
}
/// Raoult's law for the water in an ideal solution, `mole_fraction` glycol, whose own vapour pressure is neglected:
/// (1 - mole_fraction) p_ws(T) = p. Four Newton steps in ln p_ws over 1/T, which is nearly a straight line.
inline double boiling_point(double mole_fraction, double p) {
    const double goal = std::log(p / (1 - mole_fraction));
    double T = 373.15;
    for (int step = 0; step < 4; ++step) {
        const double f = std::log(saturation_pressure(T)), up = std::log(saturation_pressure(T + 0.01));
        const double slope = (up - f) / (1 / (T + 0.01) - 1 / T);
        T = 1 / (1 / T + (goal - f) / slope);
    }
    return T;
}
}  // namespace detail

/// One mixture at one concentration: made by `coolant`, plain data, cheap to copy into a component.
struct CoolantMix {
    double freezing_point = 0, boiling_point = 0;  // K; boiling at 101325 Pa
    double glycol_mass_fraction = 0, glycol_mole_fraction = 0;
    double c0 = 0, c1 = 0;                         // J/(kg K), J/(kg K^2)
    double T_base = 0, T_low = 0;
    detail::Cubic rho_{}, log_mu{}, k_{};
    static constexpr double T_ref = 273.15;

    /// Density, kg/m^3.
    template <class S> S rho(const S& T) const { return cubic(rho_, T); }
    /// J/(kg K).
    template <class S> S cp(const S& T) const { return c0 + c1 * (T - T_ref); }
    /// J/kg, zero at 0 degC.
    template <class S> S h(const S& T) const {
        const S t = T - T_ref;
        return t * (c0 + 0.5 * c1 * t);
    }
    /// The exact inverse of h.
    template <class S> S T_of_h(const S& enthalpy) const {
        using std::sqrt;
        return T_ref + 2 * enthalpy / (c0 + sqrt(c0 * c0 + 2 * c1 * enthalpy));
    }
    /// Dynamic viscosity, Pa s.
    template <class S> S mu(const S& T) const {
        using std::exp;
        return exp(cubic(log_mu, T));
    }
    /// Thermal conductivity, W/(m K).
    template <class S> S k(const S& T) const { return cubic(k_, T); }
    template <class S> S prandtl(const S& T) const { return mu(T) * cp(T) / k(T); }
    /// K, at the absolute pressure p (Pa) of a capped system.
    double boiling_point_at(double p) const { return detail::boiling_point(glycol_mole_fraction, p); }

private:
    template <class S> S cubic(const detail::Cubic& c, const S& T) const {
        const double t = value(T), inside = std::clamp(t, T_low, coolant_T_high);
        const double slope = polynomial_slope(c, inside - T_base);
        return lift(polynomial(c, inside - T_base) + slope * (t - inside), Along{T, slope});
    }
};

namespace detail {
inline CoolantMix plain_water() {
    CoolantMix m;
    m.freezing_point = ice::melting_point;
    m.c0 = 4194.194, m.c1 = -0.02201;
    m.T_base = 313.15, m.T_low = 273.15;
    m.rho_ = {992.3057, -0.3820060, -4.061867e-3, 1.848199e-5};
    m.log_mu = {-7.338638, -1.881549e-2, 1.273514e-4, -8.556538e-7};
    m.k_ = {0.6288041, 1.306576e-3, -1.093810e-5, 4.938541e-8};
    return m;
}
/// cp as the straight line through the set's values at the two Chebyshev points of 250 .. 373.15 K: the closest line
/// there is but for the cubic term, within 0.01 % of the set, and h inverts in closed form.
inline void straighten_cp(CoolantMix& m, const Cubic& cp) {
    constexpr double middle = 0.5 * (250 + 373.15), reach = 0.5 * (373.15 - 250) * 0.7071067811865476;
    const double low = polynomial(cp, middle - reach - m.T_base), high = polynomial(cp, middle + reach - m.T_base);
    m.c1 = (high - low) / (2 * reach);
    m.c0 = 0.5 * (low + high) + m.c1 * (CoolantMix::T_ref - middle);
}
}  // namespace detail

/// The mixture with this glycol fraction by volume: water below `glycol_low`. Up to `glycol_high`; the caller checks.
inline CoolantMix coolant(double glycol_volume_fraction) {
    using Set = detail::AshraeGlycol;
    CoolantMix m = detail::plain_water();
    if (glycol_volume_fraction >= glycol_low) {
        const double x = glycol_volume_fraction;
        m.T_base = Set::T_base, m.T_low = coolant_T_low;
        m.rho_ = detail::at_fraction(Set::rho, x), m.k_ = detail::at_fraction(Set::k, x);
        m.log_mu = detail::at_fraction(Set::log_mu, x);
        detail::straighten_cp(m, detail::at_fraction(Set::cp, x));
        m.freezing_point = std::exp(polynomial(Set::log_freezing, x - Set::x_base));
        const double y = m.glycol_mass_fraction = detail::mass_fraction(x);
        m.glycol_mole_fraction = y / 62.068e-3 / (y / 62.068e-3 + (1 - y) / molar_mass_water);
    }
    m.boiling_point = m.boiling_point_at(101325);
    return m;
}

}  // namespace pullcast::media

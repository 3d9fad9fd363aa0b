/// Water vapour in air as an ideal gas. Plain doubles: for start values, boundaries and reports.
///   p_ws(T)  at saturation, Hyland and Wexler 1983 as in ASHRAE Fundamentals 2017 ch. 1 eq. 5 (ice) and 6 (liquid)
///   p_v = RH p_ws     W = e p_v / (p - p_v)     w = W / (1 + W) = e p_v / (p - (1 - e) p_v)     e = M_water / M_air
/// w is the mass fraction (kg vapour / kg moist air), W the humidity ratio (kg vapour / kg dry air).
/// Valid -100 .. 200 degC. The enhancement of saturation by the presence of air (0.45 % at 1 atm) is left out.
#pragma once
#include <array>
#include <cmath>
#include <pullcast/media/lift.hpp>

namespace pullcast::media {

inline constexpr double universal_gas_constant = 8.314462618;  // J/(mol K), exact since the SI of 2019
// kg/mol: N2 .78084, O2 .20946, Ar .00934, CO2 .0004, normalised; water as in IAPWS releases.
inline constexpr double molar_mass_air =
    (0.78084 * 28.0134e-3 + 0.20946 * 31.9988e-3 + 0.00934 * 39.948e-3 + 0.0004 * 44.0095e-3) / 1.00004;
inline constexpr double molar_mass_water = 18.015268e-3;
inline constexpr double vapour_mass_ratio = molar_mass_water / molar_mass_air;  // e, 0.621945

/// Saturation pressure (Pa) over liquid water, below the triple point over ice.
inline double saturation_pressure(double T) {
    constexpr double triple_point = 273.16;
    constexpr std::array<double, 4> liquid{1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8};
    constexpr std::array<double, 5> ice{6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13};
    if (T > triple_point) return std::exp(-5.8002206e3 / T + polynomial(liquid, T) + 6.5459673 * std::log(T));
    return std::exp(-5.6745359e3 / T + polynomial(ice, T) + 4.1635019 * std::log(T));
}
/// w at relative humidity `rh` (0 .. 1), T (K) and total pressure p (Pa); needs rh p_ws < p.
inline double vapour_fraction(double rh, double T, double p) {
    const double p_v = rh * saturation_pressure(T);
    return vapour_mass_ratio * p_v / (p - (1 - vapour_mass_ratio) * p_v);
}
/// Partial pressure of the vapour (Pa).
inline double vapour_pressure(double w, double p) {
    return p * w / (vapour_mass_ratio + (1 - vapour_mass_ratio) * w);
}
/// Above 1 the air is supersaturated: nothing here condenses water.
inline double relative_humidity(double w, double T, double p) { return vapour_pressure(w, p) / saturation_pressure(T); }
/// W (kg vapour / kg dry air).
inline double humidity_ratio(double w) { return w / (1 - w); }

}  // namespace pullcast::media

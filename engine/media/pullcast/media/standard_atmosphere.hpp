/// The standard atmosphere below 11 km: linear temperature, hydrostatic pressure.
///   T = 288.15 - 0.0065 H     p = 101325 (T / 288.15)^5.25588     rho = p / (287.05287 T)
/// H geopotential altitude in m. ISO 2533, identical with ICAO and US-1976 there. Valid -5000 .. 11000 m, dry air.
#pragma once
#include <cmath>

namespace pullcast::media {

struct StandardAir {
    double T, p, rho;  // K, Pa, kg/m^3
};

inline constexpr double standard_altitude_low = -5000, standard_altitude_high = 11000;

inline StandardAir isa(double altitude) {
    // g0 M / (R L) with ISO 2533's own R = 8.31432 J/(mol K), M = 28.964420 kg/kmol.
    constexpr double exponent = 9.80665 * 28.964420e-3 / (8.31432 * 0.0065);
    const double T = 288.15 - 0.0065 * altitude;
    const double p = 101325 * std::pow(T / 288.15, exponent);
    return {T, p, p / (287.05287 * T)};
}

}  // namespace pullcast::media

/// The engine and the operating points that the tests of the knock limit share: what the component's presets give for a
/// cylinder of 86 by 86 mm. Invented.
#pragma once
#include "../../plugins/knock/limit_table.hpp"
#include "conformance_subject.hpp"

namespace pullcast::test {

using knock::degree;
constexpr double rpm = std::numbers::pi / 30;

inline knock::Engine knock_engine(double ratio = 9.5, double step = degree, double log_scale = 0, double octane = 95) {
    const knock::Cylinder cylinder{.086, .086, ratio, 1.7 * .086, -130 * degree, 130 * degree, step};
    const knock::Trapping trapping{0.2, 0.25, 1050, 80, 66 * degree, 0.3, 0.15, 3};
    const knock::Fuel pump_fuel{{1.87, 0, 3.6}, 14.7, 43.44e6, 349e3};
    return {knock::Chamber(cylinder), trapping, pump_fuel, {1.2, 850, 0.8, 0.9}, octane, log_scale};
}

/// Where the temperature's gain was set.
constexpr knock::Point<double> base_point{120e3, 323.15, 0.008, 2000 * rpm, 0.87, 110e3, 363.15};
/// The component's reference point.
constexpr knock::Point<double> reference_point{150e3, 323.15, 0.008, 314.159265, 0.85, 125e3, 363.15};

/// A point at full throttle: 100 to 220 kPa, 1500 to 7000 rpm, charge of 290 to 360 K.
inline knock::Point<double> drawn_point(Random& r) {
    auto at = reference_point;
    at.p = r.between(100e3, 220e3), at.T = r.between(290, 360), at.omega = r.between(1500, 7000) * rpm;
    at.w = r.between(0, 0.02), at.lambda = r.between(0.75, 1), at.coolant = r.between(340, 375);
    at.exhaust_pressure = at.p * r.between(0.75, 1.1);
    return at;
}
inline double limit_at(const knock::Engine& e, const knock::Point<double>& at) {
    return knock::Batch(e, std::span(&at, 1)).limit()[0];
}

}  // namespace pullcast::test

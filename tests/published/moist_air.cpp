/// Humidity and moist-air enthalpy against ASHRAE's tables, IAPWS and psychrolib. Marks: V read in the source named,
/// C computed with the library named, M from memory.
#include <gtest/gtest.h>
#include <pullcast/media/moist_air.hpp>
#include "relative.hpp"

namespace moist_air_tests {

using namespace pullcast::media;

constexpr double celsius = 273.15;

double saturation_ratio(double t) { return humidity_ratio(vapour_fraction(1, t + celsius, 101325)); }

// ASHRAE Fundamentals 2017 ch. 1 table 3, as quoted in psychrolib's test_psychrolib_si.py (V). The formula
// claims 300 ppm; the value at -60 degC has three digits only.
TEST(SaturationPressure, AshraeTable3) {
    constexpr double table[][2] = {{-20, 103.24}, {-5, 401.74},   {5, 872.6},      {25, 3169.7},
                                   {50, 12351.3}, {100, 101418.0}, {150, 476101.4}};
    for (const auto& [t, p] : table) EXPECT_TRUE(within(saturation_pressure(t + celsius), p, 3e-4)) << t << " degC";
    EXPECT_NEAR(saturation_pressure(-60 + celsius), 1.08, 0.005);
}

// IAPWS-IF97 run in python3-iapws 1.5.3 (C): an equation of its own, so a real check of the fit.
TEST(SaturationPressure, IapwsIf97) {
    constexpr double table[][2] = {{0.01, 611.657}, {5, 872.575},   {10, 1228.184}, {15, 1705.745}, {20, 2339.215},
                                   {25, 3169.747},  {30, 4246.688}, {35, 5628.620}, {40, 7384.427}, {50, 12351.270},
                                   {60, 19945.80},  {80, 47414.72}, {100, 101417.98}};
    for (const auto& [t, p] : table) EXPECT_TRUE(within(saturation_pressure(t + celsius), p, 2e-4)) << t << " degC";
}

// The same formula in psychrolib (C): seven digits.
TEST(SaturationPressure, HylandWexlerAsRunElsewhere) {
    constexpr double table[][2] = {{5, 872.487},    {10, 1227.995},  {25, 3169.217},  {35, 5627.819},
                                   {50, 12349.856}, {60, 19943.761}, {80, 47411.611}, {100, 101418.72}};
    for (const auto& [t, p] : table) EXPECT_TRUE(within(saturation_pressure(t + celsius), p, 1e-6)) << t << " degC";
}

TEST(SaturationPressure, IceAndLiquidMeetAtTheTriplePoint) {
    EXPECT_TRUE(within(saturation_pressure(273.1601), saturation_pressure(273.1599), 5e-5));
}

// ASHRAE table 2, saturated air at 101.325 kPa (V, as above). The table holds real gas: the enhancement factor of about
// 1.0045 makes it that much wetter than the ideal mixture here, more so the warmer, since W follows p_v / (p - p_v).
TEST(MoistAir, AshraeTable2Saturation) {
    EXPECT_TRUE(within(saturation_ratio(-20), 0.0006373, 5e-3));
    EXPECT_TRUE(within(saturation_ratio(5), 0.005425, 5e-3));
    EXPECT_TRUE(within(saturation_ratio(25), 0.020173, 5e-3));
    EXPECT_TRUE(within(saturation_ratio(50), 0.086863, 7e-3));
}

// ASHRAE table 2 (V): enthalpy above dry air and liquid water at 0 degC; vapour at 0 degC holds 2501 kJ/kg (eq. 30, V).
TEST(MoistAir, AshraeTable2Enthalpy) {
    const auto above_zero = [](double t, double w) { return enthalpy(t + celsius, w) - enthalpy(celsius, w); };
    const auto saturated = [&](double t, double W) { return above_zero(t, 0.0) + W * (2501e3 + above_zero(t, 1.0)); };
    EXPECT_TRUE(within(above_zero(25, 0.0), 25148, 3e-3));
    EXPECT_TRUE(within(saturated(5, 0.005425), 18639, 2e-3));
    EXPECT_TRUE(within(saturated(25, 0.020173), 76504, 2e-3));
    EXPECT_TRUE(within(saturated(50, 0.086863), 275353, 2e-3));
    EXPECT_TRUE(within(1 / gas_state(101325.0, 298.15, 0.0).rho, 0.8443, 6e-4)) << "dry air, m^3/kg";
}

struct PsychrolibRun {
    double t, rh, p, p_v, W, rho, h;
};
// psychrolib 1.1.1 from npm (C); psychrolib_cross_check runs it live.
constexpr PsychrolibRun runs[] = {{25, 0.5, 101325, 1584.6082, 0.0098810437, 1.1769582, 50321.96},
                                  {20, 0.5, 101325, 1169.4019, 0.0072617372, 1.1988980, 38551.74},
                                  {30, 0.6, 100000, 2547.6181, 0.016259001, 1.1381352, 71751.01},
                                  {35, 0.4, 98000, 2251.1278, 0.014622393, 1.0983241, 72732.52},
                                  {40, 0.3, 95000, 2215.0380, 0.014847576, 1.0475640, 78478.45},
                                  {10, 0.8, 102000, 982.39622, 0.0060484153, 1.2504143, 25299.59}};

TEST(MoistAir, PsychrolibRuns) {
    for (const auto& r : runs) {
        const double T = r.t + celsius, w = vapour_fraction(r.rh, T, r.p);
        EXPECT_TRUE(within(vapour_pressure(w, r.p), r.p_v, 1e-6));
        EXPECT_TRUE(within(humidity_ratio(w), r.W, 1e-6));
        EXPECT_TRUE(within(relative_humidity(w, T, r.p), r.rh, 1e-12));
        EXPECT_TRUE(within(gas_state(r.p, T, w).rho, r.rho, 2e-6));
        // per kg of dry air above 0 degC; its cp are rounded constants (1006 and 1860 J/(kg K)), ours vary
        const double dry = enthalpy(T, 0.0) - enthalpy(celsius, 0.0);
        const double vapour = enthalpy(T, 1.0) - enthalpy(celsius, 1.0);
        EXPECT_TRUE(within(dry + r.W * (2501e3 + vapour), r.h, 2e-3));
    }
}

// TEOS-10 / IAPWS G8-10 humid air run in python3-iapws 1.5.3 (C): real gas.
TEST(MoistAir, RealGas) {
    constexpr double table[][5] = {// t, p, W, rho, cp J/(kg moist air K)
                                   {25, 101325, 0.009881, 1.17736, 1014.93},
                                   {30, 100000, 0.016259, 1.13851, 1020.70},
                                   {40, 95000, 0.0148476, 1.04780, 1019.71},
                                   {10, 102000, 0.0060484, 1.25102, 1011.20}};
    for (const auto& [t, p, W, rho, cp] : table) {
        const double w = W / (1 + W);
        EXPECT_TRUE(within(gas_state(p, t + celsius, w).rho, rho, 6e-4)) << t;
        EXPECT_TRUE(within(specific_heat(t + celsius, w), cp, 2.5e-3)) << t;
    }
}

TEST(MoistAir, RatioOfGasConstants) {
    EXPECT_TRUE(within(gas_constant(0.0) / gas_constant(1.0), 0.621945, 1e-6));  // ASHRAE 2017 eq. 20 (V)
    EXPECT_TRUE(within(gas_constant(0.0), 287.042, 2e-6));                       // ASHRAE 2017 eq. 26 (V)
}

}  // namespace moist_air_tests

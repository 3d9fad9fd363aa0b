/// Heat capacity, enthalpy, transport and the inverse functions of air against JANAF, Incropera and a real-gas equation
/// of state. Marks: V read in the source named, C computed with the library named, M from memory.
#include <gtest/gtest.h>
#include <pullcast/media/moist_air.hpp>
#include "relative.hpp"

namespace air_properties_tests {

using namespace pullcast;
using namespace pullcast::media;

// JANAF 4th edition, J/(mol K) (M). 1000 K is the upper end of the coefficients.
TEST(HeatCapacity, Janaf) {
    struct Row {
        detail::Nasa gas;
        double at_298, at_300, at_500, at_1000;
    };
    const Row table[] = {{detail::nitrogen, 29.124, 29.125, 29.580, 32.697},
                         {detail::oxygen, 29.376, 29.385, 31.091, 34.870},
                         {detail::carbon_dioxide, 37.129, 37.221, 44.627, 54.308},
                         {detail::water_vapour, 33.590, 33.596, 35.226, 41.268},
                         {detail::argon, 20.786, 20.786, 20.786, 20.786}};
    for (const auto& r : table) {
        const auto cp = [&](double T) { return universal_gas_constant * polynomial(r.gas, T); };
        EXPECT_TRUE(within(cp(298.15), r.at_298, 2e-4));
        EXPECT_TRUE(within(cp(300), r.at_300, 2e-4));
        EXPECT_TRUE(within(cp(500), r.at_500, 7e-4));
        EXPECT_TRUE(within(cp(1000), r.at_1000, 7e-4));
    }
}

// h(1000 K) - h(298.15 K) of steam, 26003 J/mol: TM-4513 set (C); JANAF 26000 (M).
TEST(HeatCapacity, SteamEnthalpy) {
    EXPECT_TRUE(within(enthalpy(1000.0, 1.0) * molar_mass_water, 26003, 1e-4));
    EXPECT_TRUE(within(enthalpy(1000.0, 1.0) * molar_mass_water, 26000, 3e-4));
}

// The TM-4513 set mixed by an independent script (C): pins the mixing and the reference state.
TEST(HeatCapacity, DryAirMixture) {
    constexpr double table[][3] = {// T, cp, gamma
                                   {250, 1002.92, 1.40096},    {288.15, 1004.20, 1.40025}, {298.15, 1004.72, 1.39996},
                                   {323.15, 1006.36, 1.39905}, {373.15, 1010.99, 1.39649}, {500, 1029.92, 1.38639},
                                   {800, 1098.64, 1.35367},    {1000, 1140.69, 1.33625}};
    for (const auto& [T, cp, gamma] : table) {
        EXPECT_TRUE(within(specific_heat(T, 0.0), cp, 6e-6));
        EXPECT_TRUE(within(heat_ratio(T, 0.0), gamma, 5e-6));
    }
    constexpr double rise[][2] = {{350, 52187.5}, {400, 102750.9}, {500, 204909.2}, {600, 308896.4}, {1000, 747956.8}};
    for (const auto& [T, h] : rise) EXPECT_TRUE(within(enthalpy(T, 0.0), h, 1e-6));
    EXPECT_NEAR(enthalpy(298.15, 0.0), 0, 1e-9);
    EXPECT_NEAR(enthalpy(298.15, 1.0), 0, 1e-9);
}

// Incropera, Fundamentals of Heat and Mass Transfer, table A.4, air at 1 atm (V, several transcriptions agree). Its
// density column is not checked: it belongs to 100 kPa and an older gas constant, 1.3 % off 1 atm.
TEST(AirProperties, IncroperaTableA4) {
    constexpr double table[][4] = {// T, cp kJ/(kg K), mu 1e-7 Pa s, k 1e-3 W/(m K)
                                   {250, 1.006, 159.6, 22.3}, {300, 1.007, 184.6, 26.3}, {350, 1.009, 208.2, 30.0},
                                   {400, 1.014, 230.1, 33.8}, {450, 1.021, 250.7, 37.3}, {500, 1.030, 270.1, 40.7},
                                   {550, 1.040, 288.4, 43.9}, {600, 1.051, 305.8, 46.9}, {700, 1.075, 338.8, 52.4}};
    for (const auto& [T, cp, mu, k] : table) {
        EXPECT_TRUE(within(specific_heat(T, 0.0), 1e3 * cp, 3.2e-3)) << T;
        EXPECT_TRUE(within(viscosity(T), 1e-7 * mu, T <= 450 ? 1.0e-2 : 1.8e-2)) << T;
        EXPECT_TRUE(within(conductivity(T), 1e-3 * k, 1.0e-2)) << T;
    }
}

// Lemmon et al. 2000 equation of state and Lemmon-Jacobsen 2004 transport at 101.325 kPa in python3-iapws 1.5.3 (C).
TEST(AirProperties, RealAir) {
    constexpr double table[][7] = {// T, rho, cp kJ/(kg K), mu 1e-5, k 1e-2, speed of sound, Pr
                                   {250, 1.41331, 1.00554, 1.6038, 2.25644, 317.07, 0.7147},
                                   {300, 1.17700, 1.00637, 1.8537, 2.63845, 347.32, 0.7071},
                                   {350, 1.00853, 1.00921, 2.0867, 3.00033, 374.95, 0.7019},
                                   {400, 0.88231, 1.01414, 2.3055, 3.34532, 400.45, 0.6989},
                                   {450, 0.78420, 1.02111, 2.5124, 3.67601, 424.16, 0.6979},
                                   {500, 0.70574, 1.02987, 2.7090, 3.99446, 446.35, 0.6984}};
    for (const auto& [T, rho, cp, mu, k, sound, pr] : table) {
        EXPECT_TRUE(within(gas_state(101325.0, T, 0.0).rho, rho, 1e-3)) << T;
        EXPECT_TRUE(within(specific_heat(T, 0.0), 1e3 * cp, 2.7e-3)) << T;
        EXPECT_TRUE(within(viscosity(T), 1e-5 * mu, 1.5e-2)) << T;
        EXPECT_TRUE(within(conductivity(T), 1e-2 * k, 1.5e-2)) << T;
        EXPECT_TRUE(within(std::sqrt(heat_ratio(T, 0.0) * gas_constant(0.0) * T), sound, 8e-4)) << T;
        EXPECT_TRUE(within(prandtl(T), pr, 3e-2)) << T;
    }
}

// US Standard Atmosphere 1976 (V through python3-fluids: 1.7894e-5; the rest C from the formula written in full).
TEST(AirProperties, StandardAtmosphereTransport) {
    EXPECT_TRUE(within(viscosity(288.15), 1.7894e-5, 3e-5));
    for (double T : {200.0, 288.15, 300.0, 400.0, 600.0, 1000.0}) {
        const double full = 2.64638e-3 * std::pow(T, 1.5) / (T + 245.4 * std::pow(10.0, -12 / T));
        EXPECT_TRUE(within(conductivity(T), full, 1e-7)) << T;
    }
}

TEST(AirInverse, TemperatureOfEnergy) {
    for (double w : {0.0, 0.01, 0.03, 0.1})
        for (double T = 220; T <= 800; T += 0.5)
            EXPECT_TRUE(within(temperature_of_energy(internal_energy(T, w), w), T, 1e-9)) << T << ", w " << w;
    for (double T : {20.0, 150.0, 199.0, 1001.0, 1500.0, 4000.0})
        EXPECT_TRUE(within(temperature_of_energy(internal_energy(T, 0.02), 0.02), T, 1e-9)) << T;
}

/// ds = cp dT / T integrated by Simpson's rule: an independent way to the entropy of the same gas.
double entropy_rise(double T1, double T2, double w) {
    constexpr int n = 2000;
    const double step = (T2 - T1) / n;
    double sum = 0;
    for (int i = 0; i <= n; ++i) {
        const double T = T1 + i * step;
        sum += (i == 0 || i == n ? 1 : i % 2 ? 4 : 2) * specific_heat(T, w) / T;
    }
    return sum * step / 3;
}

TEST(AirInverse, IsentropicTemperature) {
    for (double w : {0.0, 0.03})
        for (double T1 : {220.0, 300.0, 400.0})
            for (double ratio : {0.1, 0.5, 0.999, 1.0, 1.5, 2.5, 4.0, 10.0}) {
                const double T2 = isentropic_temperature(T1, ratio, w);
                const double missing = entropy_rise(T1, T2, w) - gas_constant(w) * std::log(ratio);
                EXPECT_NEAR(missing / specific_heat(T2, w), 0, T2 < 200 ? 1e-6 : 2e-10) << T1 << ' ' << ratio;
            }
}

// Constant-gamma theory (any textbook): at small ratios the variable-cp result must agree with the local gamma.
TEST(AirInverse, IsentropicTemperatureNearOne) {
    const double gamma = heat_ratio(300.0, 0.0), ratio = 1.001;
    EXPECT_NEAR(isentropic_temperature(300.0, ratio, 0.0), 300 * std::pow(ratio, (gamma - 1) / gamma), 1e-6);
}

// Beyond the coefficients: constant cp, enthalpy continuous with its slope.
TEST(AirRange, ContinuesWithConstantHeatCapacity) {
    for (double edge : {200.0, 1000.0}) {
        const double below = specific_heat(edge - 1e-6, 0.02), above = specific_heat(edge + 1e-6, 0.02);
        EXPECT_TRUE(within(below, above, 1e-8));
        const double rise = enthalpy(edge + 1e-3, 0.02) - enthalpy(edge - 1e-3, 0.02);
        EXPECT_TRUE(within(rise, 2e-3 * above, 1e-6));
    }
    EXPECT_EQ(specific_heat(100.0, 0.02), specific_heat(200.0, 0.02));
    EXPECT_EQ(specific_heat(3000.0, 0.02), specific_heat(1000.0, 0.02));
    EXPECT_TRUE(within(enthalpy(3000.0, 0.0) - enthalpy(1000.0, 0.0), 2000 * specific_heat(1000.0, 0.0), 1e-12));
}

/// Exact derivatives against central differences of the plain-double function.
template <class F>
void check_slopes(F&& f, std::array<double, 3> at) {
    std::array<Dual, 3> x;
    for (int i = 0; i < 3; ++i) x[i] = at[i], x[i].d[i] = 1;
    const Dual dual = f(x[0], x[1], x[2]);
    EXPECT_DOUBLE_EQ(dual.v, f(at[0], at[1], at[2]));
    for (int i = 0; i < 3; ++i) {
        const double step = 1e-5 * std::max(std::fabs(at[i]), 1e-2);
        auto up = at, down = at;
        up[i] += step, down[i] -= step;
        const double slope = (f(up[0], up[1], up[2]) - f(down[0], down[1], down[2])) / (2 * step);
        EXPECT_NEAR(dual.d[i], slope, 2e-6 * std::fabs(slope) + 1e-12 * std::fabs(dual.v) / step) << "argument " << i;
    }
    for (int i = 3; i < dual_width; ++i) EXPECT_EQ(dual.d[i], 0);
}

TEST(AirDerivatives, MatchDifferences) {
    for (double T : {150.0, 260.0, 320.0, 480.0, 900.0, 1200.0}) {
        const std::array<double, 3> at{T, 0.012, 1.8};
        check_slopes([](const auto& t, const auto& w, const auto&) { return specific_heat(t, w); }, at);
        check_slopes([](const auto& t, const auto& w, const auto&) { return enthalpy(t, w); }, at);
        check_slopes([](const auto& t, const auto& w, const auto&) { return internal_energy(t, w); }, at);
        check_slopes([](const auto& t, const auto& w, const auto&) { return heat_ratio(t, w); }, at);
        check_slopes([](const auto& t, const auto&, const auto&) { return viscosity(t); }, at);
        check_slopes([](const auto& t, const auto&, const auto&) { return conductivity(t); }, at);
        check_slopes([](const auto& t, const auto&, const auto&) { return prandtl(t); }, at);
        check_slopes([](const auto& t, const auto& w, const auto& r) { return isentropic_temperature(t, r, w); }, at);
        check_slopes([](const auto& t, const auto& w, const auto& r) { return gas_state(1e5 * r, t, w).rho; }, at);
        const std::array<double, 3> energy{internal_energy(T, 0.012), 0.012, 1};
        check_slopes([](const auto& u, const auto& w, const auto&) { return temperature_of_energy(u, w); }, energy);
    }
}

}  // namespace air_properties_tests

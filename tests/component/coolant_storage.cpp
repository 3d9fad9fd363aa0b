// Joints and reservoirs: pressure laws, mixing and cooling against exact exponentials, ice against an enthalpy balance.
#include <gtest/gtest.h>

#include <pullcast/media/coolant.hpp>

#include "bench_run.hpp"

namespace coolant_storage_tests {

using namespace pullcast;
using namespace pullcast::test;

const media::CoolantMix mix = media::coolant(0.5);
constexpr double p0 = 101325, start = 310;

Bench storage(const char* model, double volume, bool insulated = true) {
    Bench b(builtin(model));
    b.set("volume", volume).set("start_temperature", start);
    const bool tank = std::string(model).find("reservoir") != std::string::npos;
    if (tank && insulated) b.disconnect("surroundings");
    return b;
}

TEST(CoolantJoint, pressure_rises_by_its_compliance) {
    Bench b = storage("coolant.joint", 2e-4);
    ASSERT_EQ(b.set("compliance", 2e-6).prepare().why, nullptr);
    b.start(), b.evaluate();
    EXPECT_NEAR(b.coolant("coolant").p, p0, 1e-6);
    EXPECT_NEAR(b.coolant("coolant").T, start, 1e-9);
    b.state("mass") += 0.01;
    b.evaluate();
    EXPECT_NEAR(b.coolant("coolant").p, p0 + 5000, 1e-6);
    b.state("mass") = -0.1;
    b.evaluate();
    EXPECT_STREQ(b.rejected(), "coolant mass in a joint or reservoir");
}

// Boyle's law: half the gas volume, twice the pressure.
TEST(CoolantJointExpansion, cushion_follows_boyles_law) {
    Bench b = storage("coolant.joint_expansion", 5e-4);
    ASSERT_EQ(b.set("gas_volume", 3e-4).prepare().why, nullptr);
    b.start();
    const double rho = mix.rho(start), full = b.state("mass");
    for (const double taken : {-3e-4, 0.0, 1.5e-4, 2.4e-4}) {
        b.state("mass") = full + rho * taken;
        b.evaluate();
        const double boyle = p0 * 3e-4 / (3e-4 - taken);  // 1e-5: the cushion's rounding when four fifths full
        EXPECT_NEAR(b.coolant("coolant").p, boyle, 1e-5 * boyle) << taken;
    }
    b.state("mass") = full + rho * 5e-4;  // more than the cushion holds: very stiff, and finite
    b.evaluate();
    EXPECT_GT(b.coolant("coolant").p, 50 * p0);
    EXPECT_TRUE(std::isfinite(b.coolant("coolant").p));
}

// Stirred tank with equal flow in and out: h - h_in falls as exp(-m t / M).
TEST(CoolantReservoir, mixes_exponentially) {
    Bench b = storage("coolant.reservoir", 3e-3);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start(), b.evaluate();
    const double M = b.state("mass"), m = 0.3, h_in = mix.h(330.0), h0 = mix.h(start);
    for (const double end : {5.0, 15.0}) {
        b.start();
        advance(b, end, 0.05, [&](double) { b.inject<Coolant>("coolant") = {0, m * (h_in - b.coolant("coolant").h)}; });
        EXPECT_NEAR(b.coolant("coolant").h, h_in + (h0 - h_in) * std::exp(-m * end / M), 1e-6 * h_in);
    }
}

TEST(CoolantReservoir, cools_exponentially_and_reports_its_margins) {
    Bench b = storage("coolant.reservoir", 3e-3, false);
    ASSERT_EQ(b.set("loss", 30).prepare().why, nullptr);
    b.start();
    b.heat("surroundings").T = start - 1;  // 1 K: cp as good as constant
    b.evaluate();
    const double M = b.state("mass"), tau = M * mix.cp(start) / 30;
    advance(b, tau, tau / 500, [](double) {});
    EXPECT_NEAR(b.output("temperature"), start - 1 + std::exp(-1), 2e-4);
    EXPECT_NEAR(b.output("freezing_margin"), b.output("temperature") - mix.freezing_point, 1e-12);
    EXPECT_NEAR(b.output("boiling_margin"), mix.boiling_point - b.output("temperature"), 1e-12);
}

/// Coolant as warm as the enthalpy balance leaves it once `ice` has melted in `liquid` at `T`.
double balanced(double liquid, double T, double ice) {
    const double latent = 333420;  // J/kg: IAPWS-06 ice against IAPWS-95 water, computed
    return mix.T_of_h((liquid * mix.h(T) - ice * latent) / (liquid + ice));
}

TEST(CoolantReservoirIce, melts_to_the_enthalpy_balance) {
    for (const double ice : {0.2, 0.5, 0.8}) {
        Bench b = storage("coolant.reservoir_ice", 6e-3);
        ASSERT_EQ(b.set("ice_mass", ice).set("melt_conductance", 3000).prepare().why, nullptr);
        b.start(), b.evaluate();
        const double liquid = b.state("mass"), energy = b.stored().energy, mass = b.stored().coolant;
        const double p = b.coolant("coolant").p;
        advance(b, 120, 0.005, [](double) {});
        EXPECT_NEAR(b.state("ice"), 0, 1e-6);
        EXPECT_NEAR(b.output("temperature"), balanced(liquid, start, ice), 1e-3) << ice;
        EXPECT_NEAR(b.stored().energy, energy, 1e-9 * std::fabs(energy));
        EXPECT_NEAR(b.stored().coolant, mass, 1e-12);
        EXPECT_NEAR(b.coolant("coolant").p, p, 1e-3);
    }
}

// 1 kg of ice at 0 degC takes up as much as 1 kg of water warmed by 79.7 K (computed from IAPWS).
TEST(CoolantReservoirIce, a_kilogram_of_ice_is_worth_eighty_kelvin_of_water) {
    Bench b = storage("coolant.reservoir_ice", 8e-3);
    ASSERT_EQ(b.set("glycol", 0).set("ice_mass", 1).set("melt_conductance", 1000).prepare().why, nullptr);
    b.start(), b.evaluate();
    const double melt = b.output("melting_heat") / -b.rate("ice"), water_cp = 4186;
    EXPECT_NEAR(melt / water_cp, 79.7, 0.1);
    EXPECT_NEAR(b.output("melting_heat"), 1000 * (start - 273.15), 10);  // UA (T - T0), but for the fading width
}

TEST(CoolantReservoirIce, too_much_ice_stays_and_the_coolant_rests_above_zero) {
    Bench b = storage("coolant.reservoir_ice", 4e-3);
    ASSERT_EQ(b.set("ice_mass", 2.5).set("start_temperature", 290).prepare().why, nullptr);
    b.start();
    advance(b, 300, 0.02, [](double) {});
    EXPECT_GT(b.state("ice"), 1.5);
    EXPECT_NEAR(b.output("temperature"), 273.15, 0.2);
    EXPECT_GE(b.output("temperature"), 273.15);
    b.state("energy") = b.state("mass") * mix.h(268.0);  // colder than ice: nothing melts, nothing freezes
    b.evaluate();
    EXPECT_EQ(b.rate("ice"), 0);
}

// Without melting the temperature stands, so that energy falls by exactly what the coolant carries off.
TEST(CoolantReservoirIce, ice_put_in_takes_the_place_of_coolant) {
    Bench b = storage("coolant.reservoir_ice", 6e-3);
    ASSERT_EQ(b.set("ice_mass", 0).set("melt_conductance", 0).set("ice_feed", 0.01).prepare().why, nullptr);
    b.start(), b.evaluate();
    const double liquid = b.state("mass"), energy = b.state("energy"), mass = b.stored().coolant;
    const double p = b.coolant("coolant").p, h = b.coolant("coolant").h, stored = b.stored().energy;
    const double fed = 100 * b.account("filling");
    advance(b, 100, 0.01, [](double) {});
    EXPECT_NEAR(b.state("ice"), 1, 1e-9);
    EXPECT_NEAR(b.state("mass"), liquid - 1, 1e-9);
    EXPECT_NEAR(b.state("energy"), energy - h, 1e-6 * std::fabs(energy));
    EXPECT_NEAR(b.stored().energy - stored, fed, 1e-6 * std::fabs(fed));
    EXPECT_NEAR(b.stored().coolant, mass, 1e-11);
    EXPECT_NEAR(b.coolant("coolant").p, p, 1e-3);
}

TEST(CoolantReservoirIce, stops_where_a_fifth_is_liquid) {
    Bench b = storage("coolant.reservoir_ice", 6e-3);
    ASSERT_EQ(b.set("ice_mass", 0).set("melt_conductance", 0).set("ice_feed", 0.05).prepare().why, nullptr);
    b.start(), b.evaluate();
    const double all = b.stored().coolant;
    advance(b, 400, 0.01, [](double) {});
    EXPECT_GT(b.state("mass"), 0.15 * all);
    EXPECT_LT(b.state("mass"), 0.25 * all);
}

TEST(CoolantReservoirIce, refuses_more_ice_than_fits) {
    Bench b = storage("coolant.reservoir_ice", 2e-3);
    EXPECT_STREQ(b.set("ice_mass", 1.9).prepare().parameter, "ice_mass");
}

}  // namespace coolant_storage_tests

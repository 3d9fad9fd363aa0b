/// blower.geometric: conservation, trends, reversal, smoothness.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/media/moist_air.hpp>

#include "bench.hpp"

namespace blower_geometric_tests {
using namespace pullcast;
using test::Bench;

void typical(Bench& b, double volume_ratio = 1.2) {
    b.set("displacement", 1.9e-3).set("speed_limit", 1700).set("rated_speed", 1600).set("clearance_area", 6e-5);
    b.set("volume_ratio", volume_ratio);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.state("rotor_speed") = 1200;
    b.state("case_metal") = 340;
}
void between(Bench& b, double ratio, double p1 = 98e3) {
    b.gas("from") = media::gas_state(p1, 305.0, 0.008);
    b.gas("to") = media::gas_state(ratio * p1, 380.0, 0.009);
    b.evaluate();
}
/// Everything that the machine moves adds up to nothing, and the meters agree with it.
void expect_conserved(const Bench& b, double omega) {
    const auto &in = b.flow_into<Gas>("from"), &out = b.flow_into<Gas>("to");
    const double power = -b.flow_into<Shaft>("shaft").tau * omega, heat = b.flow_into<Heat>("case").Q;
    EXPECT_NEAR(in.m + out.m, 0, 1e-15);
    EXPECT_NEAR(in.mw + out.mw, 0, 1e-15);
    EXPECT_NEAR(in.H + out.H + heat, power, 1e-10 * (std::fabs(power) + 1e4));
    EXPECT_NEAR(b.account("shaft_work"), power, 1e-10 * (std::fabs(power) + 1));
    EXPECT_NEAR(b.account("heat_to_case"), heat, 1e-12 * (std::fabs(heat) + 1));
}

TEST(BlowerGeometric, ConservesMassVapourAndEnergyEverywhere) {
    for (double vi : {1.0, 1.3}) {
        Bench b(test::builtin("blower.geometric"));
        typical(b, vi);
        for (double omega : {-500.0, -3.0, 0.0, 1.0, 40.0, 1200.0, 2200.0})
            for (double ratio : {0.4, 0.9, 1.0, 1.0001, 1.6, 2.5, 5.0}) {
                b.state("rotor_speed") = omega;
                between(b, ratio);
                expect_conserved(b, omega);
            }
    }
}

TEST(BlowerGeometric, VolumetricEfficiencyFallsWithPressureRatioAndRisesWithSpeed) {
    Bench b(test::builtin("blower.geometric"));
    typical(b);
    double above = 2;
    for (double ratio : {1.05, 1.2, 1.4, 1.6, 1.8, 2.0, 2.4}) {
        between(b, ratio);
        const double ve = b.output("volumetric_efficiency");
        EXPECT_LT(ve, above) << ratio;
        EXPECT_GT(ve, 0.7) << ratio;
        above = ve;
    }
    double below = 0;
    for (double omega : {300.0, 500.0, 800.0, 1100.0}) {  // filling loss takes over only near the rated speed
        b.state("rotor_speed") = omega;
        between(b, 1.8);
        EXPECT_GT(b.output("volumetric_efficiency"), below) << omega;
        below = b.output("volumetric_efficiency");
    }
}

TEST(BlowerGeometric, LeakageCarriesOutletEnthalpyBackToTheInlet) {
    Bench b(test::builtin("blower.geometric"));
    typical(b);
    b.set("inlet_conductance", 0);
    between(b, 1.8);
    const double swept = b.output("swept_flow"), leak = b.output("leak_flow");
    EXPECT_GT(leak, 0.02 * swept);
    EXPECT_NEAR(b.flow_into<Gas>("from").m, leak - swept, 1e-12);
    EXPECT_NEAR(b.flow_into<Gas>("from").H, leak * b.gas("to").h - swept * b.gas("from").h, 2);
}

// A conductance without limit brings the inlet air to the casing's temperature: density falls as T1 / Tc, exactly.
TEST(BlowerGeometric, HotCasingThinsTheInletAir) {
    Bench b(test::builtin("blower.geometric"));
    b.set("displacement", 1.9e-3).set("speed_limit", 1700).set("rated_speed", 1600).set("clearance_area", 0);
    b.set("filling_loss", 0).set("inlet_conductance", 1e4).set("outlet_conductance", 0);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.state("rotor_speed") = 1200, b.state("case_metal") = 350;
    between(b, 1.5);
    EXPECT_NEAR(b.output("volumetric_efficiency"), 305.0 / 350.0, 1e-5);
    EXPECT_LT(b.rate("case_metal"), 0);
}

// Bypassed idle: the blower turns while outlet and inlet are joined, or throttled below the inlet pressure.
TEST(BlowerGeometric, BypassedIdleTakesLittlePower) {
    Bench b(test::builtin("blower.geometric"));
    typical(b, 1.0);
    between(b, 1.8);
    const double loaded = b.output("drive_power");
    between(b, 1.0);
    EXPECT_GT(b.output("drive_power"), 0);
    EXPECT_LT(b.output("drive_power"), 0.25 * loaded);
    EXPECT_NEAR(b.output("leak_flow"), 0, 1e-9);
    between(b, 0.6);
    EXPECT_LT(b.output("leak_flow"), 0);                     // leaks forward
    EXPECT_GT(b.output("volumetric_efficiency"), 1);
    EXPECT_LT(b.output("drive_power"), 0);                   // the pressure difference drives the rotors
}

// Second law at equal pressures and temperatures: turned either way, the shaft pays, whatever the built-in ratio.
TEST(BlowerGeometric, NeverRunsByItself) {
    for (double vi : {1.0, 1.3, 1.6}) {
        Bench b(test::builtin("blower.geometric"));
        typical(b, vi);
        for (double omega : {-1000.0, -50.0, -5.0, 5.0, 50.0, 1000.0}) {
            b.state("rotor_speed") = omega;
            between(b, 1.0);
            EXPECT_GT(b.output("drive_power"), 0) << "vi " << vi << " omega " << omega;
        }
    }
}

TEST(BlowerGeometric, ReversedRotationCarriesTheOtherWay) {
    Bench b(test::builtin("blower.geometric"));
    typical(b, 1.0);
    b.state("rotor_speed") = -400;
    between(b, 1.0);
    EXPECT_LT(b.flow_into<Gas>("to").m, 0);
    EXPECT_NEAR(b.output("swept_flow") / (b.gas("to").rho * 1.9e-3 * -400 / (2 * 3.14159265358979)), 1, 0.1);
}

TEST(BlowerGeometric, ExactDerivativesAgreeWithDifferences) {
    Bench b(test::builtin("blower.geometric"));
    typical(b, 1.3);
    for (double omega : {-200.0, -1.0, 0.0, 1.5, 900.0})
        for (double ratio : {0.7, 1.0, 1.00005, 1.7, 2.3}) {
            b.state("rotor_speed") = omega;
            between(b, ratio);
            const auto exact = b.evaluate_dual();
            for (std::size_t i = 0; i < b.inputs().size(); ++i) {
                double& x = *b.inputs()[i].at;
                const double was = x, h = 1e-6 * std::max(std::fabs(was), 1.0);
                x = was + h, b.evaluate();
                const auto up = b.values();
                x = was - h, b.evaluate();
                const auto down = b.values();
                x = was;
                for (std::size_t r = 0; r < up.size(); ++r) {
                    const double slope = (up[r] - down[r]) / (2 * h), size = std::fabs(up[r]) / (std::fabs(was) + 0.1);
                    EXPECT_NEAR(exact.d[r][i], slope, 2e-3 * std::fabs(slope) + 2e-4 * size + 1e-6)
                        << exact.results[r] << " / " << exact.inputs[i] << " omega " << omega << " ratio " << ratio;
                }
            }
        }
}

TEST(BlowerGeometric, WarnsAboutRotorSpeed) {
    Bench b(test::builtin("blower.geometric"));
    typical(b);
    b.state("rotor_speed") = 1800;
    between(b, 1.5);
    EXPECT_DOUBLE_EQ(b.output("speed_margin"), -100);
    for (const Field& f : b.fields())
        if (std::string(f.name) == "speed_margin") {
            EXPECT_EQ(f.warn_lo, 0);
        }
}

}  // namespace blower_geometric_tests

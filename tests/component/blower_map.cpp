/// blower.map against blower.geometric, from whose points the map is made, and beyond the map.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <pullcast/media/moist_air.hpp>
#include <vector>

#include "bench.hpp"

namespace blower_map_tests {
using namespace pullcast;
using test::Bench;

const std::vector<double> speeds{300, 600, 900, 1200, 1500, 1800}, ratios{1.1, 1.3, 1.5, 1.7, 1.9, 2.1, 2.4};
constexpr double displacement = 1.9e-3;

void at(Bench& b, double omega, double ratio) {
    b.state("rotor_speed") = omega;
    b.gas("from") = media::gas_state(98e3, 303.0, 0.006);
    b.gas("to") = media::gas_state(ratio * 98e3, 370.0, 0.006);
    b.evaluate();
}
void make_geometric(Bench& b) {
    b.set("displacement", displacement).set("speed_limit", 1900).set("rated_speed", 1600).set("clearance_area", 6e-5);
    b.set("volume_ratio", 1.2).set("inlet_conductance", 0).set("outlet_conductance", 0);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
}
void make_map(Bench& map, Bench& geometric) {
    std::vector<double> ve, eta;
    for (double n : speeds)
        for (double r : ratios) {
            at(geometric, n, r);
            ve.push_back(geometric.output("volumetric_efficiency"));
            eta.push_back(geometric.output("isentropic_efficiency"));
        }
    map.set("displacement", displacement).set("speed_limit", 1900).set("outlet_conductance", 0);
    map.set_map("volumetric_efficiency", speeds, ratios, ve).set_map("isentropic_efficiency", speeds, ratios, eta);
    ASSERT_EQ(map.prepare().why, nullptr);
    map.start();
}
double relative(double a, double b) { return std::fabs(a / b - 1); }

TEST(BlowerMap, GivesBackTheMachineThatTheMapWasMeasuredOn) {
    Bench geometric(test::builtin("blower.geometric")), map(test::builtin("blower.map"));
    make_geometric(geometric), make_map(map, geometric);
    const auto compare = [&](double n, double r, double tolerance) {
        at(geometric, n, r), at(map, n, r);
        EXPECT_LT(relative(map.flow_into<Gas>("to").m, geometric.flow_into<Gas>("to").m), tolerance) << n << " " << r;
        EXPECT_LT(relative(map.output("drive_power"), geometric.output("drive_power")), tolerance) << n << " " << r;
        EXPECT_EQ(map.output("map_distance"), 0);
    };
    for (double n : speeds)
        for (double r : ratios) compare(n, r, r > 1.1 ? 3e-4 : 5e-3);  // at 1.1 the low end's rounding is felt
    for (double n : {750.0, 1000.0, 1300.0})
        for (double r : {1.4, 1.6, 2.0}) compare(n, r, 6e-3);          // between the points: interpolation error
}

// Below the map's lowest pressure ratio the torque keeps the slope of the displacement, Vs dp / (2 pi).
TEST(BlowerMap, BypassedIdleKeepsTheDisplacementLaw) {
    Bench geometric(test::builtin("blower.geometric")), map(test::builtin("blower.map"));
    make_geometric(geometric), make_map(map, geometric);
    const auto torque = [&](double r) { return at(map, 900, r), -map.flow_into<Shaft>("shaft").tau; };
    EXPECT_NEAR((torque(0.9) - torque(0.7)) / 0.2, displacement * 98e3 / (2 * std::numbers::pi), 0.02);
    EXPECT_GT(torque(1.0), 0);
    at(geometric, 900, 1.0);
    EXPECT_NEAR(torque(1.0), -geometric.flow_into<Shaft>("shaft").tau, 0.6);  // N m: vi = 1.2 compresses inside
    EXPECT_GT(map.output("map_distance"), 0);
}

TEST(BlowerMap, BeyondTheMapStaysFiniteAboveItsFloorsAndSaysSo) {
    Bench geometric(test::builtin("blower.geometric")), map(test::builtin("blower.map"));
    make_geometric(geometric), make_map(map, geometric);
    for (double n : {-300.0, -1.0, 0.0, 1.0, 100.0, 2600.0})
        for (double r : {0.3, 1.0, 2.0, 4.0, 8.0}) {
            at(map, n, r);
            EXPECT_GT(map.output("map_distance"), 0) << n << " " << r;
            const double power = -map.flow_into<Shaft>("shaft").tau * n;
            const auto &in = map.flow_into<Gas>("from"), &out = map.flow_into<Gas>("to");
            EXPECT_NEAR(in.H + out.H + map.flow_into<Heat>("case").Q, power, 1e-10 * (std::fabs(power) + 1e4));
            EXPECT_NEAR(in.m + out.m, 0, 1e-15);
            EXPECT_TRUE(std::isfinite(map.output("outlet_temperature")));
            EXPECT_LT(std::fabs(power), 1e7);
            if (n >= 100) {
                EXPECT_GE(map.output("volumetric_efficiency"), 0.05);
            }
        }
}

TEST(BlowerMap, RefusesAMapWithoutMeaning) {
    Bench b(test::builtin("blower.map"));
    b.set("displacement", displacement).set("speed_limit", 1900);
    b.set_map("volumetric_efficiency", {100, 200}, {1.1, 2}, {0.9, 0.8, 0.9, 0.8});
    b.set_map("isentropic_efficiency", {100, 200}, {1.0, 2}, {0.6, 0.6, 0.6, 0.6});
    const Problem p = b.prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "isentropic_efficiency");
}

TEST(BlowerMap, ExactDerivativesAgreeWithDifferences) {
    Bench geometric(test::builtin("blower.geometric")), map(test::builtin("blower.map"));
    make_geometric(geometric), make_map(map, geometric);
    for (double n : {-50.0, 0.0, 1000.0, 2000.0})
        for (double r : {0.8, 1.1, 1.6, 3.0}) {
            at(map, n, r);
            const auto exact = map.evaluate_dual();
            double& x = map.gas("to").p;
            const double was = x;
            x = was + 1, map.evaluate();
            const auto up = map.values();
            x = was - 1, map.evaluate();
            const auto down = map.values();
            for (std::size_t k = 0; k < up.size(); ++k)
                EXPECT_NEAR(exact.d[k][test::Derivatives::index(exact.inputs, "to.p")], 0.5 * (up[k] - down[k]),
                            1e-4 * std::fabs(up[k] - down[k]) + 1e-7 * (1 + std::fabs(up[k])))
                    << exact.results[k] << " " << n << " " << r;
        }
}

}  // namespace blower_map_tests

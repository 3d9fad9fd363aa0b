// Restrictions against their rated point and Bernoulli's equation.
#include <gtest/gtest.h>

#include "bench.hpp"

namespace gas_restriction_tests {

using namespace pullcast;
using namespace pullcast::test;

Gas::Potential<double> gas(double p, double rho) { return {p, 300, 1860, rho, 0}; }

Bench rated(double width) {
    Bench b(builtin("gas.restriction"));
    b.set("rated_flow", 0.3).set("rated_pressure_drop", 2500).set("rated_density", 1.15).set("linear_below", width);
    if (b.prepare().why) throw std::runtime_error("prepare");
    return b;
}
double flow(Bench& b, double dp, double rho) {
    b.gas("from") = gas(1e5, rho), b.gas("to") = gas(1e5 - dp, rho);
    b.evaluate();
    return b.flow_into<Gas>("to").m;
}

TEST(GasRestriction, meets_its_rated_point) {
    for (const double width : {1.0, 20.0, 500.0}) {
        Bench b = rated(width);
        EXPECT_NEAR(flow(b, 2500, 1.15), 0.3, 1e-12) << "width " << width;
        EXPECT_NEAR(flow(b, -2500, 1.15), -0.3, 1e-12);
    }
}

TEST(GasRestriction, quadratic_in_flow_inverse_in_density) {
    Bench b = rated(1);
    EXPECT_NEAR(flow(b, 10000, 1.15), 0.6, 1e-6);
    EXPECT_NEAR(flow(b, 2500, 4 * 1.15), 0.6, 1e-6);
    EXPECT_EQ(flow(b, 0, 1.15), 0);
}

TEST(GasRestriction, takes_the_upstream_density) {
    Bench b = rated(1);
    b.gas("from") = gas(1e5, 1.15), b.gas("to") = gas(97500, 0.9);
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Gas>("to").m, 0.3, 1e-6);
    std::swap(b.gas("from"), b.gas("to"));
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Gas>("from").m, 0.3, 1e-6);
}

// Bernoulli: dp = zeta rho v^2 / 2; 20 m/s of 1.2 kg/m^3 through 5 dm^2 at zeta 1.5 lose 360 Pa.
TEST(GasRestriction, zeta_is_the_loss_on_the_velocity_head) {
    Bench b(builtin("gas.restriction_zeta"));
    b.set("zeta", 1.5).set("area", 0.05).set("linear_below", 0.1);
    ASSERT_EQ(b.prepare().why, nullptr);
    EXPECT_NEAR(flow(b, 360, 1.2), 1.2 * 20 * 0.05, 1e-6);
    EXPECT_NEAR(b.output("pressure_drop"), 360, 1e-9);
}

TEST(GasRestriction, same_law_in_both_models) {
    Bench a = rated(5), b(builtin("gas.restriction_zeta"));
    b.set("area", 0.01).set("zeta", 2 * 1.15 * 2500 * 1e-4 / 0.09).set("linear_below", 5);
    ASSERT_EQ(b.prepare().why, nullptr);
    for (const double dp : {30.0, 800.0, 6000.0}) {
        const double m = flow(a, dp, 1.3);
        EXPECT_NEAR(flow(b, dp, 1.3), m, 2e-6 * m) << dp;
    }
}

}  // namespace gas_restriction_tests

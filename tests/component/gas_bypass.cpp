// Bypass valve: where it opens, how it lags, and that it flows like the orifice it is.
#include <gtest/gtest.h>

#include "bench.hpp"

namespace gas_bypass_tests {

using namespace pullcast;
using namespace pullcast::test;

Gas::Potential<double> dry(double p, double T) { return {p, T, 1005 * (T - 298.15), p / (287.05 * T), 0}; }

Bench valve() {
    Bench b(builtin("gas.bypass"));
    b.set("area", 1e-3).set("shut_vacuum", 1e4).set("open_vacuum", 3e4).set("lag", 0.2);
    b.set("boost_limit", 8e4).set("boost_band", 1e4).set("linear_below", 1e-6);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    b.gas("ambient") = dry(101325, 298.15), b.gas("from") = dry(101325, 298.15), b.gas("to") = dry(6e4, 298.15);
    return b;
}
/// Where the valve wants to be: position + lag * rate.
double target(Bench& b, double manifold) {
    b.gas("manifold") = dry(manifold, 300);
    b.evaluate();
    return b.state("position") + 0.2 * b.rate("position");
}

TEST(GasBypass, opens_by_vacuum_and_past_the_boost_limit) {
    Bench b = valve();
    EXPECT_EQ(target(b, 101325), 0);
    EXPECT_EQ(target(b, 101325 - 0.99e4), 0);
    EXPECT_NEAR(target(b, 101325 - 2e4), 0.5, 1e-12);
    EXPECT_NEAR(target(b, 101325 - 3.01e4), 1, 1e-12);
    EXPECT_EQ(target(b, 101325 + 7.9e4), 0);
    EXPECT_NEAR(target(b, 101325 + 8.5e4), 0.5, 1e-12);
    EXPECT_NEAR(target(b, 101325 + 9.1e4), 1, 1e-12);
}

TEST(GasBypass, follows_with_its_lag) {
    Bench b = valve();
    b.gas("manifold") = dry(4e4, 300);
    b.state("position") = 0.25;
    b.evaluate();
    EXPECT_NEAR(b.rate("position"), 0.75 / 0.2, 1e-12);
}

// Choked at 1e-3 m^2: 0.237160 kg/s (isentropic nozzle, gamma 1.4, 101325 Pa, 298.15 K; flow form from memory).
TEST(GasBypass, open_valve_flows_like_its_area) {
    Bench b = valve();
    b.gas("manifold") = dry(4e4, 300), b.gas("to") = dry(4e4, 298.15);
    b.state("position") = 1;
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Gas>("to").m, 0.237160, 2e-6);
    b.state("position") = 0;
    b.evaluate();
    EXPECT_EQ(b.flow_into<Gas>("to").m, 0);
}

TEST(GasBypass, blanked_port_only_leaks) {
    for (const double leak : {0.0, 2e-6}) {
        Bench b(builtin("gas.bypass_blanked"));
        b.set("leak_area", leak);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.gas("from") = dry(101325, 298.15), b.gas("to") = dry(4e4, 298.15);
        b.gas("manifold") = dry(4e4, 300), b.gas("ambient") = dry(101325, 298.15);
        b.evaluate();
        EXPECT_NEAR(b.flow_into<Gas>("to").m, leak * 237.160, 5e-5 * leak * 237.160);  // preset width
        EXPECT_EQ(b.state_count(), 0u);
    }
}

TEST(GasBypass, open_vacuum_must_exceed_shut_vacuum) {
    Bench b(builtin("gas.bypass"));
    b.set("shut_vacuum", 3e4).set("open_vacuum", 3e4);
    const Problem p = b.prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "open_vacuum");
    EXPECT_STREQ(p.why, "must be larger than shut_vacuum");
}

}  // namespace gas_bypass_tests

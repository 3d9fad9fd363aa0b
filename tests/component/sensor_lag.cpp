// Sensors against the exact response of a first-order lag.
#include <gtest/gtest.h>

#include "bench.hpp"
#include "rk4.hpp"

namespace sensor_lag_tests {

using namespace pullcast;
using namespace pullcast::test;

Gas::Potential<double> gas(double T) { return {1e5, T, 1005 * (T - 298.15), 1e5 / (287.05 * T), 0}; }

/// How far the reading is below the charge after 6 s of a ramp of 5 K/s.
double behind_after_ramp(Bench& b) {
    std::vector<double> x{300};
    const double dt = 0.01;
    for (int k = 0; k < 600; ++k)
        rk4(x, k * dt, dt, [&](double t, const std::vector<double>& y) {
            b.state("temperature") = y[0];
            b.gas("at") = gas(300 + 5 * t);
            b.evaluate();
            return std::vector<double>{b.rate("temperature")};
        });
    return 300 + 5 * 6 - x[0];
}

// After a ramp r of length t: r tau (1 - exp(-t / tau)). For 5 K/s and 6 s the rounded figures 2.5, 5, 9.5,
// 13 and 17.5 K were derived independently of this code.
TEST(SensorLag, reads_low_after_a_ramp) {
    const struct {
        double tau, behind;
    } table[] = {{0.5, 2.5}, {1, 5}, {2, 9.5}, {3, 13}, {5, 17.5}};
    for (const auto& row : table) {
        Bench b(builtin("sensor.lag"));
        b.set("time_constant", row.tau);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.signal("flow").value = 0.1;
        const double behind = behind_after_ramp(b);
        EXPECT_NEAR(behind, row.behind, 0.05) << "time constant " << row.tau;
        EXPECT_NEAR(behind, 5 * row.tau * (1 - std::exp(-6 / row.tau)), 1e-7);
    }
}

TEST(SensorLag, publishes_its_element) {
    Bench b(builtin("sensor.lag"));
    b.set("start_temperature", 321).set("time_constant", 4).disconnect("flow");
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.gas("at") = gas(301);
    b.evaluate();
    EXPECT_EQ(b.signal("reading").value, 321);
    EXPECT_EQ(b.output("reading"), 321);
    EXPECT_EQ(b.output("error"), 20);  // idle-soaked: reads high
    EXPECT_EQ(b.rate("temperature"), -5);
}

Bench by_flow() {
    Bench b(builtin("sensor.lag_flow"));
    b.set("time_constant", 2).set("rated_flow", 0.2).set("low_flow", 2e-3);
    return b;
}

TEST(SensorLagFlow, time_constant_falls_with_the_root_of_the_flow) {
    Bench b = by_flow();
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.gas("at") = gas(310);
    const auto tau = [&](double m) { return b.signal("flow").value = m, b.evaluate(), b.output("time_constant"); };
    EXPECT_NEAR(tau(0.2), 2, 1e-4);
    EXPECT_NEAR(tau(0.8), 1, 1e-4);
    EXPECT_NEAR(tau(0.05), 4, 4e-3);
    EXPECT_NEAR(tau(-0.2), 2, 1e-4);
    EXPECT_NEAR(tau(0), 20, 1e-9);  // 2 s * sqrt(0.2 / 0.002)
    EXPECT_NEAR(b.rate("temperature"), (310 - 298.15) / 20, 1e-9);
}

TEST(SensorLagFlow, without_a_flow_signal_it_is_the_fixed_lag) {
    Bench b = by_flow();
    b.disconnect("flow");
    ASSERT_EQ(b.prepare().why, nullptr);
    EXPECT_NEAR(behind_after_ramp(b), 10 * (1 - std::exp(-3)), 1e-7);
}

}  // namespace sensor_lag_tests

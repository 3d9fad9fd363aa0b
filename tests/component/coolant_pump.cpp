// Pumps: affinity laws, dead and air-locked cases, heat. The head curve is invented.
#include <gtest/gtest.h>

#include <pullcast/media/coolant.hpp>

#include "bench_run.hpp"

namespace coolant_pump_tests {

using namespace pullcast;
using namespace pullcast::test;

const media::CoolantMix mix = media::coolant(0.5);
constexpr double T = 300, rated_voltage = 13.5;
const std::vector<double> flows{0, 2e-4, 4e-4, 6e-4}, heads{5.5e4, 4.8e4, 3e4, 4e3};

struct Pump : Bench {
    explicit Pump(double voltage = rated_voltage, double health = 1, double air = 0) : Bench(builtin("coolant.pump")) {
        set_curve("head_curve", flows, heads).set("voltage", voltage).set("rated_voltage", rated_voltage);
        set("health", health).set("air_locked_fraction", air).set("rated_power", 60);
        if (prepare().why) throw std::runtime_error("prepare");
        start();
        coolant("from") = coolant("to") = {1e5, T, mix.h(T)};
    }
    /// Pressure rise at a volume flow, from the acceleration between equal pressures.
    double rise(double volume_flow) {
        state("mass_flow") = volume_flow * mix.rho(T);
        evaluate();
        return rate("mass_flow") * 1000;  // preset inertance, 1/m
    }
};

TEST(CoolantPump, follows_its_head_curve_at_rated_voltage) {
    Pump p;
    for (std::size_t k = 0; k < flows.size(); ++k) {
        EXPECT_NEAR(p.rise(flows[k]), heads[k], 1e-6 * heads[0]) << flows[k];
        EXPECT_NEAR(p.output("head"), heads[k], 1e-6 * heads[0]);
        EXPECT_NEAR(p.output("flow"), flows[k], 1e-12);
    }
}

// Affinity laws of centrifugal pumps (handbook, from memory): V ~ n, dp ~ n^2, P ~ n^3.
TEST(CoolantPump, obeys_the_affinity_laws) {
    Pump rated;
    for (const double n : {0.5, 0.8, 1.1}) {
        Pump p(n * rated_voltage);
        for (const double V : {0.0, 1.3e-4, 3.7e-4, 5e-4})
            EXPECT_NEAR(p.rise(n * V), n * n * rated.rise(V), 1e-6 * heads[0]) << n << " " << V;
        EXPECT_NEAR(p.account("electricity"), 60 * n * n * n, 1e-9);
    }
}

TEST(CoolantPump, puts_its_electrical_power_into_the_coolant) {
    Pump p;
    for (const double V : {3e-4, -1e-4}) {
        p.rise(V);
        EXPECT_NEAR(p.flow_into<Coolant>("from").m + p.flow_into<Coolant>("to").m, 0, 1e-15);
        EXPECT_NEAR(p.flow_into<Coolant>("from").H + p.flow_into<Coolant>("to").H, 60, 1e-9);
        EXPECT_NEAR(p.account("electricity"), 60, 1e-12);
    }
}

TEST(CoolantPump, dead_is_a_passive_resistance) {
    Pump p(rated_voltage, 0);
    EXPECT_NEAR(p.rise(3.33e-4), -20e3, 0.1);  // preset: 20 kPa at 3.33e-4 m^3/s
    EXPECT_NEAR(p.rise(-3.33e-4), 20e3, 0.1);
    EXPECT_NEAR(p.rise(6.66e-4), -80e3, 0.2);
    EXPECT_NEAR(p.rise(0), 0, 1e-6);
    EXPECT_EQ(p.account("electricity"), 0);
}

TEST(CoolantPump, trapped_air_takes_head_in_proportion) {
    Pump sound, half(rated_voltage, 1, 0.5), locked(rated_voltage, 1, 1);
    EXPECT_NEAR(half.rise(0), 0.5 * sound.rise(0), 1e-3);
    EXPECT_NEAR(half.rise(2e-4), 0.5 * sound.rise(2e-4) + 0.5 * locked.rise(2e-4), 1e-6 * heads[0]);
    EXPECT_LT(locked.rise(2e-4), 0);
}

TEST(CoolantPump, fades_out_continuously_with_voltage) {
    double last = Pump(0).rise(1e-4);
    EXPECT_TRUE(std::isfinite(last));
    for (double volts = 0.01; volts < 3; volts += 0.01) {
        const double now = Pump(volts).rise(1e-4);
        EXPECT_LT(std::fabs(now - last), 150) << volts;  // Pa per 10 mV
        last = now;
    }
}

TEST(CoolantPump, refuses_a_curve_without_shut_off_head) {
    Bench b(builtin("coolant.pump"));
    b.set_curve("head_curve", {1e-4, 5e-4}, {4e4, 1e4});
    EXPECT_STREQ(b.prepare().parameter, "head_curve");
}

TEST(CoolantPumpFixed, relaxes_to_its_flow_whatever_the_pressure) {
    Bench b(builtin("coolant.pump_fixed"));
    b.set("volume_flow", 3e-4).set("response_time", 0.2).set("heat", 40);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.coolant("from") = {1e5, T, mix.h(T)}, b.coolant("to") = {3e5, T, mix.h(T)};
    advance(b, 0.4, 0.005, [](double) {});
    const double goal = 3e-4 * mix.rho(T);
    EXPECT_NEAR(b.state("mass_flow"), goal * (1 - std::exp(-2)), 1e-7);  // exact solution
    EXPECT_NEAR(b.output("head"), 2e5, 1e-6);
    EXPECT_NEAR(b.flow_into<Coolant>("from").H + b.flow_into<Coolant>("to").H, 40, 1e-9);
}

}  // namespace coolant_pump_tests

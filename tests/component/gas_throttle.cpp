// Throttles against the isentropic nozzle table and the exact areas.
#include <gtest/gtest.h>

#include <numbers>

#include "bench.hpp"

namespace gas_throttle_tests {

using namespace pullcast;
using namespace pullcast::test;

Gas::Potential<double> dry(double p, double T) { return {p, T, 1005 * (T - 298.15), p / (287.05 * T), 0}; }

/// A slide of effective area 1e-3 m^2, open.
Bench open_slide(double linear_below) {
    Bench b(builtin("gas.throttle_slide"));
    b.set("open_area", 1e-3 - 1e-9).set("discharge_coefficient", 1).set("leak_area", 1e-9);
    b.set("linear_below", linear_below);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.time = 10;
    return b;
}

// Isentropic nozzle, gamma 1.4, R 287.05, 101325 Pa, 298.15 K, CdA 1e-3 m^2: computed from the relations of API 520
// (critical ratio, verified) and Heywood App. C (flow form, from memory).
TEST(GasThrottle, flow_of_the_isentropic_nozzle) {
    const struct {
        double ratio, flow;
    } table[] = {{0.99, 0.048719}, {0.95, 0.106553}, {0.90, 0.146363}, {0.80, 0.194187}, {0.70, 0.221084},
                 {0.60, 0.234452}, {0.5283, 0.237160}, {0.40, 0.237160}, {0.05, 0.237160}};
    Bench b = open_slide(1e-6);
    for (const auto& row : table) {
        b.gas("from") = dry(101325, 298.15);
        b.gas("to") = dry(101325 * row.ratio, 298.15);
        b.evaluate();
        EXPECT_NEAR(b.flow_into<Gas>("to").m, row.flow, 1.5e-5 * row.flow) << "pressure ratio " << row.ratio;
        std::swap(b.gas("from"), b.gas("to"));
        b.evaluate();
        EXPECT_NEAR(b.flow_into<Gas>("to").m, -row.flow, 1.5e-5 * row.flow) << "reversed, ratio " << row.ratio;
    }
}

// The width that keeps the slope finite at equal pressures costs what orifice.hpp says.
TEST(GasThrottle, regularisation_is_as_stated) {
    Bench sharp = open_slide(1e-6), b = open_slide(0.002);
    const auto ratio_of_flows = [&](double ratio) {
        for (Bench* each : {&sharp, &b}) {
            each->gas("from") = dry(101325, 298.15);
            each->gas("to") = dry(101325 * ratio, 298.15);
            each->evaluate();
        }
        return b.flow_into<Gas>("to").m / sharp.flow_into<Gas>("to").m;
    };
    EXPECT_NEAR(ratio_of_flows(1 - 0.004), 0.95, 0.005);
    EXPECT_NEAR(ratio_of_flows(1 - 0.020), 1 - 0.0025, 0.0005);
    EXPECT_NEAR(ratio_of_flows(0.9), 1, 2e-4);
    b.gas("to") = b.gas("from");
    b.evaluate();
    EXPECT_EQ(b.flow_into<Gas>("to").m, 0);
    // dm/dp = 2 CdA sqrt(p rho) / p / sqrt(width), width 0.004
    const double slope = 1e-3 * 2 * std::sqrt(1 / (287.05 * 298.15)) / std::sqrt(0.004);
    EXPECT_NEAR(b.evaluate_dual()("flow to.m", "from.p"), slope, 1e-6 * slope);
}

TEST(GasThrottle, carries_enthalpy_and_vapour_of_the_upstream_side) {
    Bench b = open_slide(0.002);
    b.gas("from") = dry(1.5e5, 350), b.gas("to") = dry(1e5, 300);
    b.gas("from").w = 0.01;
    b.evaluate();
    const auto in = b.flow_into<Gas>("to"), out = b.flow_into<Gas>("from");
    EXPECT_NEAR(in.H / in.m, b.gas("from").h, 1e-2);
    EXPECT_NEAR(in.mw / in.m, 0.01, 1e-8);
    EXPECT_EQ(out.m, -in.m);
    EXPECT_EQ(out.H, -in.H);
    EXPECT_EQ(out.mw, -in.mw);
}

/// A plate in a bore of 80 mm; 0 shut, 60 degrees open.
Bench plate(double part_opening = 0) {
    Bench b(builtin("gas.throttle"));
    b.set("bore", 0.08).set("shut_angle", 0).set("open_angle", std::numbers::pi / 3).set("discharge_coefficient", 1);
    b.set("part_opening", part_opening).set("leak_area", 1e-6).set("pull_start", 2).set("opening_time", 0.4);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.gas("from") = dry(101325, 298.15), b.gas("to") = dry(9e4, 298.15);
    return b;
}

// Heywood eq. 7.18 (from memory): A = pi D^2 / 4 (1 - cos psi / cos psi0); at psi0 = 0 and 60 degrees half the bore.
TEST(GasThrottle, plate_area) {
    Bench b = plate();
    const double bore_area = std::numbers::pi / 4 * 0.08 * 0.08;
    const auto area_at = [&](double time) { return b.time = time, b.evaluate(), b.output("effective_area"); };
    EXPECT_EQ(area_at(-3), 1e-6);
    EXPECT_EQ(area_at(2), 1e-6);
    EXPECT_NEAR(area_at(2.2), 1e-6 + bore_area * (1 - std::cos(std::numbers::pi / 6)), 1e-12);  // half way: 30 degrees
    EXPECT_NEAR(area_at(2.4), 1e-6 + 0.5 * bore_area, 1e-12);
    EXPECT_NEAR(area_at(9), 1e-6 + 0.5 * bore_area, 1e-12);
}

TEST(GasThrottle, slide_area_is_proportional_to_the_opening) {
    Bench b(builtin("gas.throttle_slide"));
    b.set("open_area", 4e-3).set("discharge_coefficient", 0.9).set("leak_area", 1e-5).set("opening_time", 1);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.gas("from") = dry(101325, 298.15), b.gas("to") = dry(9e4, 298.15);
    for (const double t : {0.1, 0.3, 0.5, 0.8}) {
        b.time = t, b.evaluate();
        EXPECT_NEAR(b.output("effective_area"), 1e-5 + b.output("opening") * 3.6e-3, 1e-15);
    }
    b.time = 0.5, b.evaluate();
    EXPECT_DOUBLE_EQ(b.output("opening"), 0.5);
}

TEST(GasThrottle, shut_plate_leaks_a_finite_flow) {
    Bench b = plate();
    b.gas("to") = dry(3e4, 298.15);
    b.time = -1, b.evaluate();
    EXPECT_NEAR(b.flow_into<Gas>("to").m, 0.237160e-3, 1e-8);  // 1e-6 m^2 of the choked 0.237160 kg/s at 1e-3 m^2
}

TEST(GasThrottle, open_angle_must_exceed_shut_angle) {
    Bench b(builtin("gas.throttle"));
    b.set("bore", 0.08).set("shut_angle", 0.4).set("open_angle", 0.3);
    const Problem p = b.prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "open_angle");
    EXPECT_STREQ(p.why, "must be larger than shut_angle");
}

// A cruise before the pull: the ramp begins at the part opening and ends fully open.
TEST(GasThrottle, part_opening_is_where_the_ramp_begins) {
    Bench b = plate(0.2);
    const auto opening_at = [&](double time) { return b.time = time, b.evaluate(), b.output("opening"); };
    EXPECT_EQ(opening_at(-3), 0.2);
    EXPECT_NEAR(opening_at(2.2), 0.6, 1e-12);
    EXPECT_EQ(opening_at(3), 1);
}

/// The plate or slide with an idle control at 90 rad/s: area 1e-4 m^2, gain 0.4, 4 s.
Bench idling(const char* model, double part_opening = 0) {
    Bench b(builtin(model));
    model == std::string_view("gas.throttle") ? b.set("bore", 0.08) : b.set("open_area", 4e-3);
    b.set("idle_speed", 90).set("idle_area", 1e-4).set("idle_gain", 0.4).set("idle_time", 4).set("leak_area", 1e-6);
    b.set("pull_start", 2).set("part_opening", part_opening);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    b.gas("from") = dry(101325, 298.15), b.gas("to") = dry(4e4, 298.15);
    return b;
}
constexpr const char* throttles[] = {"gas.throttle", "gas.throttle_slide"};

TEST(GasThrottle, idle_control_adds_what_it_has_learned_and_a_share_of_the_error) {
    for (const char* model : throttles) {
        Bench b = idling(model);
        b.state("idle_learned") = 0.5;
        const auto at = [&](double omega) { b.shaft("crank").omega = omega, b.evaluate(); };
        at(90);
        EXPECT_NEAR(b.output("idle_valve"), 0.5, 1e-12) << model;  // both ends are equally far
        EXPECT_NEAR(b.rate("idle_learned"), 0, 1e-12);
        EXPECT_NEAR(b.output("effective_area"), 1e-6 + 0.5e-4, 1e-15);
        at(81);  // 10 % slow: 0.4 * 0.1 more at once, and 0.1 learned in 4 s
        EXPECT_NEAR(b.output("idle_valve"), 0.54, 1e-4);
        EXPECT_NEAR(b.rate("idle_learned"), 0.1 / 4, 2e-5);
        at(112.5);  // a quarter fast: e = -0.25 / 2
        EXPECT_NEAR(b.output("idle_valve"), 0.45, 1e-4);
        at(630);  // overrun: hardly any
        EXPECT_NEAR(b.rate("idle_learned"), 0, 0.011 / 4);
    }
}
TEST(GasThrottle, idle_valve_stays_within_its_ends_and_nothing_is_learned_beyond_them) {
    Bench b = idling("gas.throttle");
    for (const double learned : {-3.0, -0.1, 0.0, 1.0, 1.3, 4.0})
        for (const double omega : {0.0, 60.0, 90.0, 200.0}) {
            b.state("idle_learned") = learned, b.shaft("crank").omega = omega, b.evaluate();
            EXPECT_GT(b.output("idle_valve"), 0);
            EXPECT_LT(b.output("idle_valve"), 1);
        }
    b.state("idle_learned") = 1.7, b.shaft("crank").omega = 80, b.evaluate();
    EXPECT_LT(b.rate("idle_learned"), 0);  // still slow, yet the valve can do no more
    b.state("idle_learned") = -0.7, b.shaft("crank").omega = 95, b.evaluate();
    EXPECT_GT(b.rate("idle_learned"), 0);
}
TEST(GasThrottle, idle_control_learns_nothing_while_the_plate_is_open) {
    Bench b = idling("gas.throttle");
    b.shaft("crank").omega = 60;
    b.time = 1, b.evaluate();
    EXPECT_GT(b.rate("idle_learned"), 0);
    b.time = 5, b.evaluate();
    EXPECT_EQ(b.rate("idle_learned"), 0);
    Bench cruising = idling("gas.throttle", 0.06);
    cruising.shaft("crank").omega = 60;
    cruising.time = 1, cruising.evaluate();
    EXPECT_EQ(cruising.rate("idle_learned"), 0);
}
// The conformance suite runs throttles without idle control, as they come: its derivatives are checked here.
TEST(GasThrottle, idle_control_has_exact_derivatives) {
    for (const char* model : throttles) {
        Bench b = idling(model);
        for (const double omega : {20.0, 70.0, 89.0, 95.0, 130.0, 400.0}) {
            b.state("idle_learned") = 0.3, b.shaft("crank").omega = omega, b.evaluate();
            const auto d = b.evaluate_dual();
            const auto flow_at = [&](double w) {
                return b.shaft("crank").omega = w, b.evaluate(), b.flow_into<Gas>("to").m;
            };
            const auto rate_at = [&](double w) {
                return b.shaft("crank").omega = w, b.evaluate(), b.rate("idle_learned");
            };
            const double h = 1e-4, flow = (flow_at(omega + h) - flow_at(omega - h)) / (2 * h);
            const double rate = (rate_at(omega + h) - rate_at(omega - h)) / (2 * h);
            EXPECT_NEAR(d("flow to.m", "crank.omega"), flow, 1e-6 * std::fabs(flow) + 1e-12) << omega;
            EXPECT_NEAR(d("rate idle_learned", "crank.omega"), rate, 1e-6 * std::fabs(rate) + 1e-10) << omega;
            EXPECT_NE(flow, 0);
        }
    }
}
TEST(GasThrottle, idle_control_needs_the_crank) {
    Bench b(builtin("gas.throttle"));
    b.set("bore", 0.08).set("idle_speed", 90).disconnect("crank");
    const Problem p = b.prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "idle_speed");
}

}  // namespace gas_throttle_tests

// Drives against the capstan equation, elastic creep, and the balance of power.
#include <gtest/gtest.h>

#include <numbers>

#include "bench.hpp"

namespace drive_belt_tests {

using namespace pullcast;
using namespace pullcast::test;

constexpr double pi = std::numbers::pi;

Bench belt(double friction, double wrap, const std::string& tensioning = "tensioner", double stiffness = 1e5) {
    Bench b(builtin("drive.belt"));
    b.set("crank_pulley_diameter", 0.16).set("pulley_diameter", 0.08).set("belt_mass", 0.2).set("pretension", 600);
    b.set("friction", friction).set("wrap_angle", wrap).set("stiffness", stiffness).set("slow", 0.01);
    b.set_choice("tensioning", tensioning);
    if (b.prepare().why) throw std::runtime_error("prepare");
    return b;
}
/// Crank at 400 rad/s (32 m/s); the rotor lags by a slip s.
void at_slip(Bench& b, double s, double crank = 400) {
    b.shaft("crank").omega = crank;
    b.shaft("rotor").omega = 2 * crank * (1 - s);
    b.evaluate();
}
/// Force from what reached the rotor: torque over radius 0.04 m.
double force(const Bench& b) { return b.flow_into<Shaft>("rotor").tau / 0.04; }
double centrifugal(const Bench& b) { return 0.2 * b.output("belt_speed") * b.output("belt_speed"); }
/// What a belt of friction 0.5123 over half a turn can carry at its present speed, slack side at 600 N.
double capacity_of(const Bench& b) { return (600 - centrifugal(b)) * (std::exp(0.5123 * pi) - 1); }

// Capstan with centrifugal tension: (T1 - m v^2) / (T2 - m v^2) = exp(mu' theta), mu' = mu / sin(groove / 2); form
// verified in Baker & Haynes, Engineering Statics 9.5; values computed from it; 5 : 1 is the design ratio of V-belts
// (mu' = 0.5123, verified).
TEST(DriveBelt, tension_ratio_at_gross_slip_is_the_capstans) {
    const double wedge = std::sin(20 * pi / 180);
    const struct {
        double friction, wrap, ratio;
    } table[] = {{0.35, pi, 3.0028},
                 {0.35 / wedge, pi, 24.90},
                 {0.5 / wedge, 150 * pi / 180, 45.94},
                 {0.3, 160 * pi / 180, 2.3112},
                 {0.5123, pi, 5.0}};
    for (const auto& row : table)
        for (const char* tensioning : {"tensioner", "fixed centres"}) {
            Bench b = belt(row.friction, row.wrap, tensioning, 1e7);
            at_slip(b, 0.3);
            const double Tc = centrifugal(b);
            const double ratio = (b.output("tight_tension") - Tc) / (b.output("slack_tension") - Tc);
            EXPECT_NEAR(ratio, row.ratio, 3e-4 * row.ratio) << row.friction << ' ' << tensioning;
            EXPECT_NEAR(force(b), b.output("tight_tension") - b.output("slack_tension"), 1e-9);
        }
}

TEST(DriveBelt, tensioner_holds_the_slack_side_and_fixed_centres_the_sum) {
    Bench a = belt(0.5, pi), b = belt(0.5, pi, "fixed centres");
    at_slip(a, 0.002), at_slip(b, 0.002);
    EXPECT_EQ(a.output("slack_tension"), 600);
    EXPECT_NEAR(b.output("slack_tension") + b.output("tight_tension"), 1200, 1e-9);
}

// s = (T1 - T2) / EA (mechanism: tec-science, belt slippage); at small load, so that x^4 / 4 does not count.
TEST(DriveBelt, creep_is_load_over_stiffness) {
    Bench b = belt(1.0, pi);
    for (const double s : {1e-5, 1e-4, 1e-3, -1e-3}) {
        at_slip(b, s);
        EXPECT_NEAR(force(b), 1e5 * s, 1e-6 * std::fabs(1e5 * s)) << s;
        EXPECT_NEAR(b.output("slip"), s, 1e-6 * std::fabs(s));
    }
}

TEST(DriveBelt, slip_runs_away_past_the_capacity_without_a_jump) {
    Bench b = belt(0.5123, pi);
    double last = 0;
    for (double s = 0.001; s < 0.9; s *= 1.05) {
        at_slip(b, s);
        const double part = force(b) / capacity_of(b);
        EXPECT_GT(part, last - 1e-5) << s;
        EXPECT_LT(part, 1 + 1e-5) << s;
        EXPECT_LT(part - last, last == 0 ? 0.1 : 0.05) << s;  // 5 % more slip is at most 5 % of the capacity more
        last = part;
    }
    EXPECT_GT(last, 0.9999);
    at_slip(b, 0.1);  // five times the creep at the onset: already all that the belt can give
    EXPECT_GT(force(b), 0.999 * capacity_of(b));
}

TEST(DriveBelt, margin_is_the_capacity_over_the_load_and_turns_at_the_onset) {
    Bench b = belt(0.5123, pi);
    at_slip(b, 0.003);
    EXPECT_NEAR(b.output("slip_margin"), capacity_of(b) / force(b) - 1, 5e-3);
    double onset = 0.01;
    for (int k = 0; k < 8; ++k) at_slip(b, onset), onset = capacity_of(b) / 1e5;  // EA s = capacity
    EXPECT_NEAR(b.output("slip_margin"), 0, 1e-5);
    EXPECT_NEAR(force(b) / capacity_of(b), std::pow(2, -0.25), 1e-5);
    at_slip(b, 0.99 * onset);
    EXPECT_GT(b.output("slip_margin"), 0);
    at_slip(b, 1.01 * onset);
    EXPECT_LT(b.output("slip_margin"), 0);
    at_slip(b, 0);
    EXPECT_EQ(b.output("slip_margin"), 999);
}

TEST(DriveBelt, centrifugal_tension_takes_from_the_capacity) {
    Bench b = belt(0.5, pi, "tensioner", 1e7);
    for (const double crank : {100.0, 400.0, 600.0}) {
        at_slip(b, 0.2, crank);
        const double v = 0.5 * (crank + 0.8 * crank) * 0.08;
        EXPECT_NEAR(force(b), (600 - 0.2 * v * v) * (std::exp(0.5 * pi) - 1), 0.2);
    }
    at_slip(b, 0.2, 1500);  // m v^2 beyond the pretension: hardly any grip, never a negative one
    EXPECT_GT(force(b), 0);
    EXPECT_LT(force(b), 10);
}

TEST(DriveBelt, power_lost_is_heat) {
    for (const char* model : {"drive.belt", "drive.rigid"})
        for (const bool open : {false, true}) {
            Bench b(builtin(model));
            b.set("crank_pulley_diameter", 0.16).set("pulley_diameter", 0.08).set("pitch_offset", 0.0016);
            b.set("intermediate_ratio", 1.4);
            if (open) b.disconnect("surroundings");
            ASSERT_EQ(b.prepare().why, nullptr);
            EXPECT_EQ(b.has_node("surroundings"), !open);
            b.shaft("crank").omega = 500;
            b.shaft("rotor").omega = 500 * (0.0816 / 0.0416) * 1.4 * 0.99;
            b.evaluate();
            const double in = -b.flow_into<Shaft>("crank").tau * 500;
            const double out = b.flow_into<Shaft>("rotor").tau * b.shaft("rotor").omega;
            const double heat = open ? -b.account("heat_out") : b.flow_into<Heat>("surroundings").Q;
            EXPECT_GT(heat, 0);
            EXPECT_NEAR(in - out, heat, 1e-9 * in) << model;
            EXPECT_NEAR(heat / in, 0.01, 1e-9);
            EXPECT_NEAR(b.output("slip"), 0.01, 1e-5);
            EXPECT_NEAR(b.output("power"), in, 1e-9 * in);
            EXPECT_NEAR(b.output("ratio"), 0.0816 / 0.0416 * 1.4, 1e-12);
        }
}

TEST(DriveRigid, carries_any_torque_without_slip) {
    Bench b(builtin("drive.rigid"));
    b.set("crank_pulley_diameter", 0.16).set("pulley_diameter", 0.08);
    ASSERT_EQ(b.prepare().why, nullptr);
    at_slip(b, 0);
    EXPECT_EQ(force(b), 0);
    b.shaft("rotor").omega -= 0.006 / 0.04;  // 6 mm/s of surface speed
    b.evaluate();
    EXPECT_NEAR(force(b), 3000, 1e-6);
    EXPECT_NEAR(b.flow_into<Shaft>("crank").tau, -3000 * 0.08, 1e-6);
    EXPECT_LT(b.output("slip"), 2e-4);
}

}  // namespace drive_belt_tests

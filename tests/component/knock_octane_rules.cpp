// Octane rules: each published slope comes out exactly. Source of all slopes: SAE 960497, abstract (read). The
// reference point is an assumption.
#include <gtest/gtest.h>

#include <cstring>
#include <numbers>
#include <pullcast/media/moist_air.hpp>

#include "bench_run.hpp"

namespace knock_octane_rules_tests {

using namespace pullcast;
using namespace pullcast::test;
constexpr double degree = std::numbers::pi / 180, peak = 1 / 1.05;

struct Rules : Bench {
    explicit Rules(double ron = 95, double mon = 85, double k = 0, double ratio = 9.5, double pressure_rule = 3.5)
        : Bench(builtin("knock.octane_rules")) {
        set("ron", ron).set("mon", mon).set("octane_index_k", k).set("compression_ratio", ratio);
        set("octane_per_10_kPa", pressure_rule).set("reference_spark", 14 * degree).set("reference_lambda", peak);
        if (prepare().why) throw std::runtime_error("prepare");
        gas("manifold") = media::gas_state(150e3, 323.15, 0.0);
        shaft("crank").omega = 500;
        signal("spark").value = 14 * degree, signal("lambda").value = peak;
        signal("exhaust_pressure").value = 125e3;
        heat("coolant").T = 363.15;
        evaluate();
    }
    double required() { return evaluate(), output("required_octane"); }
};

TEST(KnockOctaneRules, reference_point_needs_the_reference_octane) {
    Rules r;
    EXPECT_NEAR(r.required(), 95, 1e-12);
    EXPECT_NEAR(r.output("margin_octane"), 0, 1e-12);
    EXPECT_EQ(r.output("outside_rules"), 0);
}

TEST(KnockOctaneRules, one_octane_a_degree_of_spark) {
    Rules r;
    r.signal("spark").value += 1 * degree;
    EXPECT_NEAR(r.required(), 96, 1e-9);
    EXPECT_NEAR(r.output("margin"), -1 * degree, 1e-12);
    EXPECT_NEAR(r.output("from_spark"), 1, 1e-9);
}

TEST(KnockOctaneRules, one_octane_per_7_K_of_intake_air) {
    Rules r;
    r.gas("manifold").T += 7;
    EXPECT_NEAR(r.required(), 96, 1e-9);
    EXPECT_NEAR(r.output("from_temperature"), 1, 1e-9);
}

TEST(KnockOctaneRules, three_to_four_octane_per_10_kPa) {
    for (const double rule : {3.0, 3.5, 4.0}) {
        Rules r(95, 85, 0, 9.5, rule);
        r.gas("manifold").p += 10e3;
        EXPECT_NEAR(r.required(), 95 + rule, 1e-9);
    }
    EXPECT_THROW(Rules(95, 85, 0, 9.5, 4.5), std::out_of_range);  // outside the published range
}

TEST(KnockOctaneRules, five_octane_per_compression_ratio) { EXPECT_NEAR(Rules(95, 85, 0, 10.5).required(), 100, 1e-9); }

TEST(KnockOctaneRules, mixture_peaks_5_percent_rich_and_falls_by_two_per_air_fuel_ratio) {
    for (const double off : {-1.0, 1.0}) {
        Rules r;
        r.signal("lambda").value = peak + off / 14.7;
        EXPECT_NEAR(r.required(), 93, 1e-9);
        EXPECT_NEAR(r.output("from_mixture"), -2, 1e-9);
    }
}

TEST(KnockOctaneRules, one_octane_per_30_kPa_of_back_pressure_and_10_K_of_coolant) {
    Rules r;
    r.signal("exhaust_pressure").value += 30e3;
    EXPECT_NEAR(r.required(), 96, 1e-9);
    r.heat("coolant").T += 10;
    EXPECT_NEAR(r.required(), 97, 1e-9);
    EXPECT_NEAR(r.output("from_back_pressure"), 1, 1e-9);
    EXPECT_NEAR(r.output("from_coolant"), 1, 1e-9);
}

// Octane index RON - K (RON - MON): K 0 in the RON test, 1 in the MON test (SAE 2017-01-0666, abstract).
TEST(KnockOctaneRules, fuel_is_its_octane_index) {
    EXPECT_NEAR(Rules(98, 88, 0).output("fuel_octane"), 98, 1e-12);
    EXPECT_NEAR(Rules(98, 88, 1).output("fuel_octane"), 88, 1e-12);
    EXPECT_NEAR(Rules(98, 88, -0.5).output("fuel_octane"), 103, 1e-12);
    EXPECT_NEAR(Rules(98, 88, 0).output("margin"), 3 * degree, 1e-12);
}

// Algebra of the rules: at the limit the margin is 0, and at the limit less a reserve it is the reserve.
TEST(KnockOctaneRules, spark_at_the_limit_has_no_margin) {
    for (const double hotter : {-20.0, 0.0, 15.0})
        for (const double reserve : {0.0, 2.0, 5.0}) {
            Rules r(98, 88, 0.2, 9, 3.2);
            r.gas("manifold") = media::gas_state(172e3, 323.15 + hotter, 0.01);
            r.signal("lambda").value = 0.82, r.signal("exhaust_pressure").value = 141e3, r.heat("coolant").T = 368;
            r.evaluate();
            const double limited = r.output("limited_spark");
            // 98 - 0.2 x 10 of fuel against 95, and each rule times its excursion
            const double octane =
                96 - 95 + 14 - 3.2 * 2.2 - hotter / 7 + 2.5 + 2 * 14.7 * (peak - 0.82) - 16.0 / 30 - 0.485;
            EXPECT_NEAR(limited, octane * degree, 1e-12);
            EXPECT_NEAR(r.signal("limit").value, limited, 1e-6);  // less the rounding below 89 degrees
            r.signal("spark").value = limited - reserve * degree;
            r.evaluate();
            EXPECT_NEAR(r.output("margin"), reserve * degree, 1e-12);
            EXPECT_NEAR(r.output("margin_octane"), reserve, 1e-9);
            EXPECT_NEAR(r.output("headroom"), 7 * reserve, 1e-8);
        }
}

// The loop closed by hand: limit to the calibration, its settled spark back to the rules.
TEST(KnockOctaneRules, calibration_at_the_limit_keeps_its_reserve) {
    for (const double reserve : {0.0, 2.0, 6.5}) {
        Rules r(98, 88, -0.3);
        Bench c(builtin("engine.calibration_fixed"));
        c.set("knock_reserve", reserve * degree).set_choice("spark_mode", "at_limit");
        ASSERT_EQ(c.prepare().why, nullptr);
        c.start();
        c.signal("limit").value = r.signal("limit").value, c.signal("best_spark").value = 88 * degree;
        settle(c);
        r.signal("spark").value = c.signal("spark").value;
        r.evaluate();
        EXPECT_NEAR(r.output("margin"), reserve * degree,
                    4e-6);  // both roundings: 0.2^2 / (4 x 68) of a degree and less
        EXPECT_GE(r.output("margin"), reserve * degree);
    }
}

TEST(KnockOctaneRules, its_sensitivities_are_the_changes_of_its_margin) {
    Rules r;
    const double margin = r.output("margin"), headroom_K = 4;
    r.gas("manifold").T += headroom_K;
    r.evaluate();
    EXPECT_NEAR(r.output("margin") - margin, headroom_K * r.output("per_temperature"), 1e-12);
    EXPECT_NEAR(r.output("per_temperature"), -degree / 7, 1e-15);
    EXPECT_NEAR(r.output("headroom"), -headroom_K, 1e-9);
    r.gas("manifold").T -= headroom_K, r.gas("manifold").p += 3e3;
    r.evaluate();
    EXPECT_NEAR(r.output("margin") - margin, 3e3 * r.output("per_pressure"), 1e-12);
    EXPECT_NEAR(r.output("per_pressure"), -3.5e-4 * degree, 1e-15);
    EXPECT_NEAR(Rules(96, 86).output("margin") - margin, r.output("per_octane"), 1e-12);
    EXPECT_NEAR(r.output("per_octane"), degree, 1e-15);
}

TEST(KnockOctaneRules, limit_is_the_same_for_every_spark_and_stays_below_89_degrees) {
    Rules r;
    const double limit = r.signal("limit").value;
    r.signal("spark").value += 6 * degree;
    r.evaluate();
    EXPECT_EQ(r.signal("limit").value, limit);
    double last = 0;
    for (double p = 150e3; p > -100e3; p -= 5e3) {  // far beyond what a throttle leaves
        r.gas("manifold").p = p;
        r.evaluate();
        EXPECT_GT(r.signal("limit").value, last);
        last = r.signal("limit").value;
    }
    EXPECT_LT(last, 89 * degree);
    EXPECT_GT(r.output("limited_spark"), 90 * degree);
}

// Within 0.01 of the peak the mixture rule is rounded; at the edge value and slope are the rule's own.
TEST(KnockOctaneRules, mixture_rule_is_smooth_at_its_peak) {
    Rules r;
    const auto octane = [&](double off) {
        r.signal("lambda").value = peak + off;
        r.evaluate();
        return r.output("from_mixture");
    };
    EXPECT_NEAR(octane(0), 0, 1e-12);
    for (const double side : {-1.0, 1.0}) {
        EXPECT_NEAR(octane(side * 0.01), -2 * 14.7 * 0.01, 1e-9);
        EXPECT_NEAR((octane(side * 0.01) - octane(side * 0.00999)) / 1e-5, -2 * 14.7, 1e-3);
        EXPECT_NEAR(octane(side * 1e-5), 0, 1e-5);
        EXPECT_NEAR(octane(side * 0.003), -2 * 14.7 * 0.003, 0.05);
        EXPECT_GT(octane(side * 0.003), -2 * 14.7 * 0.003);
    }
}

TEST(KnockOctaneRules, refuses_a_motor_number_above_the_research_number) {
    Bench b(builtin("knock.octane_rules"));
    const Problem p = b.set("ron", 95).set("mon", 99).set("compression_ratio", 9.5).prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "mon");
    EXPECT_STREQ(p.why, "mon = 99 is above ron = 95: no fuel class does that");
}

TEST(KnockOctaneRules, says_when_it_extrapolates) {
    Rules r;
    r.gas("manifold").p += 60e3;
    r.evaluate();
    EXPECT_EQ(r.output("outside_rules"), 1);
    EXPECT_NEAR(r.output("distance"), 1.5, 1e-9);
    r.gas("manifold").T += 50;
    r.evaluate();
    EXPECT_EQ(r.output("outside_rules"), 2);
}

TEST(KnockOctaneRules, computes_at_report_points_only) {
    Rules r;
    r.recording = false;
    r.signal("spark").value += 5 * degree;
    r.evaluate();
    EXPECT_NEAR(r.output("required_octane"), 95, 1e-12);  // still the last report's
}

TEST(KnockNone, gives_no_margin_and_says_so) {
    Bench b(builtin("knock.none"));
    ASSERT_EQ(b.prepare().why, nullptr);
    b.evaluate();
    EXPECT_EQ(b.output("margin_computed"), 0);
    EXPECT_EQ(b.signal("limit").value, std::numbers::pi / 2);  // not given
    EXPECT_THROW(b.output("margin"), std::out_of_range);
    for (const Field& f : b.fields())
        if (f.kind == Kind::output) {
            EXPECT_LT(0, f.warn_lo);  // so that 0 warns
            EXPECT_NE(std::strstr(f.warning, "no knock margin is computed"), nullptr);
        }
}

}  // namespace knock_octane_rules_tests

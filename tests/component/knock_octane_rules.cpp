// Octane rules: each published slope comes out exactly. Source of all slopes: SAE 960497, abstract (read). The
// reference point is an assumption.
#include <gtest/gtest.h>

#include <cstring>
#include <numbers>
#include <pullcast/media/moist_air.hpp>

#include "bench_run.hpp"

namespace {

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
    EXPECT_THROW(b.output("margin"), std::out_of_range);
    for (const Field& f : b.fields())
        if (f.kind == Kind::output) {
            EXPECT_LT(0, f.warn_lo);  // so that 0 warns
            EXPECT_NE(std::strstr(f.warning, "no knock margin is computed"), nullptr);
        }
}

}  // namespace

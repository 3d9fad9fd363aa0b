// Calibration: tables, trims, what leaves their range, and the knock limit held. Values invented.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <pullcast/media/moist_air.hpp>
#include <string>

#include "bench_run.hpp"

namespace engine_calibration_tests {

using namespace pullcast;
using namespace pullcast::test;
constexpr double degree = std::numbers::pi / 180;

Bench tables(double spark_offset = 0, const char* mode = "table", double lambda_offset = 0) {
    Bench b(builtin("engine.calibration"));
    b.set("spark_offset", spark_offset).set("lambda_offset", lambda_offset).set_choice("spark_mode", mode);
    b.set_map("spark_table", {100, 700}, {5e4, 2e5}, {30 * degree, 12 * degree, 36 * degree, 18 * degree});
    b.set_map("lambda_table", {100, 700}, {5e4, 2e5}, {1, 0.85, 1, 0.82});
    b.set_curve("intake_trim", {303, 323, 343, 363}, {0, 0, -3 * degree, -8 * degree});
    b.set_curve("coolant_trim", {333, 363, 378}, {2 * degree, 0, -4 * degree});
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.gas("manifold") = media::gas_state(125e3, 320.0, 0.005);
    b.shaft("crank").omega = 400;
    b.signal("intake").value = 313;
    b.heat("coolant").T = 363;
    b.signal("limit").value = 20 * degree, b.signal("best_spark").value = 30 * degree;
    b.start();
    b.evaluate();
    return b;
}

TEST(EngineCalibration, reads_its_tables_and_adds_its_trims) {
    Bench b = tables();
    EXPECT_NEAR(b.signal("spark").value, 24 * degree, 1e-12);  // middle of a bilinear table
    EXPECT_NEAR(b.signal("lambda").value, 0.9175, 1e-12);
    EXPECT_NEAR(b.output("trim"), 0, 1e-12);
    b.signal("intake").value = 343;
    b.heat("coolant").T = 378;
    b.evaluate();
    EXPECT_NEAR(b.signal("spark").value, 17 * degree, 1e-12);
    EXPECT_NEAR(b.output("trim"), -7 * degree, 1e-12);
}

TEST(EngineCalibration, offset_shifts_the_spark_and_no_trim) {
    Bench b = tables(-2 * degree);
    EXPECT_NEAR(b.signal("spark").value, 22 * degree, 1e-12);
    EXPECT_NEAR(b.output("trim"), 0, 1e-12);
}

TEST(EngineCalibration, offset_shifts_lambda_and_nothing_else) {
    Bench b = tables(0, "table", -0.05);
    EXPECT_NEAR(b.signal("lambda").value, 0.8675, 1e-12);
    EXPECT_NEAR(b.signal("spark").value, 24 * degree, 1e-12);
}

TEST(EngineCalibration, hotter_reading_never_adds_spark) {
    Bench b = tables();
    double last = b.signal("spark").value;
    for (double T = 300; T < 400; T += 0.5) {
        b.signal("intake").value = T;
        b.evaluate();
        EXPECT_LE(b.signal("spark").value, last + 1e-15) << T;
        last = b.signal("spark").value;
    }
}

TEST(EngineCalibration, tells_how_far_outside_its_table_it_runs) {
    Bench b = tables();
    EXPECT_EQ(b.output("table_distance"), 0);
    b.gas("manifold").p = 2.3e5;
    b.evaluate();
    EXPECT_NEAR(b.output("table_distance"), 0.2, 1e-12);
    EXPECT_NEAR(b.signal("spark").value, (15 - 18 * 0.2) * degree, 1e-12);  // goes on linearly beyond 200 kPa
}

TEST(EngineCalibration, publishes_the_spark_of_its_table_without_trims) {
    Bench b = tables(-2 * degree, "held_back");
    b.signal("intake").value = 343;
    b.evaluate();
    EXPECT_NEAR(b.signal("table_spark").value, 22 * degree, 1e-12);
}

// Rounding of both minima: 0.2 degrees, so that w^2 / (4 x distance) is left at a distance.
constexpr double rounding = 0.2 * degree;

TEST(EngineCalibration, by_its_table_it_leaves_the_limit_alone) {
    Bench b = tables();
    b.state("held_limit") = 5 * degree;
    b.signal("limit").value = std::numbers::pi / 2;  // not given, and nobody asks
    b.evaluate();
    EXPECT_EQ(b.rejected(), nullptr);
    EXPECT_EQ(b.rate("held_limit"), 0);
    EXPECT_NEAR(b.signal("spark").value, 24 * degree, 1e-12);
    EXPECT_EQ(b.output("held_back"), 0);
}

TEST(EngineCalibration, held_back_takes_spark_from_table_and_trims_only) {
    Bench b = tables(0, "held_back");
    double last = -1;
    for (const double held : {40.0, 26.0, 24.0, 22.0, 10.0, -5.0}) {
        b.state("held_limit") = held * degree;
        b.evaluate();
        const double spark = b.signal("spark").value, taken = b.output("held_back");
        EXPECT_LE(spark, 24 * degree) << held;  // never above the table
        EXPECT_LE(spark, held * degree) << held;
        EXPECT_NEAR(spark, std::min(24.0, held) * degree, rounding / 2 + 1e-12) << held;
        EXPECT_NEAR(taken, 24 * degree - spark, 1e-12);
        EXPECT_GT(taken, last);
        last = taken;
    }
}

// x(t) = x_end + (x_start - x_end) e^(-t/lag): the solution of a first-order lag.
TEST(EngineCalibration, held_limit_follows_with_its_lag) {
    Bench b(builtin("engine.calibration_fixed"));
    b.set("limit_lag", 0.25).set("knock_reserve", 3 * degree).set_choice("spark_mode", "held_back");
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    EXPECT_NEAR(b.state("held_limit"), 10 * degree, 1e-15);
    b.state("held_limit") = 20 * degree;
    advance(b, 0.5, 1e-3, [&](double) { b.signal("limit").value = 11 * degree; });
    EXPECT_NEAR(b.state("held_limit"), (8 + 12 * std::exp(-2.0)) * degree, 1e-10);
}

TEST(EngineCalibration, at_limit_is_the_limit_less_its_reserve_or_best_torque) {
    Bench b = tables(0, "at_limit");
    settle(b);
    EXPECT_NEAR(b.signal("spark").value, 18 * degree, rounding * rounding / (4 * 11 * degree));
    EXPECT_NEAR(b.output("held_back"), 6 * degree, rounding * rounding / (4 * 11 * degree));
    b.signal("limit").value = 40 * degree;  // above table and best torque
    settle(b);
    EXPECT_NEAR(b.signal("spark").value, 30 * degree, rounding * rounding / (4 * 7 * degree));
    EXPECT_EQ(b.output("held_back"), 0);
}

TEST(EngineCalibration, refuses_a_limit_that_is_not_given) {
    for (const char* mode : {"held_back", "at_limit"}) {
        Bench b = tables(0, mode);
        EXPECT_EQ(b.rejected(), nullptr);
        b.signal("limit").value = std::numbers::pi / 2;
        b.evaluate();
        EXPECT_STREQ(b.rejected(),
                     "the knock model gives no limit: put in a model that does (pullcast models knock), or set "
                     "spark_mode = \"table\"; limit");
    }
}

TEST(EngineCalibration, says_what_its_mode_needs) {
    const auto problem = [](const char* mode, const char* open) {
        Bench b(builtin("engine.calibration_fixed"));
        b.set_choice("spark_mode", mode).disconnect(open);
        const Problem p = b.prepare();
        return p.why ? std::string(p.parameter) + " " + p.why : "";
    };
    const std::string no_limit =
        "spark_mode needs the knock limit: connect limit = \"knock.limit\", or set spark_mode = \"table\"";
    EXPECT_EQ(problem("table", "limit"), "");
    EXPECT_EQ(problem("held_back", "limit"), no_limit);
    EXPECT_EQ(problem("at_limit", "limit"), no_limit);
    EXPECT_EQ(problem("held_back", "best_spark"), "");
    EXPECT_EQ(problem("at_limit", "best_spark"),
              "spark_mode needs best-torque spark: connect best_spark = \"torque.best_spark\", or set spark_mode = "
              "\"held_back\"");
}

TEST(EngineCalibrationFixed, is_constant_and_needs_no_ends) {
    Bench b(builtin("engine.calibration_fixed"));
    for (const char* end : {"manifold", "crank", "intake", "coolant", "limit", "best_spark"}) b.disconnect(end);
    ASSERT_EQ(b.set("constant_spark", 0.3).set("constant_lambda", 0.9).prepare().why, nullptr);
    b.evaluate();
    EXPECT_EQ(b.signal("spark").value, 0.3);
    EXPECT_EQ(b.signal("lambda").value, 0.9);
    ASSERT_EQ(b.set("spark_offset", 0.05).set("lambda_offset", 0.1).prepare().why, nullptr);
    b.evaluate();
    EXPECT_EQ(b.signal("lambda").value, 1.0);
    EXPECT_EQ(b.signal("spark").value, 0.35);
    EXPECT_EQ(b.signal("table_spark").value, 0.35);
}

}  // namespace engine_calibration_tests

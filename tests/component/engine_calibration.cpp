// Calibration: tables, trims and what leaves their range. Values invented.
#include <gtest/gtest.h>

#include <numbers>
#include <pullcast/media/moist_air.hpp>

#include "bench_run.hpp"

namespace {

using namespace pullcast;
using namespace pullcast::test;
constexpr double degree = std::numbers::pi / 180;

Bench tables(double spark_offset = 0) {
    Bench b(builtin("engine.calibration"));
    b.set("spark_offset", spark_offset);
    b.set_map("spark_table", {100, 700}, {5e4, 2e5}, {30 * degree, 12 * degree, 36 * degree, 18 * degree});
    b.set_map("lambda_table", {100, 700}, {5e4, 2e5}, {1, 0.85, 1, 0.82});
    b.set_curve("intake_trim", {303, 323, 343, 363}, {0, 0, -3 * degree, -8 * degree});
    b.set_curve("coolant_trim", {333, 363, 378}, {2 * degree, 0, -4 * degree});
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.gas("manifold") = media::gas_state(125e3, 320.0, 0.005);
    b.shaft("crank").omega = 400;
    b.signal("intake").value = 313;
    b.heat("coolant").T = 363;
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

TEST(EngineCalibrationFixed, is_constant_and_needs_no_ends) {
    Bench b(builtin("engine.calibration_fixed"));
    for (const char* end : {"manifold", "crank", "intake", "coolant"}) b.disconnect(end);
    ASSERT_EQ(b.set("constant_spark", 0.3).set("constant_lambda", 0.9).prepare().why, nullptr);
    b.evaluate();
    EXPECT_EQ(b.signal("spark").value, 0.3);
    EXPECT_EQ(b.signal("lambda").value, 0.9);
    ASSERT_EQ(b.set("spark_offset", 0.05).prepare().why, nullptr);
    b.evaluate();
    EXPECT_EQ(b.signal("spark").value, 0.35);
}

}  // namespace

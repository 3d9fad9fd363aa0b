// Outside air against the standard atmosphere and the psychrometric relations.
#include <gtest/gtest.h>

#include <pullcast/media/moist_air.hpp>

#include "bench.hpp"

namespace gas_ambient_tests {

using namespace pullcast;
using namespace pullcast::test;

// ISO 2533 (identical with ICAO): computed from the standard's formula; the marked rows also stand (verified) in
// ASHRAE Fundamentals 2017 ch. 1 Table 1.
TEST(GasAmbient, pressure_of_the_standard_atmosphere) {
    const struct {
        double altitude, pressure;
    } table[] = {{-500, 107478 /* ASHRAE */}, {0, 101325}, {500, 95461 /* ASHRAE */}, {1000, 89875 /* ASHRAE */},
                 {1500, 84556.0},             {2000, 79495.2}, {3000, 70108.5}, {4000, 61640 /* ASHRAE */}};
    for (const auto& row : table) {
        Bench b(builtin("gas.ambient_altitude"));
        b.set("altitude", row.altitude).set("temperature", 288.15).set("humidity", 0);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.evaluate();
        EXPECT_NEAR(b.gas("air").p, row.pressure, 0.6) << row.altitude << " m";
        EXPECT_EQ(b.output("pressure"), b.gas("air").p);
    }
}

// 25 degC, 50 %, 101.325 kPa: W = 0.0098810437 kg/kg dry air, psychrolib 1.1.1 run (ASHRAE formulas).
TEST(GasAmbient, vapour_of_half_saturated_air) {
    Bench b(builtin("gas.ambient"));
    b.set("temperature", 298.15).set("pressure", 101325).set("humidity", 0.5);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.evaluate();
    const double W = 0.0098810437;
    EXPECT_NEAR(b.gas("air").w, W / (1 + W), 1e-7);
    EXPECT_NEAR(b.gas("air").rho, 1.1769582, 1.1769582e-4);  // same row
    EXPECT_EQ(b.heat("surroundings").T, 298.15);
    EXPECT_EQ(b.output("humidity"), 0.5);
}

TEST(GasAmbient, everything_that_crosses_is_counted) {
    Bench b(builtin("gas.ambient"));
    ASSERT_EQ(b.prepare().why, nullptr);
    b.inject<Gas>("air") = {-0.3, -1500, -0.002};
    b.inject<Heat>("surroundings") = {800};
    b.evaluate();
    EXPECT_EQ(b.account("gas"), 0.3);
    EXPECT_EQ(b.account("water"), 0.002);
    EXPECT_EQ(b.account("enthalpy"), 1500);
    EXPECT_EQ(b.account("heat"), -800);
}

TEST(GasAmbient, refuses_more_vapour_than_air) {
    Bench b(builtin("gas.ambient"));
    b.set("temperature", 330).set("pressure", 2e4).set("humidity", 1);
    const Problem p = b.prepare();
    ASSERT_NE(p.why, nullptr);
    EXPECT_STREQ(p.parameter, "humidity");
    EXPECT_STREQ(p.why, "makes more vapour than air at this temperature and pressure");
}

}  // namespace gas_ambient_tests

/// The standard atmosphere against ASHRAE table 1 and ISO 2533.
#include <gtest/gtest.h>
#include <pullcast/media/standard_atmosphere.hpp>
#include "relative.hpp"

namespace standard_atmosphere_tests {

using pullcast::media::isa;

// ASHRAE Fundamentals 2017 ch. 1 table 1, as quoted in psychrolib's test_psychrolib_si.py (V); rounded to 1 Pa, and its
// exponent to 5.2559.
TEST(StandardAtmosphere, AshraeTable1) {
    constexpr double table[][2] = {{-500, 107478}, {0, 101325},   {500, 95461},
                                   {1000, 89875}, {4000, 61640}, {10000, 26436}};
    for (const auto& [altitude, p] : table) EXPECT_TRUE(within(isa(altitude).p, p, 3e-5)) << altitude << " m";
}

// ISO 2533 formulas with its own constants (C, independent evaluation).
TEST(StandardAtmosphere, Iso2533) {
    constexpr double table[][4] = {{-500, 291.40, 107477.5, 1.28489}, {0, 288.15, 101325.0, 1.22500},
                                   {500, 284.90, 95460.8, 1.16727},   {1000, 281.65, 89874.6, 1.11164},
                                   {1500, 278.40, 84556.0, 1.05807},  {2000, 275.15, 79495.2, 1.00649},
                                   {3000, 268.65, 70108.5, 0.90912},  {5000, 255.65, 54019.9, 0.73612}};
    for (const auto& [altitude, T, p, rho] : table) {
        const auto air = isa(altitude);
        EXPECT_NEAR(air.T, T, 1e-9) << altitude << " m";
        EXPECT_NEAR(air.p, p, 0.06) << altitude << " m";
        EXPECT_NEAR(air.rho, rho, 6e-6) << altitude << " m";
    }
}

// Hydrostatic balance dp/dH = -rho g0, by difference.
TEST(StandardAtmosphere, IsHydrostatic) {
    for (double altitude : {0.0, 1000.0, 5000.0, 10000.0}) {
        const double slope = (isa(altitude + 1).p - isa(altitude - 1).p) / 2;
        EXPECT_TRUE(within(-slope, isa(altitude).rho * 9.80665, 1e-6)) << altitude << " m";
    }
}

}  // namespace standard_atmosphere_tests

/// Fuels against stoichiometry and the properties of blends.
#include <gtest/gtest.h>
#include <pullcast/media/fuel.hpp>
#include <pullcast/media/humidity.hpp>
#include "relative.hpp"

namespace {

using namespace pullcast::media;

/// kg dry air that burns 1 kg of C_c H_h O_o to CO2 and H2O; dry air has 0.20946 mol O2 per mol.
double stoichiometric(double c, double h, double o) {
    const double oxygen = c + h / 4 - o / 2, mass = c * 12.011e-3 + h * 1.008e-3 + o * 15.999e-3;
    return oxygen / 0.20946 * molar_mass_air / mass;
}

// Elementary chemistry; gasoline as CH1.87 (M, textbook average).
TEST(FuelProperties, AirRatioFollowsFromTheFormula) {
    EXPECT_TRUE(within(ethanol.stoichiometric_afr, stoichiometric(2, 6, 1), 2e-3));
    EXPECT_TRUE(within(methanol.stoichiometric_afr, stoichiometric(1, 4, 1), 3e-3));
    EXPECT_TRUE(within(gasoline.stoichiometric_afr, stoichiometric(1, 1.87, 0), 1e-2));
}

// US DOE Alternative Fuels Data Center (V), Btu/lb; 1 Btu/lb = 2326 J/kg exactly.
TEST(FuelProperties, HeatingValuesAndLatentHeat) {
    EXPECT_TRUE(within(gasoline.lhv, 18676 * 2326.0, 1e-3));
    EXPECT_TRUE(within(ethanol.lhv, 11585 * 2326.0, 1e-3));
    EXPECT_TRUE(within(methanol.lhv, 8637 * 2326.0, 1e-3));
    EXPECT_TRUE(within(gasoline.latent_heat, 150 * 2326.0, 2e-3));
    EXPECT_TRUE(within(ethanol.latent_heat, 396 * 2326.0, 2e-3));
    EXPECT_TRUE(within(methanol.latent_heat, 506 * 2326.0, 2e-3));
    // the same table's Btu per lb of air at the stoichiometric ratio: 44 and 78.4
    EXPECT_TRUE(within(ethanol.latent_heat / ethanol.stoichiometric_afr, 44 * 2326.0, 1e-2));
    EXPECT_TRUE(within(methanol.latent_heat / methanol.stoichiometric_afr, 78.4 * 2326.0, 1e-2));
}

// Linear in mass, worked apart (C): E10 10.5 %, E85 85.7 % ethanol by mass.
TEST(FuelProperties, Blends) {
    EXPECT_NEAR(e10.stoichiometric_afr, 14.10, 0.01);
    EXPECT_NEAR(e10.lhv, 41.7e6, 0.05e6);
    EXPECT_NEAR(e10.latent_heat, 409e3, 1e3);
    EXPECT_NEAR(e85.stoichiometric_afr, 9.81, 0.01);
    EXPECT_NEAR(e85.lhv, 29.3e6, 0.05e6);
    EXPECT_NEAR(e85.latent_heat, 839e3, 1e3);
}

}  // namespace

/// Fuels against their published properties, and blends against mixing worked apart. Marks: V read in the source named,
/// C worked apart, M from memory.
#include <gtest/gtest.h>

#include <pullcast/media/fuel.hpp>

#include "relative.hpp"

namespace fuel_properties_tests {

using namespace pullcast::media;

const Fuel& named(std::string_view name) {
    for (const Fuel& f : fuels)
        if (f.name == name) return f;
    throw std::out_of_range(std::string(name));
}

// The published ratio and the formula are two sources: gasoline as CH1.87 (M, textbook average) 0.7 % apart.
TEST(FuelProperties, AirRatioFollowsFromTheFormula) {
    const auto formula = [](const Fuel& f) { return stoichiometric_afr(f.hydrogen, f.oxygen); };
    EXPECT_TRUE(within(ethanol.stoichiometric_afr, formula(ethanol), 2e-3));
    EXPECT_TRUE(within(methanol.stoichiometric_afr, formula(methanol), 3e-3));
    EXPECT_TRUE(within(gasoline.stoichiometric_afr, formula(gasoline), 1e-2));
    for (const Fuel& f : fuels) EXPECT_TRUE(within(f.stoichiometric_afr, formula(f), 1e-2)) << f.name;
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

// Linear in mass (C): 10 % by volume is 78.9 of 749.4 kg, 85 % is 670.65 of 782.4 kg.
TEST(FuelProperties, BlendsAreLinearInMass) {
    const Fuel &e10 = named("pump-95"), &e85 = named("ethanol-blend"), &e5 = named("pump-98");
    EXPECT_NEAR(e10.density, 749.4, 0.01);
    EXPECT_NEAR(e10.stoichiometric_afr, 14.10, 0.01);
    EXPECT_NEAR(e10.lhv, 41.7e6, 0.05e6);
    EXPECT_NEAR(e10.latent_heat, 409e3, 1e3);
    EXPECT_NEAR(e85.stoichiometric_afr, 9.81, 0.01);
    EXPECT_NEAR(e85.lhv, 29.3e6, 0.05e6);
    EXPECT_NEAR(e85.latent_heat, 839e3, 1e3);
    EXPECT_NEAR(e5.latent_heat, 379e3, 1e3);
}

// Atoms of one litre counted apart (C): moles of carbon from 111.75 g CH1.87 (13.896 g/mol) and 670.65 g ethanol
// (23.034 g per mole of carbon); molecules of 104.3 and 46.07 g/mol.
TEST(FuelProperties, BlendsKeepTheirAtomsAndMolecules) {
    const Fuel& e85 = named("ethanol-blend");
    const double of_gasoline = 111.75 / 13.896, of_ethanol = 670.65 / 23.034, carbon = of_gasoline + of_ethanol;
    EXPECT_TRUE(within(e85.hydrogen, (1.87 * of_gasoline + 3 * of_ethanol) / carbon, 1e-4));
    EXPECT_TRUE(within(e85.oxygen, 0.5 * of_ethanol / carbon, 1e-4));
    const double molecules = 111.75 / (3.6 * 28.966) + 670.65 / 46.07;
    EXPECT_TRUE(within(e85.vapour_density, 782.4 / molecules / 28.966, 1e-4));
    // The 3.7 % of oxygen by mass that EN 228 allows fit 10 % of ethanol by volume (M).
    const Fuel& e10 = named("pump-95");
    EXPECT_NEAR(15.999 * e10.oxygen / (12.011 + 1.008 * e10.hydrogen + 15.999 * e10.oxygen), 0.037, 5e-4);
}

// A class that a spark-ignition engine takes: sensitivity RON - MON of 8 to 17 (M), and 2.9 to 3.1 MJ per kg of air at
// lambda 1, hardly a matter of the fuel (M, Heywood table D.4).
TEST(FuelProperties, EveryClassIsAnEngineFuel) {
    for (const Fuel& f : fuels) {
        EXPECT_GE(f.ron - f.mon, 8) << f.name;
        EXPECT_LE(f.ron - f.mon, 17) << f.name;
        EXPECT_GE(f.lhv / f.stoichiometric_afr, 2.9e6) << f.name;
        EXPECT_LE(f.lhv / f.stoichiometric_afr, 3.12e6) << f.name;
    }
}

}  // namespace fuel_properties_tests

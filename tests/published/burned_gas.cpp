/// Fresh charge and burned gas: species, atoms, composition, enthalpy. Marks: V read in the source named, C worked
/// apart, M from memory.
#include <gtest/gtest.h>

#include <pullcast/media/charge.hpp>

#include "relative.hpp"

namespace burned_gas_tests {

using namespace pullcast::media;

constexpr double R = universal_gas_constant;
constexpr FuelMake iso_octane{18. / 8, 0, 114.23e-3 / molar_mass_air}, petrol{1.87, 0, 3.6},
    ethyl_alcohol{3, 0.5, 46.07e-3 / molar_mass_air}, methyl_alcohol{4, 1, 32.04e-3 / molar_mass_air};

struct SpeciesRow {
    const char* name;
    double Products::*moles;
    double at_298, at_500, at_1000, at_2000;  // J/(mol K)
};
// NIST-JANAF thermochemical tables, 4th edition (M).
constexpr SpeciesRow janaf[] = {{"CO2", &Products::carbon_dioxide, 37.129, 44.627, 54.308, 60.350},
                                {"H2O", &Products::water, 33.590, 35.226, 41.268, 51.180},
                                {"CO", &Products::carbon_monoxide, 29.142, 29.794, 33.183, 36.250},
                                {"H2", &Products::hydrogen, 28.836, 29.260, 30.205, 34.280},
                                {"O2", &Products::oxygen, 29.376, 31.091, 34.870, 37.741},
                                {"N2", &Products::nitrogen, 29.124, 29.580, 32.697, 35.971},
                                {"Ar", &Products::argon, 20.786, 20.786, 20.786, 20.786}};

// Two evaluations of the same molecules: they differ by up to 0.15 % below 1000 K and 1 % (H2O) at 2000 K.
TEST(BurnedGas, SpeciesHoldTheHeatOfTheJanafTables) {
    for (const auto& row : janaf) {
        Products alone{};
        alone.*row.moles = 1;
        const IdealGas cool = detail::burned(alone, &detail::Product::cool);
        const IdealGas hot = detail::burned(alone, &detail::Product::hot);
        const auto molar = [](const IdealGas& g, double T) { return specific_heat(g, T) / g.R * R; };
        EXPECT_TRUE(within(molar(cool, 298.15), row.at_298, 1e-3)) << row.name;
        EXPECT_TRUE(within(molar(cool, 500), row.at_500, 2e-3)) << row.name;
        EXPECT_TRUE(within(molar(cool, 1000), row.at_1000, 2e-3)) << row.name;
        EXPECT_TRUE(within(molar(hot, 2000), row.at_2000, 1.2e-2)) << row.name;
        EXPECT_TRUE(within(molar(hot, 1000), molar(cool, 1000), 1e-5)) << row.name;  // the two ranges meet
    }
}

// Heats h(1000 K) - h(298.15 K) of the coefficients' source, J/mol: 21465, 22707, 33397, 26003 (C).
TEST(BurnedGas, EnthalpyFromTheReferenceTemperature) {
    const std::pair<double Products::*, double> rows[] = {{&Products::nitrogen, 21465},
                                                          {&Products::oxygen, 22707},
                                                          {&Products::carbon_dioxide, 33397},
                                                          {&Products::water, 26003}};
    for (const auto& [moles, rise] : rows) {
        Products alone{};
        alone.*moles = 1;
        const IdealGas g = detail::burned(alone, &detail::Product::cool);
        EXPECT_NEAR(enthalpy(g, 298.15), 0, 1e-6);
        EXPECT_TRUE(within(enthalpy(g, 1000) / g.R * R, rise, 1e-4));
    }
}

// Elementary chemistry (M: 15.13, 9.0, 6.46).
TEST(BurnedGas, StoichiometricAirRatios) {
    EXPECT_TRUE(within(stoichiometric_afr(2.25, 0), 15.13, 5e-3));
    EXPECT_TRUE(within(stoichiometric_afr(3, 0.5), 9.0, 5e-3));
    EXPECT_TRUE(within(stoichiometric_afr(4, 1), 6.46, 5e-3));
}

struct Mixture {
    FuelMake fuel;
    double lambda, w;
};
constexpr Mixture mixtures[] = {
    {petrol, 1.4, 0},           {petrol, 1, 0.012},         {petrol, 0.85, 0.012},       {petrol, 0.45, 0},
    {ethyl_alcohol, 1.1, 0.02}, {ethyl_alcohol, 0.7, 0.02}, {methyl_alcohol, 0.6, 0.03}, {methyl_alcohol, 1, 0}};

/// Atoms that enter for each atom of carbon, and their mass in kg, counted from what air holds.
struct Entering {
    double C, H, O, N, Ar, mass;
    explicit Entering(const Mixture& m) {
        const double dry = m.lambda * (1 + m.fuel.hydrogen / 4 - m.fuel.oxygen / 2) / (0.20946 / 1.00004) / 1.00004;
        const double water = dry * 1.00004 * molar_mass_air * m.w / (1 - m.w) / molar_mass_water;
        C = 1 + 0.0004 * dry, N = 2 * 0.78084 * dry, Ar = 0.00934 * dry;
        H = m.fuel.hydrogen + 2 * water, O = m.fuel.oxygen + water + 2 * dry * (0.20946 + 0.0004);
        mass = 12.011e-3 * C + 1.008e-3 * H + 15.999e-3 * O + 14.007e-3 * N + 39.95e-3 * Ar;
    }
};

TEST(BurnedGas, EveryAtomComesOutAgain) {
    for (const auto& m : mixtures) {
        const Entering in(m);
        const Products p = products(m.fuel, m.lambda, m.w);
        const auto total =
            p.carbon_dioxide + p.water + p.carbon_monoxide + p.hydrogen + p.oxygen + p.nitrogen + p.argon;
        EXPECT_NEAR(p.carbon_dioxide + p.carbon_monoxide, in.C, 1e-12) << m.lambda;
        EXPECT_NEAR(2 * (p.water + p.hydrogen), in.H, 1e-12) << m.lambda;
        EXPECT_NEAR(2 * p.carbon_dioxide + p.carbon_monoxide + p.water + 2 * p.oxygen, in.O, 1e-12) << m.lambda;
        EXPECT_NEAR(2 * p.nitrogen, in.N, 1e-12) << m.lambda;
        EXPECT_NEAR(p.argon, in.Ar, 1e-12) << m.lambda;
        EXPECT_TRUE(within(burned_cool(m.fuel, m.lambda, m.w).R, R * total / in.mass, 1e-4)) << m.lambda;
        EXPECT_EQ(burned_hot(m.fuel, m.lambda, m.w).R, burned_cool(m.fuel, m.lambda, m.w).R);
        for (const double moles : {p.carbon_dioxide, p.water, p.carbon_monoxide, p.hydrogen, p.oxygen})
            EXPECT_GE(moles, -1e-12) << m.lambda;
    }
}

// K = 3.5 (Heywood ch. 4, M): with the atoms, all of a rich gas.
TEST(BurnedGas, RichGasIsWaterGas) {
    for (const auto& m : mixtures) {
        if (m.lambda >= 1) continue;
        const Products p = products(m.fuel, m.lambda, m.w);
        EXPECT_TRUE(within(p.carbon_monoxide * p.water / (p.carbon_dioxide * p.hydrogen), 3.5, 1e-9)) << m.lambda;
        EXPECT_EQ(p.oxygen, 0);
    }
}

TEST(BurnedGas, LeanGasHoldsNothingUnburned) {
    for (const auto& m : mixtures) {
        if (m.lambda < 1) continue;
        const Products p = products(m.fuel, m.lambda, m.w);
        EXPECT_NEAR(p.carbon_monoxide, 0, 1e-12) << m.lambda;
        EXPECT_NEAR(p.hydrogen, 0, 1e-12) << m.lambda;
        const double demand = 1 + m.fuel.hydrogen / 4 - m.fuel.oxygen / 2;
        EXPECT_NEAR(p.oxygen, (m.lambda - 1) * demand, 1e-12) << m.lambda;
    }
}

TEST(BurnedGas, LambdaOneIsReachedFromBothSides) {
    const IdealGas rich = burned_hot(petrol, 1 - 1e-9, 0.01), lean = burned_hot(petrol, 1 + 1e-9, 0.01);
    EXPECT_TRUE(within(rich.R, lean.R, 1e-8));
    EXPECT_TRUE(within(enthalpy(rich, 2500), enthalpy(lean, 2500), 1e-8));
}

TEST(BurnedGas, BelowTheRichestMixtureNothingChanges) {
    EXPECT_EQ(burned_hot(petrol, 0.1, 0).R, burned_hot(petrol, richest_mixture, 0).R);
    EXPECT_NE(burned_hot(petrol, richest_mixture + 0.01, 0).R, burned_hot(petrol, richest_mixture, 0).R);
}

TEST(BurnedGas, EnthalpyAndHeatCapacityAreContinuousAt1000K) {
    for (const auto& m : mixtures) {
        const IdealGas cool = burned_cool(m.fuel, m.lambda, m.w), hot = burned_hot(m.fuel, m.lambda, m.w);
        EXPECT_TRUE(within(enthalpy(hot, 1000), enthalpy(cool, 1000), 1e-12));
        EXPECT_TRUE(within(specific_heat(hot, 1000), specific_heat(cool, 1000), 1e-5));
    }
}

/// Where all heat of liquid octane stays in the burned gas; all enters at 298.15 K.
double flame_temperature(double lambda, bool hot) {
    const double heat = 44.43e6 / (1 + lambda * stoichiometric_afr(2.25, 0));  // octane, LHV of the liquid
    const IdealGas g = hot ? burned_hot(iso_octane, lambda, 0) : burned_cool(iso_octane, lambda, 0);
    double T = 1000;
    for (int k = 0; k < 50; ++k) T -= (enthalpy(g, T) - heat) / specific_heat(g, T);
    return T;
}

// Cengel & Boles, Thermodynamics, example "Adiabatic flame temperature in steady combustion": liquid octane, complete
// combustion, 2395 K with the air it needs, 962 K with four times that (M; tables of its own, air as O2 and 3.76 N2).
TEST(BurnedGas, OctaneBurnsToTheTextbookTemperature) {
    EXPECT_NEAR(flame_temperature(1, true), 2395, 7);
    EXPECT_NEAR(flame_temperature(4, false), 962, 3);
}

// Gas of 1 mol iso-octane and 12.5/0.20946 mol air, by hand.
TEST(FreshCharge, GasConstantCountsMoles) {
    const double air = 12.5 / 0.20946 * 1.00004, afr = stoichiometric_afr(2.25, 0);
    const double fresh = R * (1 + air) / (114.23e-3 + air * molar_mass_air);
    EXPECT_TRUE(within(fresh_charge(iso_octane, afr, 1, 0).R, fresh, 1e-5));
    EXPECT_TRUE(within(fresh_charge(iso_octane, afr, 1e9, 0.01).R, gas_constant(0.01), 1e-8));  // moist air alone
    EXPECT_TRUE(within(specific_heat(fresh_charge(iso_octane, afr, 1e9, 0.01), 400), specific_heat(400.0, 0.01), 1e-8));
}

/// cp of fuel vapour, J/(kg K), taken out of a fresh charge.
double vapour_heat(const FuelMake& fuel, double T) {
    const double x = 0.2;
    return ((1 + x) * specific_heat(fresh_charge(fuel, 5, 1, 0), T) - specific_heat(T, 0.0)) / x;
}

// NIST Chemistry WebBook, gas at 298.15 K, J/(mol K) (M): 188.9, 65.5, 44.1; sources there differ by 1 %. Beside them
// the coefficients of TM-4513 worked apart at 298.15 and 800 K (C).
TEST(FreshCharge, FuelVapourHoldsThePublishedHeat) {
    const auto expect = [](const FuelMake& fuel, double mass, double published, double at_298, double at_800) {
        EXPECT_TRUE(within(vapour_heat(fuel, 298.15) * mass, published, 1e-2));
        EXPECT_TRUE(within(vapour_heat(fuel, 298.15) * mass, at_298, 1e-4));
        EXPECT_TRUE(within(vapour_heat(fuel, 800) * mass, at_800, 1e-4));
    };
    expect(iso_octane, 114.2285e-3, 188.9, 188.409, 403.257);
    expect(ethyl_alcohol, 46.0684e-3, 65.5, 65.309, 128.009);
    expect(methyl_alcohol, 32.0419e-3, 44.1, 44.039, 79.807);
}

// One kilogram of each: atoms counted apart.
TEST(FreshCharge, VapourOfABlendIsTheMeanOfItsParts) {
    const auto equal_masses = [](const FuelMake& a, double Ma, const FuelMake& b, double Mb) {
        const double ca = 1 / Ma, cb = 1 / Mb;  // moles of carbon
        return FuelMake{(a.hydrogen * ca + b.hydrogen * cb) / (ca + cb), (a.oxygen * ca + b.oxygen * cb) / (ca + cb),
                        2};
    };
    const double octane = 114.2285 / 8, ethanol = 46.0684 / 2, methanol = 32.0419;  // g per mole of carbon
    const FuelMake half = equal_masses(iso_octane, octane, ethyl_alcohol, ethanol);
    const FuelMake spirits = equal_masses(ethyl_alcohol, ethanol, methyl_alcohol, methanol);
    for (const double T : {300., 900.}) {
        const double a = vapour_heat(iso_octane, T), b = vapour_heat(ethyl_alcohol, T),
                     c = vapour_heat(methyl_alcohol, T);
        EXPECT_TRUE(within(vapour_heat(half, T), (a + b) / 2, 1e-4)) << T;
        EXPECT_TRUE(within(vapour_heat(spirits, T), (b + c) / 2, 1e-4)) << T;
    }
}

TEST(IdealGasMixture, IsLinearInMass) {
    const IdealGas fresh = fresh_charge(petrol, 14.7, 0.9, 0.01), burned = burned_cool(petrol, 0.9, 0.01);
    const IdealGas tenth = mixed(fresh, burned, 0.1);
    EXPECT_TRUE(within(tenth.R, 0.9 * fresh.R + 0.1 * burned.R, 1e-14));
    EXPECT_TRUE(within(enthalpy(tenth, 700), 0.9 * enthalpy(fresh, 700) + 0.1 * enthalpy(burned, 700), 1e-12));
    EXPECT_NEAR(enthalpy(tenth, 298.15), 0, 1e-6);
}

}  // namespace burned_gas_tests

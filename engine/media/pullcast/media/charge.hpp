/// The charge of a spark-ignition engine: fresh mixture and burned gas of a fuel CHyOz as ideal gases.
///   CHyOz + lambda (1 + y/4 - z/2) / x_O2 moist air  ->  products,   moles per mole of carbon
///   lean   CO2 H2O O2 N2 Ar                  rich   CO2 H2O CO H2 N2 Ar,   [CO] [H2O] = 3.5 [CO2] [H2]
///   y = sum n_i y_i / sum n_i M_i            for R, cp and h;   h sensible, zero at 298.15 K for each species
/// Frozen composition: the water gas stands where it stops to react as the gas expands (3.5, Heywood ch. 4, from
/// memory), and nothing dissociates. Flame temperatures computed with this gas are therefore high: octane in air at 25
/// degC and 1 atm gives 2390 K here and some 2270 K with dissociation (from memory). Below lambda 0.4, where soot would
/// form, the composition of lambda 0.4 stands. cp: NASA TM-4513 (McBride, Gordon, Reno 1993), 200 .. 1000 K and 1000 ..
/// 6000 K (verified in transcriptions that agree). The cool coefficients of fuel vapour stay within 3 % to 1100 K. Dry
/// air as in moist_air.hpp. Fuel vapour: cp per mass lies on straight lines over the mass fraction of oxygen, from
/// iso-octane (0) over ethanol to methanol; that is exact for ethanol in iso-octane and for the two alcohols in each
/// other. Aromatics hold less heat (toluene 1.13 kJ/(kg K) at 25 degC, from memory; iso-octane 1.65), so that cp of a
/// mixture with petrol is high by up to 1 %. R of the vapour follows from its density alone. T in K, w in kg vapour per
/// kg moist air, lambda > 0. Plain doubles: for derived constants, not for sweeps.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <pullcast/media/humidity.hpp>
#include <pullcast/media/moist_air.hpp>

namespace pullcast::media {

/// An ideal gas with cp(T) = sum c_i T^i, J/(kg K); h(T) = offset + sum c_i T^(i+1)/(i+1), J/kg, sensible, zero at
/// 298.15 K (hot polynomials join the cool ones at 1000 K).
struct IdealGas {
    double R;
    std::array<double, 5> cp;
    double offset;
};

/// Atoms of hydrogen and oxygen per carbon atom; molar mass of the vapour over that of dry air.
struct FuelMake {
    double hydrogen, oxygen, vapour_density;
};

/// Burned gas, moles per mole of carbon in the fuel.
struct Products {
    double carbon_dioxide, water, carbon_monoxide, hydrogen, oxygen, nitrogen, argon;
};

inline constexpr double atomic_mass_carbon = 12.0107e-3, atomic_mass_hydrogen = 1.00794e-3,
                        atomic_mass_oxygen = 15.9994e-3;  // kg/mol
inline constexpr double water_gas_constant = 3.5;         // [CO] [H2O] / ([CO2] [H2])
inline constexpr double richest_mixture = 0.4;            // lambda below which the composition stays
inline constexpr double fuel_vapour_heat = 1700;          // J/(kg K), of evaporated fuel near 300 K; usual value

namespace detail {

// Mole fractions of dry air, normalised.
inline constexpr double air_nitrogen = 0.78084 / 1.00004, air_oxygen = 0.20946 / 1.00004, air_argon = 0.00934 / 1.00004,
                        air_carbon_dioxide = 0.0004 / 1.00004;

inline constexpr Nasa carbon_monoxide{3.57953347, -6.1035368e-04, 1.01681433e-06, 9.07005884e-10, -9.04424499e-13};
inline constexpr Nasa hydrogen{2.34433112, 7.98052075e-03, -1.9478151e-05, 2.01572094e-08, -7.37611761e-12};
inline constexpr Nasa iso_octane{0.815737338, 0.0732643959, 1.78300688e-05, -6.9358962e-08, 3.21629382e-11};
inline constexpr Nasa ethanol_vapour{4.85868178, -3.7400674e-03, 6.95550267e-05, -8.86541147e-08, 3.5168443e-11};
inline constexpr Nasa methanol_vapour{5.71539582, -0.0152309129, 6.52441155e-05, -7.10806889e-08, 2.61352698e-11};

// 1000 .. 6000 K
inline constexpr Nasa hot_nitrogen{2.95257626, 1.39690057e-03, -4.92631691e-07, 7.86010367e-11, -4.60755321e-15};
inline constexpr Nasa hot_oxygen{3.66096083, 6.56365523e-04, -1.41149485e-07, 2.05797658e-11, -1.29913248e-15};
inline constexpr Nasa hot_carbon_dioxide{4.63659493, 2.74131991e-03, -9.95828531e-07, 1.60373011e-10, -9.16103468e-15};
inline constexpr Nasa hot_water_vapour{2.67703787, 2.97318329e-03, -7.7376969e-07, 9.44336689e-11, -4.26900959e-15};
inline constexpr Nasa hot_carbon_monoxide{3.04848583, 1.35172818e-03, -4.85794075e-07, 7.88536486e-11, -4.69807489e-15};
inline constexpr Nasa hot_hydrogen{2.93286575, 8.26608026e-04, -1.46402364e-07, 1.54100414e-11, -6.888048e-16};

/// One species of the burned gas: where its moles stand, kg/mol, cp/R below and above 1000 K.
struct Product {
    double Products::*moles;
    double molar_mass;
    Nasa cool, hot;
};
inline constexpr Product product_species[] = {
    {&Products::carbon_dioxide, 44.0095e-3, detail::carbon_dioxide, hot_carbon_dioxide},
    {&Products::water, molar_mass_water, water_vapour, hot_water_vapour},
    {&Products::carbon_monoxide, 28.0101e-3, detail::carbon_monoxide, hot_carbon_monoxide},
    {&Products::hydrogen, 2.01588e-3, detail::hydrogen, hot_hydrogen},
    {&Products::oxygen, 31.9988e-3, detail::oxygen, hot_oxygen},
    {&Products::nitrogen, 28.0134e-3, detail::nitrogen, hot_nitrogen},
    {&Products::argon, 39.948e-3, detail::argon, detail::argon}};

/// Integral of cp from 0, J/kg.
inline double integral(const std::array<double, 5>& cp, double T) {
    double sum = 0;
    for (std::size_t i = 5; i-- > 0;) sum = (sum + cp[i] / static_cast<double>(i + 1)) * T;
    return sum;
}
/// From cp coefficients and R, with h zero at 298.15 K.
inline IdealGas cool_gas(double R, const std::array<double, 5>& cp) {
    return {R, cp, -integral(cp, reference_temperature)};
}
/// The gas of these moles, with the coefficients of one range; h as if that range began at 298.15 K.
inline IdealGas burned(const Products& n, Nasa Product::*range) {
    double mass = 0, R = 0;
    std::array<double, 5> cp{};
    for (const auto& s : product_species) {
        const double nR = n.*s.moles * universal_gas_constant;
        mass += n.*s.moles * s.molar_mass, R += nR;
        for (std::size_t i = 0; i < 5; ++i) cp[i] += nR * (s.*range)[i];
    }
    for (double& c : cp) c /= mass;
    return cool_gas(R / mass, cp);
}
/// Of CHyOz, kg per mole of carbon.
constexpr double mass_per_carbon(double y, double z) {
    return atomic_mass_carbon + y * atomic_mass_hydrogen + z * atomic_mass_oxygen;
}
/// Of CHyOz, moles of O2 per mole of carbon.
constexpr double oxygen_demand(double y, double z) { return 1 + y / 4 - z / 2; }

/// cp of the fuel's vapour, J/(kg K), 200 .. 1000 K.
inline std::array<double, 5> fuel_vapour_cp(const FuelMake& fuel) {
    struct Knot {
        double oxygen_fraction, molar_mass;
        const Nasa& cp;
    };
    constexpr double octane = 8 * mass_per_carbon(18. / 8, 0), ethyl = 2 * mass_per_carbon(3, 0.5),
                     methyl = mass_per_carbon(4, 1);
    constexpr Knot knots[] = {{0, octane, iso_octane},
                              {atomic_mass_oxygen / ethyl, ethyl, ethanol_vapour},
                              {atomic_mass_oxygen / methyl, methyl, methanol_vapour}};
    const double o = fuel.oxygen * atomic_mass_oxygen / mass_per_carbon(fuel.hydrogen, fuel.oxygen);
    const Knot *low = o < knots[1].oxygen_fraction ? knots : knots + 1, *high = low + 1;
    const double share =
        std::clamp((o - low->oxygen_fraction) / (high->oxygen_fraction - low->oxygen_fraction), 0., 1.);
    std::array<double, 5> cp{};
    for (std::size_t i = 0; i < 5; ++i)
        cp[i] = universal_gas_constant *
                ((1 - share) * low->cp[i] / low->molar_mass + share * high->cp[i] / high->molar_mass);
    return cp;
}

/// Splits atoms of carbon and oxygen and moles of H2 between CO2, H2O, CO and H2; too little oxygen for CO2 and H2O.
/// With a = CO2:  (K - 1) a^2 + (K (H2 + C - O) + O) a = C (O - C).
inline void share_scarce_oxygen(Products& p, double C, double H2, double O) {
    constexpr double K = water_gas_constant;
    const double b = K * (H2 + C - O) + O, c = C * (O - C);
    p.carbon_dioxide = 2 * c / (b + std::sqrt(b * b + 4 * (K - 1) * c));
    p.carbon_monoxide = C - p.carbon_dioxide;
    p.water = O - C - p.carbon_dioxide;
    p.hydrogen = H2 - p.water;
}

}  // namespace detail

/// J/(kg K) and J/kg.
inline double specific_heat(const IdealGas& g, double T) { return polynomial(g.cp, T); }
inline double enthalpy(const IdealGas& g, double T) { return g.offset + detail::integral(g.cp, T); }

/// kg dry air that burns 1 kg of fuel to CO2 and H2O.
constexpr double stoichiometric_afr(double hydrogen, double oxygen) {
    return detail::oxygen_demand(hydrogen, oxygen) / detail::air_oxygen * molar_mass_air /
           detail::mass_per_carbon(hydrogen, oxygen);
}

/// Burned gas; carbon dioxide of the air and humidity among it.
inline Products products(const FuelMake& fuel, double lambda, double w) {
    const double demand = detail::oxygen_demand(fuel.hydrogen, fuel.oxygen);
    const double air = std::max(lambda, richest_mixture) * demand / detail::air_oxygen;
    const double humidity = air * (w / (1 - w)) * (molar_mass_air / molar_mass_water);
    const double C = 1 + air * detail::air_carbon_dioxide, H2 = fuel.hydrogen / 2 + humidity;
    const double O = fuel.oxygen + humidity + 2 * air * (detail::air_oxygen + detail::air_carbon_dioxide);
    Products p{};
    p.nitrogen = air * detail::air_nitrogen, p.argon = air * detail::air_argon;
    if (O < 2 * C + H2) {
        detail::share_scarce_oxygen(p, C, H2, O);
    } else {
        p.carbon_dioxide = C, p.water = H2;
        p.oxygen = (O - 2 * C - H2) / 2;
    }
    return p;
}

/// By mass.
inline IdealGas mixed(const IdealGas& a, const IdealGas& b, double share_of_b) {
    const auto mix = [=](double of_a, double of_b) { return of_a + share_of_b * (of_b - of_a); };
    IdealGas g{mix(a.R, b.R), {}, mix(a.offset, b.offset)};
    for (std::size_t i = 0; i < 5; ++i) g.cp[i] = mix(a.cp[i], b.cp[i]);
    return g;
}

/// Moist air and all of the fuel as vapour; 200 .. 1000 K. `afr` kg dry air per kg fuel at lambda 1.
inline IdealGas fresh_charge(const FuelMake& fuel, double afr, double lambda, double w) {
    std::array<double, 5> air{};
    for (std::size_t i = 0; i < 5; ++i) air[i] = detail::dry.cp_[i] + w * detail::excess.cp_[i];
    const double x = (1 - w) / (afr * lambda);  // fuel per moist air
    return mixed(detail::cool_gas(detail::gas_constant(w), air),
                 detail::cool_gas(detail::R_dry / fuel.vapour_density, detail::fuel_vapour_cp(fuel)), x / (1 + x));
}

/// Burned gas, polynomials for 200 .. 1000 K: residual gas in the unburned zone.
inline IdealGas burned_cool(const FuelMake& fuel, double lambda, double w) {
    return detail::burned(products(fuel, lambda, w), &detail::Product::cool);
}

/// Burned gas, polynomials for 1000 .. 6000 K; h goes on from that of the cool ones.
inline IdealGas burned_hot(const FuelMake& fuel, double lambda, double w) {
    const Products n = products(fuel, lambda, w);
    IdealGas g = detail::burned(n, &detail::Product::hot);
    g.offset = enthalpy(detail::burned(n, &detail::Product::cool), detail::nasa_high) -
               detail::integral(g.cp, detail::nasa_high);
    return g;
}

/// K by which a gas cools that evaporates the share `realised` of its fuel alone. `x` fuel per moist gas by mass, `cp`
/// of the moist gas. The vapour of all fuel counts as warmed or cooled along.
template <class S> S evaporation_cooling(double realised, double latent_heat, const S& x, const S& cp) {
    return realised * latent_heat * x / (cp + fuel_vapour_heat * x);
}

}  // namespace pullcast::media

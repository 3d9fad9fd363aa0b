/// Fuels as plain numbers: three pure ones, their blends, and the classes of which scenarios/parts/fuels holds a part
/// each (a test compares them). For gasoline, ethanol and methanol:
///   lhv, latent_heat, stoichiometric_afr, specific gravity, octane: US DOE Alternative Fuels Data Center property
///   tables (18676, 11585, 8637 Btu/lb; about 150, 396, 506 Btu/lb; 14.7, 9.0; RON/MON 108/92 and 107/92): verified.
///   Methanol's air ratio (table: 6.45) from CH3OH itself. Density of gasoline 745 kg/m^3 (table: .72 to .78) and of
///   ethanol 789: usual values, no source.
///   make: ethanol and methanol from their formulas; gasoline as CH1.87 of 105 g/mol, textbook averages, from memory.
/// Doubts. CH1.87 gives an air ratio of 14.6 and aromatics bring CH1.75 and less. Handbooks disagree by 10 to 40 % in
/// gasoline's latent heat (349 kJ/kg here; 380 to 500 elsewhere, from memory), and that of blends is not linear: flat
/// from 30 to 60 % ethanol (SAE 2008-01-0317, abstract: verified). The octane numbers of neat alcohols differ by 2 to 4
/// between sources, MON most (ethanol 89 to 92, methanol 88 to 92, from memory).
/// Blends are linear in mass between gasoline and ethanol, their make in atoms; octane numbers are not: they are given.
#pragma once
#include <array>
#include <pullcast/media/charge.hpp>
#include <string_view>

namespace pullcast::media {

struct Fuel : FuelMake {
    std::string_view name;      // of a class: its part's
    double stoichiometric_afr;  // kg dry air / kg fuel
    double lhv;                 // lower heating value, J/kg
    double latent_heat;         // of vaporisation at 25 degC, J/kg
    double density;             // liquid at 15 degC, kg/m^3
    double ron, mon;            // research and motor octane number
};

inline constexpr Fuel gasoline{{1.87, 0, 3.6}, "gasoline", 14.7, 43.44e6, 349e3, 745, 95, 85};
inline constexpr Fuel ethanol{{3, 0.5, 46.07e-3 / molar_mass_air}, "ethanol", 9.0, 26.95e6, 921e3, 789, 108, 92};
inline constexpr Fuel methanol{{4, 1, 32.04e-3 / molar_mass_air}, "methanol", 6.46, 20.09e6, 1177e3, 796, 107, 92};

/// Gasoline and ethanol, `volume_fraction` (0 .. 1) of ethanol before mixing.
constexpr Fuel ethanol_in_gasoline(std::string_view name, double volume_fraction, double ron, double mon) {
    const double of_ethanol = volume_fraction * ethanol.density, of_gasoline = (1 - volume_fraction) * gasoline.density;
    const double density = of_ethanol + of_gasoline, x = of_ethanol / density;
    const auto mix = [](double share, double a, double b) { return a + share * (b - a); };
    // moles of carbon per kg, and ethanol's share of them
    const double e = x / detail::mass_per_carbon(ethanol.hydrogen, ethanol.oxygen);
    const double share = e / (e + (1 - x) / detail::mass_per_carbon(gasoline.hydrogen, gasoline.oxygen));
    return {{mix(share, gasoline.hydrogen, ethanol.hydrogen), mix(share, gasoline.oxygen, ethanol.oxygen),
             1 / mix(x, 1 / gasoline.vapour_density, 1 / ethanol.vapour_density)},
            name,
            mix(x, gasoline.stoichiometric_afr, ethanol.stoichiometric_afr),
            mix(x, gasoline.lhv, ethanol.lhv),
            mix(x, gasoline.latent_heat, ethanol.latent_heat),
            density,
            ron,
            mon};
}

/// Hydrocarbons alone; its octane numbers are the most that the rules of international motor sport allow (RON 102, MON
/// 90: from memory). The rules also allow some oxygen (2.7 % by mass, later more: from memory), which is left out: at
/// 2.7 % the air ratio would be 3 % lower.
constexpr Fuel unleaded_race(std::string_view name) {
    Fuel f = gasoline;
    f.name = name, f.ron = 102, f.mon = 90;
    return f;
}

/// Octane numbers of pump fuel: the least that EN 228 asks for (95/85; 98/88 usual for the higher grade; 91/82.5 the
/// former lower grade, close to 87 by (RON + MON)/2), from memory. A given delivery may be better. E85: RON 105 to
/// 108 reported, MON 87 to 90 (from memory); what is sold as E85 holds 51 to 83 % (US DOE AFDC, from memory).
inline constexpr std::array<Fuel, 8> fuels{ethanol_in_gasoline("pump-91", 0.10, 91, 82.5),
                                           ethanol_in_gasoline("pump-95", 0.10, 95, 85),
                                           ethanol_in_gasoline("pump-95-e5", 0.05, 95, 85),
                                           ethanol_in_gasoline("pump-98", 0.05, 98, 88),
                                           ethanol_in_gasoline("ethanol-blend", 0.85, 106, 89),
                                           ethanol,
                                           methanol,
                                           unleaded_race("race-102")};

}  // namespace pullcast::media

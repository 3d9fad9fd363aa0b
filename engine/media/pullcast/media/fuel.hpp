/// Fuels as plain numbers. Sources, for each property of gasoline, ethanol and methanol:
///   lhv, latent_heat, stoichiometric_afr, density, octane: US DOE Alternative Fuels Data Center property tables
///   (18676, 11585, 8637 Btu/lb; about 150, 396, 506 Btu/lb; 14.7, 9.0; specific gravity; RON/MON 108/92 and 107/92).
///   Gasoline density 745 kg/m^3 (table: .72 to .78) and ethanol 789: usual values, no source. Methanol's air ratio
///   from CH3OH itself. Gasoline's octane 95/85: the least that EN 228 allows, from memory.
/// Blends are linear in mass between gasoline and ethanol; their octane numbers are from memory (E85: RON 105 to 108).
/// Handbooks disagree by 10 to 40 % in gasoline's latent heat (349 here; 380 to 500 elsewhere, from memory), and that
/// of blends is not linear: flat from 30 to 60 % ethanol (SAE 2008-01-0317, abstract).
#pragma once
#include <array>
#include <string_view>

namespace pullcast::media {

struct Fuel {
    std::string_view name;
    double stoichiometric_afr;  // kg dry air / kg fuel
    double lhv;                 // lower heating value, J/kg
    double latent_heat;         // of vaporisation at 25 degC, J/kg
    double density;             // liquid at 15 degC, kg/m^3
    double ron, mon;            // research and motor octane number
};

inline constexpr Fuel gasoline{"gasoline", 14.7, 43.44e6, 349e3, 745, 95, 85};
inline constexpr Fuel ethanol{"ethanol", 9.0, 26.95e6, 921e3, 789, 108, 92};
inline constexpr Fuel methanol{"methanol", 6.46, 20.09e6, 1177e3, 796, 107, 92};

/// Gasoline and ethanol, `volume_fraction` (0 .. 1) of ethanol before mixing; octane numbers are the caller's.
constexpr Fuel ethanol_blend(std::string_view name, double volume_fraction, double ron, double mon) {
    const double of_ethanol = volume_fraction * ethanol.density, of_gasoline = (1 - volume_fraction) * gasoline.density;
    const double density = of_ethanol + of_gasoline, x = of_ethanol / density;
    const auto mix = [x](double a, double b) { return a + x * (b - a); };
    return {name,
            mix(gasoline.stoichiometric_afr, ethanol.stoichiometric_afr),
            mix(gasoline.lhv, ethanol.lhv),
            mix(gasoline.latent_heat, ethanol.latent_heat),
            density, ron, mon};
}
inline constexpr Fuel e10 = ethanol_blend("E10", 0.10, 95, 85);
inline constexpr Fuel e85 = ethanol_blend("E85", 0.85, 106, 89);

inline constexpr std::array<Fuel, 5> fuels{gasoline, e10, e85, ethanol, methanol};

}  // namespace pullcast::media

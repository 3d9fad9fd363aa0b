/// Power correction to standard conditions, for spark-ignition engines at full load: corrected = factor * measured.
///   SAE J1349   factor = 1.180 (99000 / p_dry) sqrt(T / 298.15) - 0.18    (indicated power scales, friction does not)
///   ISO 1585    factor = (99000 / p_dry)^1.2 (T / 298.15)^0.6             (UN R85 and 80/1269/EEC alike)
/// p_dry: barometric less vapour pressure, Pa; T: intake air, K (the texts write (t + 273) / 298: 2e-5 apart).
/// Reference: 25 degC, 99 kPa dry. Formulas: secondary quotations of both standards agree.
/// Ranges are from memory: J1349 15 .. 35 degC and 90 .. 105 kPa dry; ISO 1585 factor 0.93 .. 1.07 and 15 .. 35 degC.
#pragma once
#include <cmath>
#include <pullcast/media/standard_atmosphere.hpp>

namespace pullcast::media {

/// `note` is empty in range; the text lives for ever.
struct Correction {
    double factor;
    bool in_range;
    const char* note;
};

/// For the reader of any corrected figure of a supercharged engine.
inline constexpr const char* boosted_note =
    "the factor assumes that charge pressure follows the barometer; where the engine's control holds boost or spark "
    "against the weather it corrects twice (UN R85 supplement 7 then leaves it out)";

namespace detail {
/// Inclusive, with room for the rounding of degC to K and the 273 of the standards' own text.
inline bool between(double x, double low, double high) {
    return x >= low * (1 - 1e-9) && x <= high * (1 + 1e-9);
}
inline bool test_temperature(double T) { return between(T, 288.15, 308.15); }
}  // namespace detail

inline Correction sae_j1349(double p_dry, double T) {
    const double factor = 1.180 * (99000 / p_dry) * std::sqrt(T / 298.15) - 0.18;
    if (!detail::test_temperature(T)) return {factor, false, "intake air outside the 15 .. 35 degC of SAE J1349"};
    if (!detail::between(p_dry, 90e3, 105e3))
        return {factor, false, "dry pressure outside the 90 .. 105 kPa of SAE J1349"};
    return {factor, true, ""};
}

inline Correction iso_1585(double p_dry, double T) {
    const double factor = std::pow(99000 / p_dry, 1.2) * std::pow(T / 298.15, 0.6);
    if (!detail::between(factor, 0.93, 1.07))
        return {factor, false, "factor outside the 0.93 .. 1.07 of ISO 1585: state it with the exact test conditions"};
    if (!detail::test_temperature(T)) return {factor, false, "intake air outside the 15 .. 35 degC of ISO 1585"};
    return {factor, true, ""};
}

}  // namespace pullcast::media

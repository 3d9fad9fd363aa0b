/// The five domains in which components connect. A node publishes potentials; links deliver flows into it.
/// One sign rule: a flow is positive *into* the node. SI units throughout.
#pragma once
#include <cstdint>

namespace pullcast {

/// Moist air. `w` is the mass fraction of water vapour (kg vapour per kg of moist gas).
struct Gas {
    static constexpr std::uint8_t id = 0;
    template <class S> struct Potential { S p, T, h, rho, w; };  // Pa, K, J/kg, kg/m^3, kg/kg
    template <class S> struct Flow { S m, H, mw; };              // kg/s, W, kg/s of vapour
};
/// Incompressible coolant; its enthalpy is its internal energy (pump work enters as heat, see plugins/coolant).
struct Coolant {
    static constexpr std::uint8_t id = 1;
    template <class S> struct Potential { S p, T, h; };          // Pa, K, J/kg
    template <class S> struct Flow { S m, H; };                  // kg/s, W
};
struct Heat {
    static constexpr std::uint8_t id = 2;
    template <class S> struct Potential { S T; };                // K
    template <class S> struct Flow { S Q; };                     // W
};
struct Shaft {
    static constexpr std::uint8_t id = 3;
    template <class S> struct Potential { S omega; };            // rad/s
    template <class S> struct Flow { S tau; };                   // N m
};
/// A value that its owner publishes (the unit stands in the schema); nothing flows back.
struct Signal {
    static constexpr std::uint8_t id = 4;
    template <class S> struct Potential { S value; };
    template <class S> struct Flow {};
};
inline constexpr int domain_count = 5;

}  // namespace pullcast

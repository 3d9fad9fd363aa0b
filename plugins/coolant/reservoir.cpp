/// Reservoir (header tank). Stores mass and energy, well mixed, losing heat to its surroundings.
///
///   dm/dt = sum m_dot,  dU/dt = sum H_dot - UA (T - T_surroundings)
///   p = p0 + (m - m0) / C
///
/// C of a closed tank with gas volume V_g is rho V_g / p (0.5 L at 1 bar: 5e-6 kg/Pa), of an open one of surface A it
/// is A/g (200 cm^2: 2e-3 kg/Pa).
///
/// Reference: stirred tank. Validity: no layering; no boiling or freezing (the margins tell).
#include "components.hpp"
#include "reservoir.hpp"

namespace {
using namespace coolant_family;

struct Reservoir : Tank {
    static void describe(Schema<Reservoir>& s) {
        s.summary = "stores coolant: well-mixed tank with heat loss";
        s.reference = "stirred tank";
        s.validity = "well mixed, neither boiling nor freezing";
        describe_tank(s);
    }
    Problem prepare() { return fill(), Problem{}; }
    void publish(auto v) const { publish_body(v, pressure(v[mass])); }
    void flow(auto v) const {
        lose_heat(v);
        if (v.recording()) report(v);
    }
};

}  // namespace

const pullcast::ComponentType* coolant_reservoir() { return component<Reservoir>("coolant.reservoir"); }

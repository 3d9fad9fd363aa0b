/// Joint with a gas cushion (expansion vessel, swirl pot with a dome). Stores mass and energy.
///
///   p = p0 V_g / (V_g - (m - m0)/rho)        isothermal gas over the coolant
///
/// rho is that of the fill. Near a full vessel the gas volume is held above 1 % of V_g (rounded over 0.1 %).
///
/// Reference: Boyle's law. Validity: slow changes (gas isothermal), gas not dissolved or carried off.
#include "components.hpp"
#include "storage.hpp"

namespace {
using namespace coolant_family;

struct JointExpansion : Body {
    double gas_volume;

    static void describe(Schema<JointExpansion>& s) {
        s.role = "joint";
        s.summary = "stores coolant: mixing volume under a gas cushion";
        s.reference = "Boyle's law";
        s.validity = "isothermal gas cushion";
        describe_body(s, 5e-4);
        s.number(&JointExpansion::gas_volume, "gas_volume", "m^3", "gas cushion at the fill pressure")
            .positive().preset(3e-4);
    }
    Problem prepare() { return fill(), Problem{}; }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S taken_up = (v[mass] - full) * (volume / (full * gas_volume));
        publish_body(v, S(fill_pressure / soft_max(S(1 - taken_up), S(0.01), 1e-3)));
    }
};

}  // namespace

const pullcast::ComponentType* coolant_joint_expansion() {
    return component<JointExpansion>("coolant.joint_expansion");
}

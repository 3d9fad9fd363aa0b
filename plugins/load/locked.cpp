/// Locked speed: the dyno holds the crank at one speed, for steady points. Stores the engine's kinetic energy.
///
///     domega/dt = (start_speed - omega) / hold_time       zero from the start, unless a step before left another speed
///     torque, work and the open clutch: braking.hpp
///
/// Ideal control; the throttle still opens at the start of the pull.
#include "braking.hpp"
#include "components.hpp"

namespace pullcast::load {
namespace {

struct Locked : Braking<Locked> {
    static void describe(Schema<Locked>& s) {
        s.summary = "stores kinetic energy: holds the crank at one speed";
        s.reference = "equilibrium of torques at constant speed";
        s.validity = "ideal speed control without a limit of torque";
        describe_braking(s);
    }

    void balance(auto v) const {
        using S = typename decltype(v)::Scalar;
        keep(v, drawn(S(v[omega])));
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_locked() { return pullcast::component<pullcast::load::Locked>("load.locked"); }

/// Held-rate brake: takes whatever torque keeps the crank on a straight speed ramp. Stores the engine's kinetic energy.
///
///     domega/dt = (start_speed - omega) / hold_time until the pull, g speed_rate from then on
///     g = step(t; pull_start .. pull_start + release_time)
///     torque, work and the open clutch: braking.hpp
///
/// Ideal control: no speed error, no limit of torque. After the release omega = start + rate (t - start - release / 2).
#include "braking.hpp"
#include "components.hpp"

namespace pullcast::load {
namespace {

struct Brake : Braking<Brake> {
    double speed_rate, release_time, pull_start;

    static void describe(Schema<Brake>& s) {
        s.summary = "stores kinetic energy: brake that raises the crank speed at a set rate";
        s.reference = "Newton's second law";
        s.validity = "ideal speed control without a limit of torque";
        describe_braking(s);
        s.number(&Brake::speed_rate, "speed_rate", "rad/s^2", "rise of the crank speed")
            .in(-1000, 1000)
            .preset(31.415926535897931);
        s.number(&Brake::release_time, "release_time", "s", "time over which the ramp sets in").in(1e-3, 5).preset(0.1);
        s.number(&Brake::pull_start, "pull_start", "s", "time at which the ramp starts")
            .common("pull_start")
            .preset(0)
            .breakpoint();
    }

    void balance(auto v) const {
        using S = typename decltype(v)::Scalar;
        if (v.time() < pull_start) return keep(v, drawn(S(v[omega])));
        keep(v, S(speed_rate * soft_step(v.time(), pull_start, pull_start + release_time)));
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_brake() { return pullcast::component<pullcast::load::Brake>("load.brake"); }

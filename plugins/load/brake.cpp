/// Held-rate brake: takes whatever torque keeps the crank on a straight speed ramp. Stores the engine's kinetic energy.
///
///     domega/dt = g speed_rate,   g = step(t; pull_start .. pull_start + release_time)
///     T = tau - J domega/dt       into the driveline; tau: everything that acts on the crank
///     wheel torque y = wheels(T)  (driveline.hpp), absorbed work: integral of y omega
///
/// Ideal control: no speed error, no limit of torque. After the release omega = start + rate (t - start - release / 2).
#include "components.hpp"
#include "driveline.hpp"

namespace pullcast::load {
namespace {

struct Brake : Driveline<Brake> {
    double inertia, speed_rate, release_time, pull_start;
    State omega;
    Account absorbed;

    static void describe(Schema<Brake>& s) {
        s.summary = "stores kinetic energy: brake that raises the crank speed at a set rate";
        s.reference = "Newton's second law";
        s.validity = "ideal speed control without a limit of torque";
        describe_driveline(s);
        s.number(&Brake::inertia, "inertia", "kg m^2", "engine, flywheel, driveline and wheels, at the crank")
            .in(0, 50).preset(0.25);
        s.number(&Brake::speed_rate, "speed_rate", "rad/s^2", "rise of the crank speed")
            .in(-1000, 1000).preset(31.415926535897931);
        s.number(&Brake::release_time, "release_time", "s", "time over which the ramp sets in").in(1e-3, 5).preset(0.1);
        s.number(&Brake::pull_start, "pull_start", "s", "time at which the ramp starts")
            .common("pull_start").preset(0).breakpoint();
        s.state(&Brake::omega, "crank_speed", "rad/s", 100, "crank speed");
        s.account(&Brake::absorbed, "absorbed", Ledger::energy, "work of the brake (negative: taken from the car)");
    }

    void start(Start x) const { x[omega] = start_speed; }
    Stock stored(Held x) const { return {.energy = 0.5 * inertia * x[omega] * x[omega]}; }

    void publish(auto v) const { v(crank, {v[omega]}); }

    void balance(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S w = v[omega], tau = v[crank].tau;
        const double rate = speed_rate * soft_step(v.time(), pull_start, pull_start + release_time);
        const S T = tau - inertia * rate, y = wheels(T, w);
        v.rate(omega) = S(rate);
        v.rate(absorbed) = -y * w;
        v.rate(this->lost) = (y - T) * w;
        if (v.recording()) report(v, tau, w, S(y * w));
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_brake() { return pullcast::component<pullcast::load::Brake>("load.brake"); }

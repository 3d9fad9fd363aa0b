/// What the two ideal brakes share: the crank's speed follows a set rate, and what is left of the torque goes through
/// the driveline into the brake. Stores the kinetic energy of what turns with the crank.
///
///     T = tau - J domega/dt       into the driveline; tau: everything that acts on the crank
///     wheel torque y = wheels(T)  (driveline.hpp), absorbed work: integral of y omega
///     clutch open: J domega/dt = tau, and the brake takes nothing
#pragma once
#include "driveline.hpp"

namespace pullcast::load {

template <class C> struct Braking : Driveline<C> {
    double inertia;
    State omega;
    Account absorbed;

    static void describe_braking(Schema<C>& s) {
        Braking::describe_driveline(s);
        const auto own = [](auto member) { return static_cast<decltype(of(member))>(member); };
        s.number(own(&Braking::inertia), "inertia", "kg m^2",
                 "engine, flywheel, driveline and wheels, at the crank; with an open clutch all of it is the engine's")
            .in(1e-3, 50)
            .preset(0.25);
        s.state(own(&Braking::omega), "crank_speed", "rad/s", 100, "crank speed");
        s.account(own(&Braking::absorbed), "absorbed", Ledger::energy,
                  "work of the brake (negative: taken from the car)");
    }

    void start(Start x) const { x[omega] = this->start_speed; }
    Stock stored(Held x) const { return {.energy = 0.5 * inertia * x[omega] * x[omega]}; }

    void publish(auto v) const { v(this->crank, {v[omega]}); }

    /// Balance with the crank speed changing at `rate` while the clutch is closed.
    template <class S> void keep(Balance<S> v, const S& rate) const {
        const S w = v[omega], tau = v[this->crank].tau;
        const S T = this->open() ? S(0) : S(tau - inertia * rate);
        const S y = this->open() ? S(0) : this->wheels(T, w);
        v.rate(omega) = this->open() ? S(tau / inertia) : rate;
        v.rate(absorbed) = -y * w;
        v.rate(this->lost) = (y - T) * w;
        if (v.recording()) this->report(v, tau, w, S(y * w));
    }

private:
    template <class T> static T C::*of(T Braking::*);
};

}  // namespace pullcast::load

/// Inertia roller: the car turns a heavy drum. Stores the kinetic energy of engine, wheels and drum.
///
///     v_t = omega r_t / G,  v_d = Omega R            speeds of tyre tread and drum surface
///     s   = (v_t - v_d) / sqrt(v_d^2 + slow_surface^2)        tyre slip
///     F   = Cx s / sqrt(1 + (Cx s / F_m)^2),  F_m = mu N      F = Cx s at small slip, F_m at most
///     y   = F r_t / G                                         at the crank; loss(y): driveline.hpp
///     (J_e + J_w / G^2) domega/dt = g (tau - y - loss)        tau: everything that acts on the crank
///     J_d dOmega/dt               = g F R
///     g = step(t; pull_start .. pull_start + release_time)    0: held at the start speed, 1: released
///   until pull_start, which is at rest where both speeds are those of the start already:
///     domega/dt = (start_speed - omega) / hold_time,  dOmega/dt = (start_speed r_t / (G R) - Omega) / hold_time
///   clutch open, wheels rolling on the drum:
///     J_e domega/dt = tau,  dOmega/dt = -Omega / drum_stop_time
///
/// Newton's second law; P = J Omega dOmega/dt is what such a dyno reports. Force linear in small slip: from memory. The
/// dyno holds crank and drum until the pull, without tyre slip; what it takes then is the account `hold`, as is what
/// slows the drum with the clutch open. One gear; the clutch is open or closed and never slips.
#include "components.hpp"
#include "driveline.hpp"

namespace pullcast::load {
namespace {

struct Roller : Driveline<Roller> {
    double inertia, wheel_inertia, gear, tyre_radius, drum_radius, drum_inertia;
    double tyre_stiffness, tyre_friction, tyre_load, slow_surface, release_time, pull_start, drum_stop_time;
    State omega, drum;
    Account hold, tyre;
    Output tyre_slip, tyre_force, drum_speed;
    double J, grip, rolling, rolling_inertia;  // derived: at the crank; F_m; drum over crank speed; drum with wheels

    static void describe(Schema<Roller>& s) {
        s.summary = "stores kinetic energy: inertia roller with tyre slip";
        s.reference = "Newton's second law; tyre force linear in small slip (from memory)";
        s.validity = "one fixed gear, no clutch slip, tyre slip below the peak of its friction";
        describe_driveline(s);
        s.number(&Roller::inertia, "inertia", "kg m^2", "engine, flywheel and gearbox input, at the crank")
            .in(1e-3, 50).preset(0.25);
        s.number(&Roller::wheel_inertia, "wheel_inertia", "kg m^2", "driven wheels and half shafts, at the wheel")
            .in(0, 100).preset(2.5);
        s.number(&Roller::gear, "gear_ratio", "1", "crank turns per wheel turn in the gear of the pull").in(0.5, 50);
        s.number(&Roller::tyre_radius, "tyre_radius", "m", "rolling radius").in(0.1, 1).preset(0.33);
        s.number(&Roller::drum_radius, "drum_radius", "m", "drum radius").in(0.05, 3);
        s.number(&Roller::drum_inertia, "drum_inertia", "kg m^2", "all drums that the driven wheels turn").in(0.1, 1e5);
        s.number(&Roller::tyre_stiffness, "tyre_stiffness", "N", "force per unit of slip, all driven tyres")
            .in(1e3, 1e7).preset(1.5e5);
        s.number(&Roller::tyre_friction, "tyre_friction", "1", "largest tyre force over load").in(0.1, 5).preset(0.9);
        s.number(&Roller::tyre_load, "tyre_load", "N", "load on the driven tyres, straps included")
            .in(100, 1e5).preset(9000);
        s.number(&Roller::slow_surface, "slow_surface", "m/s",
                 "drum surface speed below which slip is no longer told as a fraction")
            .in(0.01, 10).preset(0.5);
        s.number(&Roller::release_time, "release_time", "s", "time over which the hold is let go")
            .in(1e-3, 5).preset(0.1);
        s.number(&Roller::pull_start, "pull_start", "s", "time of release").common("pull_start").preset(0).breakpoint();
        s.number(&Roller::drum_stop_time, "drum_stop_time", "s",
                 "time constant with which the dyno stops the drum while the clutch is open")
            .in(0.1, 600).preset(5);
        s.state(&Roller::omega, "crank_speed", "rad/s", 100, "crank speed");
        s.state(&Roller::drum, "drum", "rad/s", 10, "drum speed");
        s.account(&Roller::hold, "hold", Ledger::energy,
                  "work of the dyno while it holds crank and drum, or stops the drum");
        s.account(&Roller::tyre, "tyre_loss", Ledger::energy, "heat of tyre slip");
        s.output(&Roller::tyre_slip, "tyre_slip", "1", "tread speed over drum surface speed, less one")
            .warn_above(0.08, "tyre slip near the limit of grip");
        s.output(&Roller::tyre_force, "tyre_force", "N", "force of the tyres on the drum");
        s.output(&Roller::drum_speed, "drum_speed", "rad/s", "drum speed");
    }

    Problem prepare() {
        J = inertia + wheel_inertia / (gear * gear);
        grip = tyre_friction * tyre_load;
        rolling = tyre_radius / (gear * drum_radius);
        rolling_inertia = drum_inertia + wheel_inertia * (drum_radius / tyre_radius) * (drum_radius / tyre_radius);
        return {};
    }

    void start(Start x) const {
        x[omega] = start_speed;
        x[drum] = start_speed * rolling;
    }

    Stock stored(Held x) const {
        const double with_crank = open() ? inertia : J, with_drum = open() ? rolling_inertia : drum_inertia;
        return {.energy = 0.5 * (with_crank * x[omega] * x[omega] + with_drum * x[drum] * x[drum])};
    }

    void publish(auto v) const { v(crank, {v[omega]}); }

    void balance(auto v) const {
        if (open()) return run_freely(v);
        v.time() < pull_start ? be_held(v) : pull(v);
    }

private:
    template <class S> void run_freely(Balance<S> v) const {
        const S slowing = -v[drum] / drum_stop_time;
        v.rate(omega) = v[crank].tau / inertia;
        v.rate(drum) = slowing;
        v.rate(hold) = rolling_inertia * v[drum] * slowing;
        v.rate(this->lost) = v.rate(tyre) = S(0);
        if (v.recording()) tell(v, S(0), S(0));
    }

    template <class S> void be_held(Balance<S> v) const {
        const S w = v[omega], T_loss = drag_at(w);
        const S crank_rate = drawn(w), drum_rate = (start_speed * rolling - v[drum]) / hold_time;
        v.rate(omega) = crank_rate;
        v.rate(drum) = drum_rate;
        v.rate(hold) = (J * crank_rate - (v[crank].tau - T_loss)) * w + drum_inertia * v[drum] * drum_rate;
        v.rate(this->lost) = -T_loss * w;
        v.rate(tyre) = S(0);
        if (v.recording()) tell(v, S(0), S(0));
    }

    template <class S> void pull(Balance<S> v) const {
        using std::sqrt;
        const S w = v[omega], v_t = w * (tyre_radius / gear), v_d = v[drum] * drum_radius;
        const S s = (v_t - v_d) / sqrt(v_d * v_d + slow_surface * slow_surface);
        const S elastic = tyre_stiffness * s, part = elastic / grip;
        const S F = elastic / sqrt(1 + part * part);
        const S y = F * (tyre_radius / gear), T_loss = loss(y, w);
        const S spare = v[crank].tau - y - T_loss;
        const double g = soft_step(v.time(), pull_start, pull_start + release_time);

        v.rate(omega) = g * spare / J;
        v.rate(drum) = g * F * drum_radius / drum_inertia;
        v.rate(hold) = (g - 1) * (spare * w + F * v_d);
        v.rate(this->lost) = -T_loss * w;
        v.rate(tyre) = -F * (v_t - v_d);
        if (v.recording()) tell(v, s, F);
    }

    template <class S> void tell(Balance<S> v, const S& slip, const S& force) const {
        report(v, S(v[crank].tau), S(v[omega]), S(force * v[drum] * drum_radius));
        v.output(tyre_slip, slip);
        v.output(tyre_force, force);
        v.output(drum_speed, v[drum]);
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_roller() { return pullcast::component<pullcast::load::Roller>("load.roller"); }

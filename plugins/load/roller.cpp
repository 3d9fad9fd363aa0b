/// Inertia roller: the car turns a heavy drum. Stores the kinetic energy of engine, wheels and drum.
///
///     v_t = omega r_t / G,  v_d = Omega R            speeds of tyre tread and drum surface
///     s   = (v_t - v_d) / sqrt(v_d^2 + slow_surface^2)        tyre slip
///     F   = Cx s / sqrt(1 + (Cx s / F_m)^2),  F_m = mu N      F = Cx s at small slip, F_m at most
///     y   = F r_t / G                                         at the crank; loss(y): driveline.hpp
///     (J_e + J_w / G^2) domega/dt = g (tau - y - loss)        tau: everything that acts on the crank
///     J_d dOmega/dt               = g F R
///     g = step(t; pull_start .. pull_start + release_time)    0: held at the start speed, 1: released
///
/// Newton's second law; P = J Omega dOmega/dt is what such a dyno reports. Force linear in small slip: from memory. The
/// dyno holds crank and drum until the pull, and what it takes then is the account `hold`. One gear, no clutch slip.
#include "components.hpp"
#include "driveline.hpp"

namespace pullcast::load {
namespace {

struct Roller : Driveline<Roller> {
    double inertia, wheel_inertia, gear, tyre_radius, drum_radius, drum_inertia;
    double tyre_stiffness, tyre_friction, tyre_load, slow_surface, release_time, pull_start;
    State omega, drum;
    Account hold, tyre;
    Output tyre_slip, tyre_force, drum_speed;
    double J, grip;  // derived: at the crank; F_m

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
        s.state(&Roller::omega, "crank_speed", "rad/s", 100, "crank speed");
        s.state(&Roller::drum, "drum", "rad/s", 10, "drum speed");
        s.account(&Roller::hold, "hold", Ledger::energy, "work of the dyno while it holds the speed");
        s.account(&Roller::tyre, "tyre_loss", Ledger::energy, "heat of tyre slip");
        s.output(&Roller::tyre_slip, "tyre_slip", "1", "tread speed over drum surface speed, less one")
            .warn_above(0.08, "tyre slip near the limit of grip");
        s.output(&Roller::tyre_force, "tyre_force", "N", "force of the tyres on the drum");
        s.output(&Roller::drum_speed, "drum_speed", "rad/s", "drum speed");
    }

    Problem prepare() {
        J = inertia + wheel_inertia / (gear * gear);
        grip = tyre_friction * tyre_load;
        return {};
    }

    void start(Start x) const {
        x[omega] = start_speed;
        x[drum] = start_speed * tyre_radius / (gear * drum_radius);
    }

    Stock stored(Held x) const {
        return {.energy = 0.5 * (J * x[omega] * x[omega] + drum_inertia * x[drum] * x[drum])};
    }

    void publish(auto v) const { v(crank, {v[omega]}); }

    void balance(auto v) const {
        using S = typename decltype(v)::Scalar;
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
        if (!v.recording()) return;
        report(v, S(v[crank].tau), w, S(F * v_d));
        v.output(tyre_slip, s);
        v.output(tyre_force, F);
        v.output(drum_speed, v[drum]);
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_roller() { return pullcast::component<pullcast::load::Roller>("load.roller"); }

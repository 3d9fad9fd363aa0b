/// What all loads share: the crank node, the driveline between crank and wheels, and the figures that a dyno reports.
///
///     T = y + loss,   y: torque at the wheels, referred to the crank speed
///     loss = drag + f / (1 - f) y  for y > 0,   drag + f |y|  for y < 0       (f of what enters the driveline)
///     both sides joined by soft_abs of width `torque_width`; drag fades below the crank speed `slow`
///
/// Clutch closed: the dyno holds the crank until the pull, and draws it to `start_speed` with the time constant
/// `hold_time` where it comes from another speed. Clutch open: the engine and what its belt turns run freely, and
/// nothing passes the driveline.
///
/// A constant fraction and a constant drag are common practice, no source: real losses also depend on oil temperature,
/// speed and gear. 10 to 18 % together with the tyres is usual (common practice, no source).
#pragma once
#include <pullcast/sdk.hpp>

namespace pullcast::load {

template <class C>
struct Driveline {
    double start_speed, hold_time, fraction, drag, torque_width, slow;
    std::int32_t clutch;  // 0 closed, 1 open
    Node<Shaft> crank;
    Account lost;
    Output crank_torque, crank_power, wheel_torque, wheel_power, speed;

    static void describe_driveline(Schema<C>& s) {
        const auto own = [](auto member) { return static_cast<decltype(of(member))>(member); };
        s.role = "load";
        s.number(own(&Driveline::start_speed), "start_speed", "rad/s",
                 "crank speed at which the engine is held until the pull")
            .in(1, 2000).common("start_speed").preset(209.43951023931953);
        s.choice(own(&Driveline::clutch), "clutch", "closed|open", "open: the engine turns freely, as at idle")
            .common("clutch").preset(0);
        s.number(own(&Driveline::hold_time), "hold_time", "s", "time constant with which a hold draws to start_speed")
            .in(0.01, 60).preset(0.5);
        s.number(own(&Driveline::fraction), "driveline_loss", "1", "part of the power into the driveline that is lost")
            .in(0, 0.9).preset(0.12);
        s.number(own(&Driveline::drag), "driveline_drag", "N m",
                 "constant drag of driveline and rolling tyres, at the crank")
            .in(0, 500).preset(5);
        s.number(own(&Driveline::torque_width), "torque_width", "N m",
                 "torque over which drive and overrun losses join")
            .in(1e-3, 100).preset(1);
        s.number(own(&Driveline::slow), "slow", "rad/s", "crank speed below which the drag fades")
            .in(1e-3, 100).preset(5);
        s.node(own(&Driveline::crank), "crank", "crankshaft");
        s.account(own(&Driveline::lost), "driveline_heat", Ledger::energy, "heat lost in the driveline");
        s.output(own(&Driveline::crank_torque), "crank_torque", "N m",
                 "net torque at the crank, blower drive taken off");
        s.output(own(&Driveline::crank_power), "crank_power", "W", "net power at the crank, blower drive taken off");
        s.output(own(&Driveline::wheel_torque), "wheel_torque", "N m", "wheel power over crank speed");
        s.output(own(&Driveline::wheel_power), "wheel_power", "W", "power that the dyno takes from the wheels");
        s.output(own(&Driveline::speed), "speed", "rad/s", "crank speed");
    }

    bool open() const { return clutch == 1; }
    /// Rate at which a hold changes the crank speed: zero where it is at start_speed.
    template <class S> S drawn(const S& omega) const { return (start_speed - omega) / hold_time; }

    template <class S> S drag_at(const S& omega) const {
        using std::sqrt;
        return drag * omega / sqrt(omega * omega + slow * slow);
    }
    /// Loss torque for a torque y at the wheels, both referred to the crank.
    template <class S> S loss(const S& y, const S& omega) const {
        const double driving = fraction / (1 - fraction), overrun = fraction;
        return drag_at(omega) + 0.5 * ((driving - overrun) * y + (driving + overrun) * soft_abs(y, torque_width));
    }
    /// The inverse: torque at the wheels for a torque into the driveline.
    template <class S> S wheels(const S& torque, const S& omega) const {
        const double driving = 1 - fraction, overrun = 1 / (1 - fraction);
        const S rest = torque - drag_at(omega);
        return 0.5 * ((driving + overrun) * rest + (driving - overrun) * soft_abs(rest, torque_width));
    }

    template <class S> void report(Balance<S> v, const S& torque, const S& omega, const S& power_at_wheels) const {
        v.output(crank_torque, torque);
        v.output(crank_power, torque * omega);
        v.output(wheel_torque, power_at_wheels * omega / (omega * omega + 1e-6));  // finite at rest
        v.output(wheel_power, power_at_wheels);
        v.output(speed, omega);
    }

private:
    template <class T> static T C::*of(T Driveline::*);
};

}  // namespace pullcast::load

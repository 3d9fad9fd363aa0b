/// The throttle, at its stop or part open until the pull starts and then opened along a ramp, with an idle valve beside
/// it. Transports; its state is what the idle control has learned.
///
///     CdA = leak_area + Cd A(opening) + idle_area valve
///     A = pi D^2 / 4 (1 - cos(psi) / cos(psi0))    gas.throttle: thin plate without its shaft; psi0 shut, psi from
///                                                  psi0 to the open angle (Heywood eq. 7.18, from memory)
///     A = opening A_open                           gas.throttle_slide: slide, barrel, or a set of plates as one area
///     opening = part_opening + (1 - part_opening) s^3 (10 - 15 s + 6 s^2),
///               s = (t - pull_start) / opening_time within 0 .. 1
///   idle control, where idle_speed is above 1 (proportional and integral, common practice, no source):
///     d = 1 - omega / idle_speed,   e = d below idle_speed,  d / (1 + (d / 0.25)^2) above: little on an overrun
///     valve = clip(x + idle_gain e),  clip within 0 .. 1, rounded over 0.02 at both ends
///     idle_time dx/dt = shut (e + valve - (x + idle_gain e))       so that x does not run past what the valve can do
///     shut = 1 - step(opening; 0 .. 0.05)                          it learns with the plate at its stop only
///
/// Flow through the area: orifice.hpp. The ramp has no corner in slope or curvature; its start is a breakpoint.
#include <numbers>

#include "components.hpp"
#include "orifice.hpp"

namespace pullcast::gas {
namespace {

constexpr double idle_band = 0.25, clip_width = 0.02, idle_stop = 0.05;

/// `x` within 0 .. 1, rounded at both ends; its slope is 1 between.
template <class S>
S clip(const S& x) {
    using std::sqrt;
    const S below = x - 1;
    return 0.5 * (1 + sqrt(x * x + clip_width * clip_width) - sqrt(below * below + clip_width * clip_width));
}

template <bool slide>
struct Throttle {
    double bore, shut_angle, open_angle, open_area, discharge, leak_area, opening_time, part_opening, pull_start;
    double idle_speed, idle_area, idle_gain, idle_time, start_idle_valve, linear_below;
    End<Gas> from, to;
    Sees<Shaft> crank;
    State learned;
    Output flow_rate, opening, effective_area, idle_valve, drop;

    static void describe(Schema<Throttle>& s) {
        s.role = "throttle";
        s.summary = slide ? "transports: compressible orifice whose area is proportional to the opening"
                          : "transports: compressible orifice with the area of a tilted plate";
        s.reference = slide ? "isentropic nozzle relations"
                            : "isentropic nozzle relations; plate area after Heywood eq. 7.18 (from memory)";
        s.validity = "quasi-steady, ratio of heats 1.4, both flow directions, choked or not";
        if constexpr (slide) {
            s.number(&Throttle::open_area, "open_area", "m^2", "geometric area fully open").in(1e-6, 0.1);
        } else {
            s.number(&Throttle::bore, "bore", "m", "throttle bore; of several equal plates the bore of equal area")
                .in(0.005, 0.5);
            s.number(&Throttle::shut_angle, "shut_angle", "rad",
                     "plate angle when shut, from the plane across the bore")
                .in(0, 0.5).preset(0.1);
            s.number(&Throttle::open_angle, "open_angle", "rad", "plate angle when open")
                .in(0.1, 1.5707963267948966).preset(1.45);
        }
        s.number(&Throttle::discharge, "discharge_coefficient", "1", "effective over geometric area")
            .in(0.1, 1).preset(0.85);
        s.number(&Throttle::leak_area, "leak_area", "m^2", "effective area that stays open when shut")
            .in(1e-9, 0.01).preset(2e-5);
        s.number(&Throttle::opening_time, "opening_time", "s", "time from shut to open").in(0.01, 30).preset(0.2);
        s.number(&Throttle::pull_start, "pull_start", "s", "time at which it starts to open")
            .common("pull_start").preset(0).breakpoint();
        s.number(&Throttle::part_opening, "part_opening", "1", "opening until then, as at a cruise")
            .in(0, 1).common("part_opening").preset(0);
        describe_idle(s);
        s.number(&Throttle::linear_below, "linear_below", "1", "1 - pressure ratio below which flow turns linear in it")
            .in(1e-6, 0.05).preset(0.002);
        s.end(&Throttle::from, "from", "upstream side");
        s.end(&Throttle::to, "to", "downstream side");
        s.sees(&Throttle::crank, "crank", "crankshaft, where idle is controlled").optional();
        s.state(&Throttle::learned, "idle_learned", "1", 1, "valve opening that the idle control has learned");
        s.output(&Throttle::flow_rate, "flow", "kg/s", "mass flow");
        s.output(&Throttle::opening, "opening", "1", "0 shut, 1 open");
        s.output(&Throttle::effective_area, "effective_area", "m^2",
                 "area times discharge coefficient, with leak and idle valve");
        s.output(&Throttle::idle_valve, "idle_valve", "1", "opening of the idle valve");
        s.output(&Throttle::drop, "pressure_drop", "Pa", "pressure at `from` minus pressure at `to`");
    }

    static void describe_idle(Schema<Throttle>& s) {
        s.number(&Throttle::idle_speed, "idle_speed", "rad/s", "crank speed that the idle control keeps; 0 to 1: none")
            .in(0, 300).common("idle_speed").preset(0);
        s.number(&Throttle::idle_area, "idle_area", "m^2", "effective area of the idle valve fully open")
            .in(0, 0.01).preset(8e-5);
        s.number(&Throttle::idle_gain, "idle_gain", "1", "valve opening per relative speed error, at once")
            .in(0, 5).preset(0.5);
        s.number(&Throttle::idle_time, "idle_time", "s", "integration time: the same valve opening, learned")
            .in(0.1, 600).preset(5);
        s.number(&Throttle::start_idle_valve, "start_idle_valve", "1", "opening of the idle valve at the start")
            .in(0, 1).preset(0.3);
    }

    bool controls_idle() const { return idle_speed > 1; }

    Problem prepare() {
        if (controls_idle() && crank.i == unconnected)
            return {"idle_speed", "an idle control needs the crank: connect the throttle's 'crank'"};
        if constexpr (!slide)
            if (open_angle <= shut_angle) return {"open_angle", "must be larger than shut_angle"};
        return {};
    }

    void start(Start x) const { x[learned] = start_idle_valve; }

    double area(double open) const {
        if constexpr (slide) return open * open_area;
        const double psi = shut_angle + open * (open_angle - shut_angle);
        return 0.25 * std::numbers::pi * bore * bore * (1 - std::cos(psi) / std::cos(shut_angle));
    }

    /// Opening of the idle valve; sets the rate of what is learned.
    template <class S> S control_idle(Flow<S> v, double open) const {
        const S d = 1 - v[crank].omega / idle_speed, above = value(d) < 0 ? S(d / idle_band) : S(0);
        const S e = d / (1 + above * above);
        const S wanted = v[learned] + idle_gain * e, valve = clip(wanted);
        v.rate(learned) = (1 - soft_step(open, 0, idle_stop)) / idle_time * (e + valve - wanted);
        return valve;
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const double ramp = soft_step(v.time(), pull_start, pull_start + opening_time);
        const double open = part_opening + (1 - part_opening) * ramp;
        S valve(0);
        if (controls_idle()) valve = control_idle(v, open);
        else v.rate(learned) = S(0);
        const S effective = leak_area + discharge * area(open) + idle_area * valve;
        const auto &a = v[from], &b = v[to];
        const S m = orifice_flow(a, b, effective, linear_below);
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;
        v.output(flow_rate, m);
        v.output(opening, open);
        v.output(effective_area, effective);
        v.output(idle_valve, valve);
        v.output(drop, a.p - b.p);
    }
};

}  // namespace
}  // namespace pullcast::gas

const pullcast::ComponentType* gas_throttle() {
    return pullcast::component<pullcast::gas::Throttle<false>>("gas.throttle");
}
const pullcast::ComponentType* gas_throttle_slide() {
    return pullcast::component<pullcast::gas::Throttle<true>>("gas.throttle_slide");
}

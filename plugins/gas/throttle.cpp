/// The throttle, shut until the pull starts and then opened along a ramp. Transports; holds nothing.
///
///     CdA = leak_area + Cd A(opening)
///     A = pi D^2 / 4 (1 - cos(psi) / cos(psi0))    gas.throttle: thin plate without its shaft; psi0 shut, psi from
///                                                  psi0 to the open angle (Heywood eq. 7.18, from memory)
///     A = opening A_open                           gas.throttle_slide: slide, barrel, or a set of plates as one area
///     opening = s^3 (10 - 15 s + 6 s^2),  s = (t - pull_start) / opening_time within 0 .. 1
///
/// Flow through the area: orifice.hpp. The ramp has no corner in slope or curvature; its start is a breakpoint.
#include <numbers>

#include "components.hpp"
#include "orifice.hpp"

namespace pullcast::gas {
namespace {

template <bool slide>
struct Throttle {
    double bore, shut_angle, open_angle, open_area, discharge, leak_area, opening_time, pull_start, linear_below;
    End<Gas> from, to;
    Output flow_rate, opening, effective_area, drop;

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
        s.number(&Throttle::leak_area, "leak_area", "m^2", "effective area that stays open when shut (idle air)")
            .in(1e-9, 0.01).preset(2e-5);
        s.number(&Throttle::opening_time, "opening_time", "s", "time from shut to open").in(0.01, 30).preset(0.2);
        s.number(&Throttle::pull_start, "pull_start", "s", "time at which it starts to open")
            .common("pull_start").preset(0).breakpoint();
        s.number(&Throttle::linear_below, "linear_below", "1", "1 - pressure ratio below which flow turns linear in it")
            .in(1e-6, 0.05).preset(0.002);
        s.end(&Throttle::from, "from", "upstream side");
        s.end(&Throttle::to, "to", "downstream side");
        s.output(&Throttle::flow_rate, "flow", "kg/s", "mass flow");
        s.output(&Throttle::opening, "opening", "1", "0 shut, 1 open");
        s.output(&Throttle::effective_area, "effective_area", "m^2", "area times discharge coefficient, with the leak");
        s.output(&Throttle::drop, "pressure_drop", "Pa", "pressure at `from` minus pressure at `to`");
    }

    Problem prepare() {
        if constexpr (!slide)
            if (open_angle <= shut_angle) return {"open_angle", "must be larger than shut_angle"};
        return {};
    }

    double area(double open) const {
        if constexpr (slide) return open * open_area;
        const double psi = shut_angle + open * (open_angle - shut_angle);
        return 0.25 * std::numbers::pi * bore * bore * (1 - std::cos(psi) / std::cos(shut_angle));
    }

    void flow(auto v) const {
        const double open = soft_step(v.time(), pull_start, pull_start + opening_time);
        const double effective = leak_area + discharge * area(open);
        const auto &a = v[from], &b = v[to];
        const auto m = orifice_flow(a, b, effective, linear_below);
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;
        v.output(flow_rate, m);
        v.output(opening, open);
        v.output(effective_area, effective);
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

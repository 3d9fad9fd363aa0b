/// Bypass valve from the blower's outlet back to its inlet. Transports; its state is the valve's position.
///
///     lag dx/dt = target - x                                         x: 0 shut, 1 open
///     target = 1 - (1 - a)(1 - b)                                    either cause opens it
///     a = step(p_ambient - p_manifold; shut_vacuum .. open_vacuum)   the diaphragm on manifold vacuum
///     b = step(p_manifold - p_ambient; boost_limit .. boost_limit + boost_band)
///     CdA = leak_area + x area                                       flow: orifice.hpp
///
/// `step` is the C2 step of smooth.hpp. The diaphragm, its spring and the vacuum line are one first-order lag (common
/// practice, no source). gas.bypass_blanked is the valve removed and the port closed: only the leak remains.
#include "components.hpp"
#include "orifice.hpp"

namespace pullcast::gas {
namespace {

struct Bypass {
    double area, leak_area, shut_vacuum, open_vacuum, boost_limit, boost_band, lag, linear_below;
    End<Gas> from, to;
    Sees<Gas> manifold, ambient;
    State position;
    Output flow_rate, opening;

    static void describe(Schema<Bypass>& s) {
        s.role = "bypass";
        s.summary = "transports: valve opened by manifold vacuum and at a boost limit, with a lag";
        s.reference = "isentropic nozzle relations; actuator as a first-order lag (common practice, no source)";
        s.validity = "quasi-steady flow, ratio of heats 1.4, both flow directions";
        s.number(&Bypass::area, "area", "m^2", "effective area fully open").in(0, 0.02).preset(4e-4);
        s.number(&Bypass::leak_area, "leak_area", "m^2", "effective area that stays open when shut")
            .in(0, 0.01).preset(0);
        s.number(&Bypass::shut_vacuum, "shut_vacuum", "Pa", "manifold vacuum below which the valve is shut")
            .in(0, 1e5).preset(1e4);
        s.number(&Bypass::open_vacuum, "open_vacuum", "Pa", "manifold vacuum above which the valve is open")
            .in(0, 1e5).preset(4e4);
        s.number(&Bypass::boost_limit, "boost_limit", "Pa",
                 "boost above ambient at which it starts to open; preset: none")
            .in(0, 1e7).preset(1e6);
        s.number(&Bypass::boost_band, "boost_band", "Pa", "rise above the limit that opens it fully")
            .in(100, 1e6).preset(2e4);
        s.number(&Bypass::lag, "lag", "s", "time constant of the actuator").in(0.005, 10).preset(0.1);
        s.number(&Bypass::linear_below, "linear_below", "1", "1 - pressure ratio below which flow turns linear in it")
            .in(1e-6, 0.05).preset(0.002);
        s.end(&Bypass::from, "from", "after the blower");
        s.end(&Bypass::to, "to", "before the blower");
        s.sees(&Bypass::manifold, "manifold", "where the actuator takes its pressure");
        s.sees(&Bypass::ambient, "ambient", "the other side of the diaphragm");
        s.state(&Bypass::position, "position", "1", 1, "0 shut, 1 open");
        s.output(&Bypass::flow_rate, "flow", "kg/s", "mass flow from `from` to `to`");
        s.output(&Bypass::opening, "opening", "1", "0 shut, 1 open");
    }

    Problem prepare() {
        return open_vacuum > shut_vacuum ? Problem{} : Problem{"open_vacuum", "must be larger than shut_vacuum"};
    }

    void start(Start x) const { x[position] = 0; }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S vacuum = v[ambient].p - v[manifold].p;
        const S by_vacuum = soft_step(vacuum, shut_vacuum, open_vacuum);
        const S by_boost = soft_step(S(-vacuum), boost_limit, boost_limit + boost_band);
        v.rate(position) = (1 - (1 - by_vacuum) * (1 - by_boost) - v[position]) / lag;

        const auto &a = v[from], &b = v[to];
        const S m = orifice_flow(a, b, S(leak_area + area * v[position]), linear_below);
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;
        v.output(flow_rate, m);
        v.output(opening, v[position]);
    }
};

struct Blanked {
    double leak_area, linear_below;
    End<Gas> from, to;
    Sees<Gas> manifold, ambient;
    Output flow_rate, opening;

    static void describe(Schema<Blanked>& s) {
        s.role = "bypass";
        s.summary = "transports: no bypass valve, only a stated leak";
        s.reference = "isentropic nozzle relations";
        s.validity = "quasi-steady flow, ratio of heats 1.4, both flow directions";
        s.number(&Blanked::leak_area, "leak_area", "m^2", "effective area of the leak").in(0, 0.01).preset(0);
        s.number(&Blanked::linear_below, "linear_below", "1", "1 - pressure ratio below which flow turns linear in it")
            .in(1e-6, 0.05).preset(0.002);
        s.end(&Blanked::from, "from", "after the blower");
        s.end(&Blanked::to, "to", "before the blower");
        s.sees(&Blanked::manifold, "manifold", "not used by this model").optional();
        s.sees(&Blanked::ambient, "ambient", "not used by this model").optional();
        s.output(&Blanked::flow_rate, "flow", "kg/s", "mass flow from `from` to `to`");
        s.output(&Blanked::opening, "opening", "1", "0: it has no valve");
    }

    void flow(auto v) const {
        const auto &a = v[from], &b = v[to];
        const auto m = orifice_flow(a, b, leak_area, linear_below);
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;
        v.output(flow_rate, m);
        v.output(opening, 0);
    }
};

}  // namespace
}  // namespace pullcast::gas

const pullcast::ComponentType* gas_bypass() { return pullcast::component<pullcast::gas::Bypass>("gas.bypass"); }
const pullcast::ComponentType* gas_bypass_blanked() {
    return pullcast::component<pullcast::gas::Blanked>("gas.bypass_blanked");
}

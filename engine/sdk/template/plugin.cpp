// A restriction whose loss is linear in flow: a long, fine screen. Copy this file, rename, and change the physics.
//
//   m = rho_mean dp / resistance          dp = p_from - p_to
//
// Reference: Darcy's law for laminar flow through a porous layer. Valid: while the flow in the screen stays laminar.
#include <pullcast/sdk.hpp>

namespace {
using namespace pullcast;

struct Screen {
    double resistance;        // Pa s/kg at the reference density
    double reference_density;
    End<Gas> from, to;
    Output flow_rate, drop;

    static void describe(Schema<Screen>& s) {
        s.role = "restriction";  // any rig's restriction can be swapped for it
        s.summary = "transports gas through a fine screen, loss linear in flow";
        s.reference = "Darcy's law";
        s.validity = "laminar flow in the screen";
        s.number(&Screen::resistance, "resistance", "Pa s/kg", "pressure loss over mass flow").positive();
        s.number(&Screen::reference_density, "reference_density", "kg/m^3", "gas density at which the resistance holds")
            .positive().preset(1.2);
        s.end(&Screen::from, "from", "upstream node for positive flow");
        s.end(&Screen::to, "to", "downstream node for positive flow");
        s.output(&Screen::flow_rate, "flow", "kg/s", "mass flow");
        s.output(&Screen::drop, "pressure_drop", "Pa", "pressure at `from` minus pressure at `to`");
    }
    void flow(auto v) const {
        const auto &a = v[from], &b = v[to];
        const auto m = 0.5 * (a.rho + b.rho) / reference_density * (a.p - b.p) / resistance;
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;  // what only people need
        v.output(flow_rate, m);
        v.output(drop, a.p - b.p);
    }
};

}  // namespace

PULLCAST_PLUGIN(my_plugin, "0.1.0", component<Screen>("my.screen"));

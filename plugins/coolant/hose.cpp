/// Hose of N cells in a row. Transports, and stores the energy of the coolant in it; carries its mass flow as a state.
///
///   (l/A) dm/dt = p_from - p_to - dp(m)
///   dE_k/dt = H_(k-1/2) - H_(k+1/2) - (loss l/N) (T_k - T_surroundings),   H = m h_upstream
///
/// The flow is the same all along, so the coolant mass in a cell is constant. N well-mixed cells in a row smear a
/// front: a step comes out as the Erlang distribution of order N, with mean delay M/m and spread (M/m)/sqrt(N).
///
/// Reference: tanks in series (chemical engineering textbooks, from memory); friction as in friction.hpp.
/// Validity: rigid wall for mass, wall heat capacity left out, no natural convection along the hose.
#include <pullcast/media/coolant.hpp>

#include "components.hpp"
#include "friction.hpp"

namespace {
using namespace coolant_family;

struct Hose {
    double length, bore, fittings, loss, start_flow, start_temperature, glycol, flow_width;
    std::int32_t cells;
    State mass_flow;
    States energy;
    End<Coolant> from, to;
    End<Heat> surroundings;
    Output flow_out, drop, outlet_temperature;
    media::CoolantMix mix;
    Line line;
    double cell_mass, inertance, cell_loss;  // kg, 1/m, W/K

    static void describe(Schema<Hose>& s) {
        s.role = "hose";
        s.summary = "transports coolant with its delay, and stores it: N well-mixed cells";
        s.reference = "tanks in series; Blasius and Hagen-Poiseuille friction";
        s.validity = "Re < 1e5, rigid wall without heat capacity";
        s.number(&Hose::length, "length", "m", "length").positive().preset(1.5);
        s.number(&Hose::bore, "bore", "m", "inner diameter").positive().preset(0.019);
        s.number(&Hose::fittings, "fittings", "1", "sum of loss coefficients of bends and fittings")
            .non_negative().preset(2);
        s.number(&Hose::loss, "loss", "W/(m K)", "heat loss per length to the surroundings").non_negative().preset(0.8);
        s.integer(&Hose::cells, "cells", "number of cells").in(1, 64).preset(6);
        s.number(&Hose::start_flow, "start_flow", "kg/s", "mass flow at the start")
            .common("start_coolant_flow").preset(0);
        s.number(&Hose::start_temperature, "start_temperature", "K", "coolant temperature at the start")
            .in(230, 400).common("start_coolant_temperature").preset(298.15);
        s.number(&Hose::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.number(&Hose::flow_width, "flow_width", "kg/s", "rounding of flow reversal").positive().preset(1e-3);
        s.state(&Hose::mass_flow, "mass_flow", "kg/s", 0.3, "mass flow from -> to");
        s.states(&Hose::energy, &Hose::cells, "energy", "J", 1e4, "energy of the coolant in each cell");
        s.end(&Hose::from, "from", "one end");
        s.end(&Hose::to, "to", "other end");
        s.end(&Hose::surroundings, "surroundings", "what the hose loses heat to; insulated where left open").optional();
        s.output(&Hose::flow_out, "flow", "m^3/s", "volume flow");
        s.output(&Hose::drop, "pressure_drop", "Pa", "friction pressure drop");
        s.output(&Hose::outlet_temperature, "outlet_temperature", "K", "temperature of the last cell");
    }
    Problem prepare() {
        mix = media::coolant(glycol);
        line = {length, bore, fittings, flow_width};
        inertance = length / line.area();
        cell_mass = mix.rho(start_temperature) * line.area() * length / cells;
        cell_loss = loss * length / cells;
        return {};
    }
    void start(Start v) const {
        v[mass_flow] = start_flow;
        for (std::int32_t k = 0; k < cells; ++k) v[cell(k)] = cell_mass * mix.h(start_temperature);
    }
    Stock stored(Held v) const {
        Stock all{.coolant = cell_mass * cells};
        for (std::int32_t k = 0; k < cells; ++k) all.energy += v[cell(k)];
        return all;
    }
    State cell(std::int32_t k) const { return energy[static_cast<std::uint32_t>(k)]; }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const auto &a = v[from], &b = v[to];
        const S m = v[mass_flow];
        S here = v[cell(0)] / cell_mass, total(0);
        S entering = upwind(m, a.h, here, flow_width);
        v.put(from, {-m, -entering});
        for (std::int32_t k = 0; k < cells; ++k) {
            const S next = k + 1 < cells ? S(v[cell(k + 1)] / cell_mass) : b.h;
            const S leaving = upwind(m, here, next, flow_width);
            v.rate(cell(k)) = entering - leaving - heat_loss(v, here);
            total += here, entering = leaving, here = next;
        }
        v.put(to, {m, entering});

        const S T = mix.T_of_h(S(total / cells)), rho = mix.rho(T), dp = line.pressure_drop(m, rho, mix.mu(T));
        v.rate(mass_flow) = (a.p - b.p - dp) / inertance;
        if (!v.recording()) return;
        v.output(flow_out, m / rho);
        v.output(drop, dp);
        v.output(outlet_temperature, mix.T_of_h(S(v[cell(cells - 1)] / cell_mass)));
    }
    /// Heat that a cell of enthalpy `h` gives to the surroundings, delivered there.
    auto heat_loss(auto v, const auto& h) const {
        using S = typename decltype(v)::Scalar;
        if (!v.connected(surroundings)) return S(0);
        const S Q = cell_loss * (mix.T_of_h(h) - v[surroundings].T);
        v.put(surroundings, {Q});
        return Q;
    }
};

}  // namespace

const pullcast::ComponentType* coolant_hose() { return component<Hose>("coolant.hose"); }

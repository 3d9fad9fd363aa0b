/// What both front exchangers share: a row of N coolant cells crossed by outside air, each air strip unmixed.
///
/// Air side, exact for a strip that meets coolant of one temperature (coolant mixed across, air unmixed):
///   G = C_a (1 - exp(-UA / C_a))                             heat per kelvin between coolant and entering air
/// Coolant side, cell k of enthalpy h_k between the temperatures T_up (upstream) and T_k:
///   q_k = G/N (T* - T_a),  T* = T_k + phi(x) (T_up - T_k),  phi(x) = 1/x - 1/(e^x - 1),  x = G / (N cp |m|)
/// The weight phi makes the steady row exact for any N: T_k - T_a = (T_up - T_a) e^-x, so that over all cells
///   effectiveness on the coolant side = 1 - exp(-G / (cp |m|)),
/// the crossflow relation for coolant mixed and air unmixed (Incropera et al., ch. 11), whichever has the lesser C.
/// phi goes to 0 as the flow stops (a cell then cools by itself) and to 1/2 at high flow.
/// A metal lump hangs on each cell through the coolant-side conductance; it delays and does not shift the steady state.
///   m = m_r signed_sqrt(dp / dp_r)                           coolant flow from a rated point
#pragma once
#include <cmath>
#include <pullcast/media/coolant.hpp>
#include <pullcast/media/moist_air.hpp>
#include <pullcast/sdk.hpp>

namespace coolant_family {
using namespace pullcast;

template <class S> S upstream_weight(const S& x) {
    using std::expm1;
    if (value(x) < 0.01) return 0.5 - x / 12 + x * x * x / 720;
    if (value(x) > 40) return 1 / x;
    return 1 / x - 1 / expm1(x);
}

struct Crossflow {
    double face_area, face_velocity, blocked_fraction, still_air, coolant_volume, metal_capacity;
    double rated_flow, rated_drop, drop_width, flow_floor, start_temperature, glycol;
    std::int32_t cells;
    States energy, metal;
    End<Coolant> from, to;
    Sees<Gas> outside;
    Sees<Signal> airflow;
    Account heat_to_outside_air;
    Output heat, effectiveness, coolant_in, coolant_out, flow_out;
    media::CoolantMix mix;
    double cell_mass, rated_mass_flow;

    template <class C> static void describe_crossflow(Schema<C>& s) {
        s.role = "front_exchanger";
        s.number(&C::face_velocity, "face_velocity", "m/s", "air speed at the face, where no airflow is attached")
            .non_negative().preset(3);
        s.number(&C::blocked_fraction, "blocked_fraction", "1", "share of the face without airflow")
            .in(0, 0.95).preset(0);
        s.number(&C::still_air, "still_air", "m/s", "least air speed: natural draught").positive().preset(0.1);
        s.number(&C::rated_flow, "rated_flow", "m^3/s", "coolant flow at rated_drop").positive().preset(3.33e-4);
        s.number(&C::rated_drop, "rated_drop", "Pa", "coolant pressure drop at rated_flow")
            .positive().preset(8e3);
        s.number(&C::drop_width, "drop_width", "1", "rounding of the root at no flow, of rated_drop")
            .positive().preset(1e-3);
        s.number(&C::flow_floor, "flow_floor", "1", "flow below which heat transfer stays laminar, of rated_flow")
            .in(1e-4, 0.5).preset(0.05);
        s.integer(&C::cells, "cells", "cells along the coolant path").in(1, 32).preset(6);
        s.number(&C::start_temperature, "start_temperature", "K", "coolant and metal temperature at the start")
            .in(230, 400).common("start_coolant_temperature").preset(298.15);
        s.number(&C::glycol, "glycol", "1", "glycol by volume").in(0, 0.6).common("glycol").preset(0.5);
        s.states(&C::energy, &C::cells, "energy", "J", 1e4, "energy of the coolant in each cell");
        s.states(&C::metal, &C::cells, "metal", "K", 300, "temperature of the metal of each cell");
        s.template end<Coolant>(&C::from, "from", "inlet");
        s.template end<Coolant>(&C::to, "to", "outlet");
        s.template sees<Gas>(&C::outside, "outside", "outside air in front of it");
        s.template sees<Signal>(&C::airflow, "airflow", "air speed at the face, m/s").optional();
        s.account(&C::heat_to_outside_air, "heat_to_outside_air", Ledger::energy,
                  "heat from the outside air (negative: given to it)");
        s.output(&C::heat, "heat", "W", "heat from the coolant to the outside air");
        s.output(&C::effectiveness, "effectiveness", "1", "coolant cooling over its largest possible (coolant side)");
        s.output(&C::coolant_in, "coolant_in", "K", "coolant entering");
        s.output(&C::coolant_out, "coolant_out", "K", "coolant leaving");
        s.output(&C::flow_out, "flow", "m^3/s", "coolant flow");
    }
    /// After coolant_volume, metal_capacity and face_area are known.
    void prepare_crossflow() {
        mix = media::coolant(glycol);
        cell_mass = mix.rho(start_temperature) * coolant_volume / cells;
        rated_mass_flow = mix.rho(start_temperature) * rated_flow;
    }
    static State cell(States row, std::int32_t k) { return row[static_cast<std::uint32_t>(k)]; }
    void start(Start v) const {
        for (std::int32_t k = 0; k < cells; ++k) {
            v[cell(energy, k)] = cell_mass * mix.h(start_temperature);
            v[cell(metal, k)] = start_temperature;
        }
    }
    Stock stored(Held v) const {
        Stock all{.coolant = cell_mass * cells};
        for (std::int32_t k = 0; k < cells; ++k)
            all.energy += v[cell(energy, k)] + metal_capacity / cells * v[cell(metal, k)];
        return all;
    }

    /// What the air does at this moment: its speed in the open part, and its heat capacity rate.
    template <class S> struct Air { S speed, capacity_rate, T; };
    auto air(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt;
        const auto& o = v[outside];
        const S face = v.connected(airflow) ? v[airflow].value : S(face_velocity);
        const S speed = sqrt(face * face + still_air * still_air);
        const S rate = o.rho * media::specific_heat(o.T, o.w) * speed * (face_area * (1 - blocked_fraction));
        return Air<S>{speed, rate, o.T};
    }
    auto coolant_flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        return S(rated_mass_flow * signed_sqrt(S((v[from].p - v[to].p) / rated_drop), drop_width));
    }
    /// |m| / m_r, held above about `flow_floor`; exactly 1 at the rated flow.
    template <class S> S relative_flow(const S& m) const {
        using std::sqrt;
        const S r = m / rated_mass_flow;
        return sqrt((r * r + flow_floor * flow_floor) / (1 + flow_floor * flow_floor));
    }
    /// Moves coolant and heat: `UA` overall and `metal_conductance` coolant to metal, both W/K of the whole exchanger.
    template <class V, class S>
    void exchange(V v, const S& m, const Air<S>& a, const S& UA, const S& metal_conductance) const {
        using std::expm1, std::sqrt;
        const double width = 1e-3 * rated_mass_flow;
        const S G = -a.capacity_rate * expm1(-UA / a.capacity_rate), size = sqrt(m * m + width * width);
        const S direction = m / size, phi = upstream_weight(S(G / (cells * mix.cp(mean_temperature(v)) * size)));
        const auto &first = v[from], &last = v[to];
        S before = first.T, here_h = v[cell(energy, 0)] / cell_mass, here = mix.T_of_h(here_h), total(0);
        S entering = upwind(m, first.h, here_h, width);
        v.put(from, {-m, -entering});
        for (std::int32_t k = 0; k < cells; ++k) {
            const bool end = k + 1 == cells;
            const S next_h = end ? last.h : S(v[cell(energy, k + 1)] / cell_mass);
            const S next = end ? last.T : mix.T_of_h(next_h);
            const S leaving = upwind(m, here_h, next_h, width);
            const S up = 0.5 * ((1 + direction) * (before - here) + (1 - direction) * (next - here));  // T_up - T_k
            const S to_air = G / cells * (here + phi * up - a.T);
            const S to_metal = metal_conductance / cells * (here - v[cell(metal, k)]);
            v.rate(cell(energy, k)) = entering - leaving - to_air - to_metal;
            v.rate(cell(metal, k)) = to_metal / (metal_capacity / cells);
            total += to_air, entering = leaving, before = here, here = next, here_h = next_h;
        }
        v.put(to, {m, entering});
        v.rate(heat_to_outside_air) = -total;
        if (v.recording()) report(v, value(m), value(total));
    }

private:
    auto mean_temperature(auto v) const {
        using S = typename decltype(v)::Scalar;
        S sum(0);
        for (std::int32_t k = 0; k < cells; ++k) sum += v[cell(energy, k)];
        return mix.T_of_h(S(sum / (cell_mass * cells)));
    }
    void report(auto v, double m, double to_air) const {
        using S = typename decltype(v)::Scalar;
        const auto at = [&](std::int32_t k) { return value(mix.T_of_h(S(v[cell(energy, k)] / cell_mass))); };
        const double in = value(m >= 0 ? v[from].T : v[to].T), out = m >= 0 ? at(cells - 1) : at(0);
        const double span = in - value(v[outside].T);
        v.output(heat, S(to_air));
        v.output(effectiveness, S(std::fabs(span) > 0.1 ? (in - out) / span : 0));
        v.output(coolant_in, S(in));
        v.output(coolant_out, S(out));
        v.output(flow_out, S(m / mix.rho(in)));
    }
};

}  // namespace coolant_family

/// A core as a row of equal segments along the coolant's path. Each holds its metal and its coolant.
///
///     Cw/n dTw/dt = Qa - Qc - Qs         Qa = Ga (Ta_in - Tw),  Qc = Gc (Tw - Tc*)     (exchange.hpp)
///     dU/dt = m (h_in - h_out) + Qc      cell of constant mass, h_in from the side the coolant comes from
///     crossflow: every segment sees the charge as it enters; counterflow: it passes from the last segment to the first
///
/// Steady limit for any number of segments: crossflow with the charge unmixed and the coolant mixed over its section,
/// or counterflow. (The crossflow relation is "mixed Cmax, unmixed Cmin" or "mixed Cmin, unmixed Cmax" as the coolant
/// or the charge has the larger capacity rate.) The number matters for what moves: the slug of coolant that passes.
/// Tc* uses the neighbour upstream with a weight that vanishes with the coolant's flow, so reversal is smooth.
#pragma once
#include <pullcast/media/coolant.hpp>

#include "charge.hpp"
#include "exchange.hpp"

namespace pullcast::cooler {

struct Segments : Charge, CoolantPath, Surroundings {
    std::int32_t segments, arrangement = crossflow;
    double glycol, start_temperature, coolant_flow_width;
    States wall, coolant;
    Account heat_to_coolant;
    Output out_coolant_flow;
    media::CoolantMix mix;                       // derived, as are the next two
    double wall_capacity, cell_mass;             // J/K of the whole core, kg of one cell

    template <class C> static void describe_segments(Schema<C>& s, std::int32_t preset) {
        s.integer(&C::segments, "segments", "cells along the coolant's path").in(1, 50).preset(preset);
        s.number(&C::glycol, "glycol", "1", "ethylene glycol in the coolant, by volume").in(0, 0.6).common("glycol")
            .preset(0.5);
        s.number(&C::start_temperature, "start_coolant_temperature", "K", "core and coolant at the start")
            .in(233.15, 400).common("start_coolant_temperature").preset(298.15);
        s.number(&C::coolant_flow_width, "coolant_flow_width", "kg/s", "coolant flow about which it counts as standing")
            .in(1e-6, 0.01).preset(5e-4);
        s.states(&C::wall, &C::segments, "wall", "K", 300, "metal temperature");
        s.states(&C::coolant, &C::segments, "coolant", "J", 1e4, "energy of the coolant, zero at 0 degC");
        s.account(&C::heat_to_coolant, "heat_to_coolant", Ledger::meter, "heat from the core metal to the coolant");
    }
    template <class C> static void describe_coolant_flow(Schema<C>& s) {
        s.output(&C::out_coolant_flow, "coolant_flow", "kg/s", "coolant flow through the core");
    }

    void start(Start x) const {
        for (std::uint32_t k = 0; k < wall.n; ++k) {
            x[wall[k]] = start_temperature;
            x[coolant[k]] = cell_mass * mix.h(start_temperature);
        }
    }
    Stock stored(Held x) const {
        Stock s{.coolant = cell_mass * segments};
        for (std::uint32_t k = 0; k < wall.n; ++k) s.energy += wall_capacity / segments * x[wall[k]] + x[coolant[k]];
        return s;
    }

protected:
    void fill(double volume, double metal_capacity) {
        mix = media::coolant(glycol);
        cell_mass = mix.rho(313.15) * volume / segments;
        wall_capacity = metal_capacity;
    }
    /// Mean of the first and the last cell: where the coolant's properties are taken.
    template <class S, class V> S coolant_temperature(const V& v) const {
        return 0.5 * (cell_temperature<S>(v, 0) + cell_temperature<S>(v, segments - 1));
    }

    /// One evaluation of the core: charge, metal and coolant. hA in W/K for the whole core.
    template <class S, class V>
    void exchange(const V& v, const Air<S>& a, const S& coolant_mass_flow, const S& hA_air, const S& hA_coolant) const {
        const S& mc = coolant_mass_flow;
        const double share = 1.0 / segments;
        const bool coolant_ahead = value(mc) >= 0, rising = arrangement == crossflow || !a.ahead;
        const S Ca = arrangement == crossflow ? share * a.C : a.C;
        const S Cc = mix.cp(coolant_temperature<S>(v)) * smooth_size(mc, coolant_flow_width);
        const Segment<S> g =
            segment(S(share * hA_air), S(share * hA_coolant), Ca, Cc, arrangement, a.ahead != coolant_ahead);
        const S own = 1 - (1 - g.beta) * (mc * mc / (mc * mc + coolant_flow_width * coolant_flow_width));
        advect(v, mc);

        const std::int32_t step = rising ? 1 : -1, first = rising ? 0 : segments - 1;
        S Ta = a.T, heat(0), to_coolant(0), lost(0);
        S behind = cell_temperature<S>(v, first - step), here = cell_temperature<S>(v, first);
        for (std::int32_t i = 0, k = first; i < segments; ++i, k += step) {
            const S next = cell_temperature<S>(v, k + step);
            const S& upstream = coolant_ahead == rising ? behind : next;
            const S& Tw = v[wall[static_cast<std::uint32_t>(k)]];
            const S Qa = g.air * (Ta - Tw), Qs = loss(v, Tw, share);
            const S Qc = g.coolant * (Tw - upstream - own * (here - upstream));
            v.rate(wall[static_cast<std::uint32_t>(k)]) = (Qa - Qc - Qs) / (share * wall_capacity);
            v.rate(coolant[static_cast<std::uint32_t>(k)]) += Qc;
            if (arrangement == counterflow) Ta -= Qa / Ca;
            heat += Qa, to_coolant += Qc, lost += Qs;
            behind = here, here = next;
        }
        pass(v, a, heat);
        give_away(v, lost);
        v.rate(heat_to_coolant) = to_coolant;
        if (v.recording()) show(v, a, mc, heat);
    }

private:
    /// Of cell k; beyond the ends, of the coolant at the node there.
    template <class S, class V> S cell_temperature(const V& v, std::int32_t k) const {
        if (k < 0) return v[coolant_in].T;
        if (k >= segments) return v[coolant_out].T;
        return mix.T_of_h(S(v[coolant[static_cast<std::uint32_t>(k)]] / cell_mass));
    }
    /// Carries the coolant through the cells and sets their rates.
    template <class S, class V> void advect(const V& v, const S& mc) const {
        S h = v[coolant_in].h, H(0);
        for (std::uint32_t k = 0; k <= wall.n; ++k) {
            const S h_next = k < wall.n ? S(v[coolant[k]] / cell_mass) : v[coolant_out].h;
            const S H_next = upwind(mc, h, h_next, coolant_flow_width);
            if (k == 0) v.put(coolant_in, {-mc, -H_next});
            else v.rate(coolant[k - 1]) = H - H_next;
            h = h_next, H = H_next;
        }
        v.put(coolant_out, {mc, H});
    }
    template <class S, class V> void show(const V& v, const Air<S>& a, const S& mc, const S& heat) const {
        const bool ahead = value(mc) >= 0;
        double mean = 0;
        for (std::uint32_t k = 0; k < wall.n; ++k) mean += value(v[wall[k]]) / segments;
        const S in = cell_temperature<S>(v, ahead ? -1 : segments),
                out = cell_temperature<S>(v, ahead ? segments - 1 : 0);
        report(v, a, heat, value(in), value(out), mean);
        v.output(out_coolant_flow, mc);
    }
};

}  // namespace pullcast::cooler

/// What both breathing models share: the flow that leaves the manifold, and exhaust back pressure.
///
///   m = VE rho_m Vd omega / (4 pi)        four-stroke; rho_m density in the manifold
///   p_e = p_ambient + k m^2               k = rated_back_pressure / rated_exhaust_flow^2
///
/// VE stands for the engine alone, relative to manifold density (Heywood, Internal Combustion Engine Fundamentals,
/// 2.10, from memory). The square law of an exhaust system at nearly constant temperature: common practice, no source.
/// Gas that enters the cylinders leaves the rig; it comes back only if the crank turns backwards.
#pragma once
#include <numbers>
#include <pullcast/sdk.hpp>

namespace engine_family {
using namespace pullcast;

struct Breathing {
    double displacement, rated_back_pressure, rated_exhaust_flow;
    End<Gas> outlet;  // the same node as `manifold`
    Reads<Gas> manifold, ambient;
    Reads<Shaft> crank;
    Reads<Signal> lambda;
    Reads<Heat> metal;
    Node<Signal> air, exhaust_pressure;
    Account gas_out, water_out, energy_out;
    Output air_flow, volumetric_efficiency, ambient_volumetric_efficiency;

    template <class C> static void describe_breathing(Schema<C>& s) {
        s.role = "breathing";
        s.number(&C::displacement, "displacement", "m^3", "swept volume of all cylinders")
            .positive().common("displacement");
        s.number(&C::rated_back_pressure, "rated_back_pressure", "Pa", "exhaust pressure above ambient at rated flow")
            .non_negative().preset(30e3);
        s.number(&C::rated_exhaust_flow, "rated_exhaust_flow", "kg/s", "air flow of rated_back_pressure")
            .positive().preset(0.3);
        s.template end<Gas>(&C::outlet, "manifold", "gas before the ports");
        s.template reads<Gas>(&C::manifold, "manifold", "gas before the ports");
        s.template reads<Gas>(&C::ambient, "ambient", "air at the tail pipe");
        s.template reads<Shaft>(&C::crank, "crank", "crankshaft");
        s.signal(&C::air, "air", "kg/s", "moist gas into the cylinders");
        s.signal(&C::exhaust_pressure, "exhaust_pressure", "Pa", "absolute pressure at the exhaust ports");
        s.account(&C::gas_out, "gas", Ledger::gas, "gas (negative: into the cylinders)");
        s.account(&C::water_out, "water", Ledger::water, "vapour (negative: into the cylinders)");
        s.account(&C::energy_out, "energy", Ledger::energy, "enthalpy of the gas (negative: into the cylinders)");
        s.output(&C::air_flow, "air_flow", "kg/s", "moist gas into the cylinders");
        s.output(&C::volumetric_efficiency, "volumetric_efficiency", "1", "relative to manifold density");
        s.output(&C::ambient_volumetric_efficiency, "ambient_volumetric_efficiency", "1",
                 "relative to ambient density");
    }
    double back_pressure_factor() const { return rated_back_pressure / (rated_exhaust_flow * rated_exhaust_flow); }
    /// Flow at VE 1 and density `rho`.
    template <class S> S swept_flow(const S& rho, const S& omega) const {
        return rho * omega * (displacement / (4 * std::numbers::pi));
    }
    /// Publishes flow and exhaust pressure for a volumetric efficiency.
    template <class S> void breathe(const Publish<S>& v, const S& VE) const {
        const auto &m = v[manifold], &a = v[ambient];
        const S flow_in = VE * swept_flow(m.rho, v[crank].omega);
        v(air, {flow_in});
        v(exhaust_pressure, {a.p + back_pressure_factor() * flow_in * flow_in});
        if (!v.recording()) return;
        v.output(air_flow, flow_in);
        v.output(volumetric_efficiency, VE);
        v.output(ambient_volumetric_efficiency, S(VE * m.rho / a.rho));
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S m = v[air].value, H = m * v[outlet].h, water = m * v[outlet].w;
        v.put(outlet, {-m, -H, -water});
        v.rate(gas_out) = -m;
        v.rate(energy_out) = -H;
        v.rate(water_out) = -water;
    }
};

}  // namespace engine_family

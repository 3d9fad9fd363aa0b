/// No cooler: a plain duct in its place. Transports charge; stores the heat of its wall; coolant only passes through.
///
///     C dTw/dt = Q - Qs,   Q = Ca (1 - exp(-hA / Ca)) (T1 - Tw)        stream past a wall of one temperature, exact
///     Qs = UAs (Tw - Ts)
///
/// Steady limit: Q = E (T1 - Ts) with 1/E = 1/(Ca (1 - exp(-NTU))) + 1/UAs, NTU = hA / Ca: the effectiveness-NTU
/// relation of one stream on an isothermal wall (Incropera), in series with the outside; Q = 0 where nothing surrounds
/// the duct.
#include "charge.hpp"
#include "components.hpp"

namespace pullcast::cooler {
namespace {

struct Duct : Charge, CoolantPath, Surroundings {
    double conductance, metal_capacity, start_temperature;
    State wall;

    static void describe(Schema<Duct>& s) {
        s.summary = "transports: plain duct, no cooler; stores the heat of its wall";
        s.reference = "one stream past an isothermal wall (heat transfer textbooks)";
        s.validity = "wall of one temperature; hA as given at the flow that matters";
        describe_path(s);
        describe_coolant(s, false);
        describe_surroundings(s);
        describe_drop(s, 500);
        describe_coolant_drop(s);
        s.number(&Duct::conductance, "wall_conductance", "W/K", "h A between charge and wall").in(0, 1e4).preset(5);
        s.number(&Duct::metal_capacity, "metal_heat_capacity", "J/K", "wall mass times specific heat")
            .in(1, 1e6).preset(900);
        s.number(&Duct::start_temperature, "start_wall_temperature", "K", "wall at the start").in(200, 500)
            .common("start_temperature").preset(298.15);
        s.state(&Duct::wall, "wall", "K", 300, "wall temperature");
        describe_outputs(s);
    }

    void start(Start x) const { x[wall] = start_temperature; }
    Stock stored(Held x) const { return {.energy = metal_capacity * x[wall]}; }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::expm1;
        const Air<S> a = air<S>(v);
        const S& Tw = v[wall];
        const S heat = -a.C * expm1(-conductance / a.C) * (a.T - Tw), lost = loss(v, Tw, 1);
        pass(v, a, heat);
        give_away(v, lost);
        pass_coolant<S>(v);
        v.rate(wall) = (heat - lost) / metal_capacity;
        if (!v.recording()) return;
        const double medium = v.connected(coolant_in) ? value(v[coolant_in].T) : value(Tw);
        report(v, a, heat, medium, medium, value(Tw));
    }
};

}  // namespace
}  // namespace pullcast::cooler

const pullcast::ComponentType* cooler_duct() { return pullcast::component<pullcast::cooler::Duct>("cooler.duct"); }

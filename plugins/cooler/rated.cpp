/// A core known by one rated point: UA at a pair of flows. Transports charge, coolant; stores heat in metal, coolant.
///
///     1/UA0 = 1/hAa0 + 1/hAc0,   hAa0 = UA0 / air_share            air_share of the resistance is on the charge side
///     hAa = hAa0 (ma / ma0)^air_exponent
///     hAc = hAc0 ((mc^2 + ms^2) / (mc0^2 + ms^2))^(coolant_exponent / 2)     ms: keeps some of it in standing coolant
///     segments, arrangement and steady limit: segments.hpp
///
/// Power laws of forced convection: h ~ m^0.5 (louver and strip fins) and m^0.8 (turbulent duct); the properties at the
/// rated point are in UA0. Common practice, no source: 0.7 to 0.85 of the resistance on the charge side.
#include "components.hpp"
#include "segments.hpp"

namespace pullcast::cooler {
namespace {

struct Rated : Segments {
    double rated_conductance, air_share, air_exponent, coolant_exponent, still_flow, metal_capacity, coolant_volume;
    double hA_air0, hA_coolant0;  // derived

    static void describe(Schema<Rated>& s) {
        s.summary = "transports: charge cooled by coolant, from UA at a rated point; stores heat in metal and coolant";
        s.reference = "effectiveness-NTU method (Kays & London); power laws of forced convection; README.md";
        s.validity = "flows within about a factor of 3 of the rated point";
        describe_path(s);
        describe_coolant(s, true);
        describe_surroundings(s);
        s.number(&Rated::rated_conductance, "rated_conductance", "W/K", "UA, charge to coolant, at both rated flows")
            .in(1e-3, 1e5);
        describe_drop(s, 5000);
        describe_coolant_drop(s);
        describe_bypass(s);
        s.choice(&Rated::arrangement, "arrangement", "crossflow|counterflow",
                 "crossflow: charge unmixed, coolant mixed")
            .preset(crossflow);
        s.number(&Rated::air_share, "air_share", "1", "share of the resistance to heat on the charge side")
            .in(0.01, 0.99).preset(0.8);
        s.number(&Rated::air_exponent, "air_exponent", "1", "power of charge flow in hA").in(0, 1).preset(0.55);
        s.number(&Rated::coolant_exponent, "coolant_exponent", "1", "power of coolant flow in hA").in(0, 1).preset(0.8);
        s.number(&Rated::still_flow, "still_flow", "kg/s", "coolant flow whose hA remains in standing coolant")
            .in(1e-5, 1).preset(0.01);
        s.number(&Rated::metal_capacity, "metal_heat_capacity", "J/K", "core metal, mass times specific heat")
            .in(1, 1e6).preset(2700);
        s.number(&Rated::coolant_volume, "coolant_volume", "m^3", "coolant inside the core").in(1e-6, 0.1).preset(7e-4);
        describe_segments(s, 6);
        describe_outputs(s);
        describe_coolant_flow(s);
    }

    Problem prepare() {
        fill(coolant_volume, metal_capacity);
        hA_air0 = rated_conductance / air_share, hA_coolant0 = rated_conductance / (1 - air_share);
        return {};
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::pow;
        const Air<S> a = air<S>(v);
        const S mc = coolant_flow<S>(v);
        const double still = still_flow * still_flow, rated = coolant_rated_flow * coolant_rated_flow + still;
        exchange(v, a, mc, S(hA_air0 * pow(S(a.core / rated_flow), air_exponent)),
                 S(hA_coolant0 * pow(S((mc * mc + still) / rated), 0.5 * coolant_exponent)));
    }
};

}  // namespace
}  // namespace pullcast::cooler

const pullcast::ComponentType* cooler_rated() { return pullcast::component<pullcast::cooler::Rated>("cooler.rated"); }

/// Charge air against outside air in crossflow. Transports charge; stores the heat of the core metal; outside air takes
/// the heat out of the rig.
///
///     Co = face_velocity A rho cp,   hAo = hAo0 (u / u0)^x,   hAa = hAa0 (m / m0)^x,   1/UA = 1/hAa + 1/hAo
///     E  = Cmin eps(UA / Cmin, Cmin / Cmax)                      both streams unmixed, exact (exchange.hpp)
///     Qa = Ga (T1 - Tw),  Qo = Go (Tw - To),  1/Ga + 1/Go = 1/E  so that Qa = Qo = E (T1 - To) in the steady state
///     C dTw/dt = Qa - Qo - Qs
///
/// Steady limit: crossflow, both streams unmixed, for any flows. Ga is that of a wall of one temperature, as at the
/// start of a pull, as far as exchange.hpp says; Go carries the profile that the wall takes on later, cold in one
/// corner. NTU is held below 30. Power laws h ~ m^0.5 .. 0.6 of fin surfaces.
#include "charge.hpp"
#include "components.hpp"
#include "exchange.hpp"

namespace pullcast::cooler {
namespace {

struct AirToAir : Charge, CoolantPath, Surroundings {
    double rated_conductance, charge_share, exponent, face_area, face_velocity, rated_velocity, metal_capacity;
    double start_temperature;
    State wall;
    Account heat_to_outside;

    static void describe(Schema<AirToAir>& s) {
        s.summary = "transports: charge cooled by outside air; stores the heat of the core metal";
        s.reference = "effectiveness-NTU, crossflow with both streams unmixed (Kays & London); README.md";
        s.validity = "NTU below 30, flows within about a factor of 3 of the rated point";
        describe_path(s, true);
        describe_coolant(s, false);
        describe_surroundings(s);
        describe_drop(s, 6000);
        describe_bypass(s);
        describe_coolant_drop(s);
        s.number(&AirToAir::rated_conductance, "rated_conductance", "W/K", "UA at rated flow and rated velocity")
            .in(1e-3, 1e5);
        s.number(&AirToAir::charge_share, "air_share", "1", "share of the resistance to heat on the charge side")
            .in(0.01, 0.99).preset(0.5);
        s.number(&AirToAir::exponent, "flow_exponent", "1", "power of either flow in hA").in(0, 1).preset(0.55);
        s.number(&AirToAir::face_area, "face_area", "m^2", "face that outside air passes").in(1e-4, 5).preset(0.12);
        s.number(&AirToAir::face_velocity, "face_velocity", "m/s", "outside air onto the face").in(0.05, 80).preset(6);
        s.number(&AirToAir::rated_velocity, "rated_velocity", "m/s", "face velocity of the rated point").in(0.05, 80)
            .preset(10);
        s.number(&AirToAir::metal_capacity, "metal_heat_capacity", "J/K", "core metal, mass times specific heat")
            .in(1, 1e6).preset(4500);
        s.number(&AirToAir::start_temperature, "start_wall_temperature", "K", "core metal at the start").in(200, 500)
            .common("start_temperature").preset(298.15);
        s.state(&AirToAir::wall, "wall", "K", 300, "core metal temperature");
        s.account(&AirToAir::heat_to_outside, "outside_air", Ledger::energy, "heat from outside air: negative in use");
        describe_outputs(s);
    }

    void start(Start x) const { x[wall] = start_temperature; }
    Stock stored(Held x) const { return {.energy = metal_capacity * x[wall]}; }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::pow, std::expm1;
        const Air<S> a = air<S>(v);
        const auto& o = v[outside];
        const S& Tw = v[wall];
        const S Co = face_velocity * face_area * o.rho * media::specific_heat(o.T, o.w);
        const S hAa = rated_conductance / charge_share * pow(S(a.core / rated_flow), exponent);
        const S hAo = S(rated_conductance / (1 - charge_share) * std::pow(face_velocity / rated_velocity, exponent));
        const S UA = hAa * hAo / (hAa + hAo), E = conductance(UA, a.C, Co);
        const S wall_air = -a.C * expm1(-hAa / a.C), wall_out = -Co * expm1(-hAo / Co);
        const S k = late(S(UA / a.C)), r = (1 - k) * wall_out * (1 / E - 1 / wall_air);
        const S Go = wall_out / (r + k), Ga = E * Go / (Go - E);
        const S heat = Ga * (a.T - Tw), given = Go * (Tw - o.T), lost = loss(v, Tw, 1);
        pass(v, a, heat);
        give_away(v, lost);
        pass_coolant<S>(v);
        v.rate(wall) = (heat - given - lost) / metal_capacity;
        v.rate(heat_to_outside) = -given;
        if (v.recording()) report(v, a, heat, value(o.T), value(S(o.T + given / Co)), value(Tw));
    }

private:
    /// E in W/K.
    template <class S> static S conductance(const S& UA, const S& Ca, const S& Co) {
        const bool charge_less = value(Ca) < value(Co);
        const S& low = charge_less ? Ca : Co;
        const S& high = charge_less ? Co : Ca;
        return low * both_unmixed(soft_min(S(UA / low), S(30), 1e-2), S(low / high));
    }
};

}  // namespace
}  // namespace pullcast::cooler

const pullcast::ComponentType* cooler_air_to_air() {
    return pullcast::component<pullcast::cooler::AirToAir>("cooler.air_to_air");
}

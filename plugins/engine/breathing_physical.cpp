/// Breathing from geometry and temperatures. Transports gas out of the manifold.
///
///   VE = VE_peak F_Z F_T F_f B
///   F_Z = 1 / (1 + (Z/Z_half)^4)        inlet Mach index Z = (B/D)^2 / n_v  Sp / (C_i a),  Sp = stroke omega/pi
///   F_T = sqrt(T/T_ref) T / (T + e_p (T_port - T_port,ref))    charge heating: air mass ~ T^-1/2 at constant p
///   F_f = T / (T - dT) / (1 + f x M_air/M_fuel)    f realised share of evaporation, x fuel per moist gas
///   dT  = f x h_fg / (cp + x c_vapour)
///   B   = r/(r - 1) - (p_e/p + g - 1) / (g (r - 1))               residual gas, Heywood eq. 6.2
///   p_e = p_a + k m^2,   m = VE rho Vd omega / (4 pi)
/// m stands on both sides; with c = everything before B, b = 1/(g (r - 1) p), B0 = B at p_e = p_a (held above 0.1):
///   c b k m^2 + m - c B0 = 0   =>   m = 2 c B0 / (1 + sqrt(1 + 4 c^2 b k B0)),  so that B = 2 B0 / (1 + sqrt(...))
///
/// Reference: Heywood eq. 6.2 and 6.2.4 (T^1/2 law); Taylor (Mach index: VE flat to Z 0.5, about two thirds of it at
/// Z = 1, which Z_half = 1.19 gives): from memory. That VE drops sharply above Z = 0.5: JSME Mechanical Engineering
/// Dictionary 11:1002813. Validity: no wave tuning (VE_peak is a constant), Z below about 1, four-stroke.
#include <cmath>
#include <pullcast/media/fuel.hpp>
#include <pullcast/media/moist_air.hpp>

#include "breathing.hpp"
#include "components.hpp"

namespace {
using namespace engine_family;

constexpr double gamma_cylinder = 1.3, bracket_floor = 0.1, bracket_width = 1e-3;

struct BreathingPhysical : Breathing {
    double peak, bore, stroke, compression_ratio, valve_diameter, valve_coefficient, half_index;
    double reference_temperature, port_reference, port_heating;
    double fuel_afr, latent_heat, fuel_vapour_density, realised_evaporation;
    std::int32_t inlet_valves;
    Output mach_index, heating_factor, fuel_factor, residual_factor, evaporation_cooling;

    static void describe(Schema<BreathingPhysical>& s) {
        s.summary = "transports gas into the cylinders: Mach index, charge heating, residual gas, fuel evaporation";
        s.reference = "Heywood eq. 6.2 and 6.2.4, Taylor's inlet Mach index (from memory)";
        s.validity = "no wave tuning; inlet Mach index below about 1";
        describe_breathing(s);
        s.reads<Signal>(&BreathingPhysical::lambda, "lambda", "air-fuel ratio over stoichiometric");
        s.reads<Heat>(&BreathingPhysical::metal, "metal", "port walls; at their reference where left open").optional();
        describe_engine(s);
        describe_fuel(s);
        describe_outputs(s);
    }
    static void describe_engine(Schema<BreathingPhysical>& s) {
        using C = BreathingPhysical;
        s.number(&C::peak, "peak_efficiency", "1", "VE at low Mach index, reference temperatures, p_e = p, dry")
            .in(0.3, 1.3).preset(0.95);
        s.number(&C::bore, "bore", "m", "cylinder bore").positive().common("bore");
        s.number(&C::stroke, "stroke", "m", "stroke").positive().common("stroke");
        s.number(&C::compression_ratio, "compression_ratio", "1", "compression ratio")
            .in(5, 20).common("compression_ratio");
        s.integer(&C::inlet_valves, "inlet_valves", "inlet valves a cylinder").in(1, 3).preset(2);
        s.number(&C::valve_diameter, "valve_diameter", "m", "inlet valve head").positive().preset(0.035);
        s.number(&C::valve_coefficient, "valve_coefficient", "1", "mean flow coefficient C_i of the inlet")
            .in(0.1, 1).preset(0.35);
        s.number(&C::half_index, "half_index", "1", "Mach index that halves VE").positive().preset(1.19);
        s.number(&C::reference_temperature, "reference_temperature", "K", "charge temperature of peak_efficiency")
            .positive().preset(310);
        s.number(&C::port_reference, "port_reference", "K", "port temperature of peak_efficiency")
            .positive().preset(363);
        s.number(&C::port_heating, "port_heating", "1", "charge warming per kelvin of hotter port")
            .in(0, 1).preset(0.1);
    }
    static void describe_fuel(Schema<BreathingPhysical>& s) {
        using C = BreathingPhysical;
        constexpr auto& preset = media::gasoline;
        s.number(&C::fuel_afr, "fuel_afr", "1", "stoichiometric air-fuel ratio")
            .positive().common("fuel_afr").preset(preset.stoichiometric_afr);
        s.number(&C::latent_heat, "fuel_latent_heat", "J/kg", "heat of vaporisation of the fuel")
            .in(0, 2.5e6).common("fuel_latent_heat").preset(preset.latent_heat);
        s.number(&C::fuel_vapour_density, "fuel_vapour_density", "1", "fuel vapour over air, by molar mass")
            .in(0.5, 10).common("fuel_vapour_density").preset(preset.vapour_density);
        s.number(&C::realised_evaporation, "realised_evaporation", "1", "share of the fuel that the charge evaporates")
            .in(0, 1).common("realised_evaporation").preset(0.25);
    }
    static void describe_outputs(Schema<BreathingPhysical>& s) {
        using C = BreathingPhysical;
        s.output(&C::mach_index, "mach_index", "1", "inlet Mach index")
            .warn_above(1, "inlet Mach index above 1: volumetric efficiency is a guess here");
        s.output(&C::heating_factor, "heating_factor", "1", "VE factor of charge heating");
        s.output(&C::fuel_factor, "fuel_factor", "1", "VE factor of fuel evaporation and vapour");
        s.output(&C::residual_factor, "residual_factor", "1", "VE factor of residual gas");
        s.output(&C::evaporation_cooling, "evaporation_cooling", "dK", "charge cooling by evaporation");
    }

    template <class S> S mach(const S& omega, const S& T, const S& w) const {
        using std::sqrt;
        const S sound = sqrt(media::heat_ratio(T, w) * media::gas_constant(w) * T);
        const double area_ratio = bore * bore / (inlet_valves * valve_diameter * valve_diameter);
        return omega * (stroke / std::numbers::pi * area_ratio / valve_coefficient) / sound;
    }
    template <class S> S heating(const S& T, const S& port) const {
        using std::sqrt;
        return sqrt(T / reference_temperature) * T / (T + port_heating * (port - port_reference));
    }
    Problem prepare() {
        if (latent_heat > 250e3 * fuel_afr)
            return {"fuel_latent_heat", "no petrol or alcohol takes up more than 0.25 MJ per kg of air to evaporate "
                                        "(methanol: 0.18): this latent heat belongs to another fuel than fuel_afr"};
        return {};
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt;
        const auto& g = v[manifold];
        const S port = v.connected(metal) ? v[metal].T : S(port_reference);
        const S Z = mach(v[crank].omega, g.T, g.w), Z2 = (Z * Z) / (half_index * half_index);
        const S x = (1 - g.w) / (fuel_afr * soft_max(v[lambda].value, S(0.3), 1e-4));
        const S F_T = heating(g.T, port);
        const S dT = media::evaporation_cooling(realised_evaporation, latent_heat, x, media::specific_heat(g.T, g.w));
        const S F_f = g.T / (g.T - dT) / (1 + realised_evaporation * x / fuel_vapour_density);
        const S factor = peak / (1 + Z2 * Z2) * F_T * F_f;

        const double r = compression_ratio, gr = gamma_cylinder * (r - 1);
        const S c = factor * swept_flow(g.rho, v[crank].omega), b = 1 / (gr * g.p);
        const S open = r / (r - 1) - (gamma_cylinder - 1) / gr - b * v[ambient].p;
        const S B0 = soft_max(open, S(bracket_floor), bracket_width);
        const S B = 2 * B0 / (1 + sqrt(1 + 4 * c * c * b * back_pressure_factor() * B0));
        breathe(v, S(factor * B));
        if (!v.recording()) return;
        v.output(mach_index, Z);
        v.output(heating_factor, F_T);
        v.output(fuel_factor, F_f);
        v.output(residual_factor, B);
        v.output(evaporation_cooling, dT);
    }
};

}  // namespace

const pullcast::ComponentType* engine_breathing_physical() {
    return component<BreathingPhysical>("engine.breathing_physical");
}

/// Crank torque from cycle efficiency, friction and gas exchange. Transports: fuel to work, heat and exhaust.
///
///   P_i = m_f LHV eta_c(lambda) eta_fa(r, lambda) realised eta_s (1 - k_r max(0, 0.92 - lambda)^2)
///   eta_fa = 1 - r^-(e + e_l |lambda - 1|)        fuel-air cycle, from the energy of the fuel that burns
///   friction, one of
///     chen_flynn   fmep = A + B p_max + C Sp + D Sp^2,  Sp = stroke |omega|/pi,  p_max = peak_pressure_ratio imep
///     barnes_moss  fmep = 0.97 + 0.15 (N/1000) + 0.05 (N/1000)^2   bar, N in 1/min
/// k_r = 2.5 (rich mixture burns slowly) puts best torque at lambda 0.865, where textbooks have it (0.86 to 0.90, Heywood
/// fig. 15-4, from memory): the cycle alone would give more the richer the mixture.
/// The rest (fuel, spark, lambda, pumping, energy balance) is in combustion.hpp.
///
/// e = 0.25 and e_l = 0.1: fit by eye to the fuel-air cycle (Heywood fig. 5-9: about 0.43 at r 10 stoichiometric, more
/// on either side once unburned fuel is taken out). Realised share 0.80 to 0.85 (Heywood), so gross indicated
/// efficiency 0.34 to 0.38 at r 9 to 10, 0.30 to 0.33 at lambda 0.85. Barnes-Moss as in Heywood ch. 13 (845 to
/// 2000 cc, motored, wide open: pumping losses through the valves are within it). Chen & Flynn SAE
/// 650733 gives the form; A to D are the spark-ignition values in use. p_max = 5 imep is an
/// assumption. All of them: from memory.
/// Validity: four-stroke spark ignition, lambda 0.7 to 1.3, r 7 to 13.
#include "combustion.hpp"
#include "components.hpp"

namespace {
using namespace engine_family;

struct Torque : Combustion {
    double compression_ratio, stroke, cycle_exponent, mixture_exponent, rich_loss, realised, peak_pressure_ratio;
    double chen_flynn_a, chen_flynn_b, chen_flynn_c, chen_flynn_d;
    std::int32_t friction;  // 0 Chen-Flynn, 1 Barnes-Moss
    Output cycle_efficiency, fmep_out, peak_pressure;

    static void describe(Schema<Torque>& s) {
        using C = Torque;
        s.summary = "transports fuel energy to crank, metal and exhaust: cycle efficiency, friction, gas exchange";
        s.reference = "Heywood ch. 3, 5, 9, 13; Chen & Flynn SAE 650733 (constants from memory)";
        s.validity = "spark ignition, lambda 0.7 to 1.3, compression ratio 7 to 13";
        describe_combustion(s);
        s.number(&C::compression_ratio, "compression_ratio", "1", "compression ratio")
            .in(5, 20).common("compression_ratio");
        s.number(&C::stroke, "stroke", "m", "stroke").positive().common("stroke");
        s.number(&C::cycle_exponent, "cycle_exponent", "1", "exponent of the fuel-air cycle at lambda 1")
            .in(0.1, 0.4).preset(0.25);
        s.number(&C::mixture_exponent, "mixture_exponent", "1", "more of it per lambda away from 1")
            .in(0, 1).preset(0.1);
        s.number(&C::rich_loss, "rich_loss", "1", "work lost to slow burning, per square of lambda below 0.92")
            .in(0, 5).preset(2.5);
        s.number(&C::realised, "realised_fraction", "1", "indicated work over that of the fuel-air cycle")
            .in(0.5, 1).preset(0.85);
        s.choice(&C::friction, "friction", "chen_flynn|barnes_moss", "form of the friction pressure").preset(0);
        s.number(&C::chen_flynn_a, "chen_flynn_a", "Pa", "constant").preset(0.4e5);
        s.number(&C::chen_flynn_b, "chen_flynn_b", "1", "per peak pressure").preset(0.005);
        s.number(&C::chen_flynn_c, "chen_flynn_c", "Pa s/m", "per mean piston speed").preset(0.09e5);
        s.number(&C::chen_flynn_d, "chen_flynn_d", "Pa s^2/m^2", "per its square").preset(0.9e-3 * 1e5);
        s.number(&C::peak_pressure_ratio, "peak_pressure_ratio", "1", "peak cylinder pressure over gross imep")
            .positive().preset(5);
        s.output(&C::cycle_efficiency, "cycle_efficiency", "1", "fuel-air cycle");
        s.output(&C::fmep_out, "fmep", "Pa", "friction mean effective pressure");
        s.output(&C::peak_pressure, "peak_pressure", "Pa", "peak cylinder pressure used for friction");
    }
    template <class S> S fuel_air_efficiency(const S& mixture) const {
        using std::exp;
        const S exponent = cycle_exponent + mixture_exponent * soft_abs(S(mixture - 1), 0.01);
        return 1 - exp(-std::log(compression_ratio) * exponent);
    }
    /// Share of the work that slow burning leaves.
    template <class S> S kept_when_rich(const S& mixture) const {
        const S rich = value(mixture) < 0.92 ? S(0.92 - mixture) : S(0);
        return 1 - rich_loss * rich * rich;
    }
    template <class S> S fmep(const S& omega, const S& p_max) const {
        const S speed = soft_abs(omega, standstill_speed);
        if (friction == 1) {
            const S thousands = speed * (60 / (2 * std::numbers::pi) / 1000);
            return 1e5 * (0.97 + thousands * (0.15 + 0.05 * thousands));
        }
        const S piston = speed * (stroke / std::numbers::pi);
        return chen_flynn_a + chen_flynn_b * p_max + piston * (chen_flynn_c + chen_flynn_d * piston);
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S omega = v[crank].omega, mixture = v[lambda].value, m_f = fuel_mass_flow(v);
        const S cycle = fuel_air_efficiency(mixture);
        const S efficiency = combustion_efficiency(mixture) * cycle * realised * kept_when_rich(mixture);
        const S P_u = m_f * fuel_lhv * efficiency, kept = spark_efficiency_at(v);
        const S p_max = peak_pressure_ratio * P_u * kept * per_speed(omega) / torque_per_pressure();
        const S rubbing = fmep(omega, p_max);
        deliver(v, m_f, P_u, kept, rubbing);
        if (!v.recording()) return;
        v.output(cycle_efficiency, cycle);
        v.output(fmep_out, rubbing);
        v.output(peak_pressure, p_max);
    }
};

}  // namespace

const pullcast::ComponentType* engine_torque() { return component<Torque>("engine.torque"); }

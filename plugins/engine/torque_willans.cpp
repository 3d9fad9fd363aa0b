/// Crank torque from the Willans line. Transports: fuel to work, heat and exhaust.
///
///   bmep = e p_f - p_0(omega) + (p_manifold - p_exhaust)
///   p_f  = m_f LHV 4 pi / (Vd omega)                       fuel mean effective pressure
///   e    = e_0 (1 - e_1 (omega/omega_e - 1)^2) eta_c(lambda)/0.98 eta_s
///   p_0  = a + c omega^2
/// Fuel, lambda, spark and the energy balance are in combustion.hpp.
///
/// Reference: Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems (Willans
/// approximation with gas exchange apart), from memory; e about 0.35 to 0.40. Validity: one engine around the speeds at
/// which e and p_0 were fitted; it knows no compression ratio.
#include "combustion.hpp"
#include "components.hpp"

namespace {
using namespace engine_family;

struct TorqueWillans : Combustion {
    double efficiency, efficiency_droop, efficiency_speed, friction_constant, friction_square;
    Output willans_efficiency, fmep_out;

    static void describe(Schema<TorqueWillans>& s) {
        using C = TorqueWillans;
        s.summary = "transports fuel energy to crank, metal and exhaust: Willans line";
        s.reference = "Guzzella & Onder, Willans approximation (from memory)";
        s.validity = "around the speeds at which its two lines were fitted";
        describe_combustion(s);
        s.number(&C::efficiency, "efficiency", "1", "slope of the Willans line at its best speed")
            .in(0.1, 0.6).preset(0.36);
        s.number(&C::efficiency_droop, "efficiency_droop", "1", "share of it lost at twice that speed")
            .in(0, 1).preset(0.03);
        s.number(&C::efficiency_speed, "efficiency_speed", "rad/s", "best speed").positive().preset(420);
        s.number(&C::friction_constant, "friction_constant", "Pa", "friction pressure at standstill")
            .non_negative().preset(0.8e5);
        s.number(&C::friction_square, "friction_square", "Pa s^2/rad^2", "friction pressure per square of speed")
            .non_negative().preset(0.42);
        s.output(&C::willans_efficiency, "willans_efficiency", "1", "slope of the Willans line here");
        s.output(&C::fmep_out, "fmep", "Pa", "friction mean effective pressure");
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S omega = v[crank].omega, off = omega / efficiency_speed - 1, m_f = fuel_mass_flow(v);
        const S mixture = combustion_efficiency(v[lambda].value) / 0.98;
        const S slope = efficiency * (1 - efficiency_droop * off * off) * mixture, kept = spark_efficiency_at(v);
        const S rubbing = friction_constant + friction_square * omega * omega;
        deliver(v, m_f, S(m_f * fuel_lhv * slope), kept, rubbing);
        if (!v.recording()) return;
        v.output(willans_efficiency, slope * kept);
        v.output(fmep_out, rubbing);
    }
};

}  // namespace

const pullcast::ComponentType* engine_torque_willans() { return component<TorqueWillans>("engine.torque_willans"); }

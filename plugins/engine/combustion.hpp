/// What both torque models share: fuel, spark efficiency, and the energy balance of the cylinders.
///
///   m_f  = m_air (1 - w) / (AFR lambda)                    the dry part of the gas burns
///   eta_c = 0.98 min(1, lambda)                            combustion efficiency: oxygen-limited when rich
///   MBT  = mbt + a (omega/omega_0 - 1) - b (p/p_0 - 1)     best-torque spark, omega_0 = 3000 rpm, p_0 = 100 kPa
///   eta_s = 1 - k D^2,  D = MBT - spark,  k = loss_at_ten_degrees/(10 deg)^2;  linear from D = parabola_limit on
///   P_i  = P_u eta_s                                       P_u: what a model makes of the fuel where eta_s is 1
///   tau  = P_i omega / (omega^2 + omega_s^2) + (pmep - fmep) Vd/(4 pi) tanh(omega/omega_s)
///   pmep = p_manifold - p_exhaust                          gas exchange: drives the crank under boost
///   spark_loss = P_u (eta_s(MBT) - eta_s),  retard_loss = P_u (eta_s(table) - eta_s)     at the crank, as P_i is
///   Q_metal = heat_fraction m_f LHV + friction power;   exhaust takes the rest of the fuel's energy
///
/// omega_s (standstill_speed) keeps torque finite as the engine stops. All energy closes: fuel in = crank work + heat
/// to metal + exhaust, so that incomplete combustion and the work of gas exchange are within `exhaust`.
/// spark_loss and retard_loss are indicated power: P_i (eta_s(MBT)/eta_s - 1) where eta_s is not 0. Friction that peak
/// pressure would add at the better spark is not in them. retard_loss is below 0 where trims and knock limit bring
/// spark nearer to MBT than the table does.
///
/// Sources: spark parabola and its linear tail: Heywood fig. 9-3, from memory (k 2.5e-4 to 4e-4 per square degree);
/// lambda: Heywood fig. 3-9, from memory; heat to coolant and oil 27.5 % of fuel at full load, 32.5 % at part load: an
/// energy split credited to FEV on x-engineer.org. MBT relation: common practice, no source.
#pragma once
#include <cmath>
#include <numbers>
#include <pullcast/sdk.hpp>

namespace engine_family {
using namespace pullcast;

constexpr double degree = std::numbers::pi / 180;
constexpr double mbt_reference_speed = 100 * std::numbers::pi, mbt_reference_pressure = 100e3;  // rad/s, Pa

struct Combustion {
    double displacement, fuel_afr, fuel_lhv, mbt, mbt_speed_gain, mbt_pressure_gain;
    double loss_at_ten_degrees, parabola_limit, standstill_speed, heat_fraction;
    End<Shaft> crank;
    Reads<Shaft> crank_speed;
    End<Heat> metal;
    Sees<Signal> air, spark, lambda, exhaust_pressure, table_spark;
    Reads<Gas> manifold;
    Node<Signal> best_spark;
    Account fuel, exhaust;
    Output indicated_power, friction_power, pumping_power, fuel_flow, brake_power, thermal_efficiency;
    Output spark_efficiency_out, best_spark_out, brake_pressure, exhaust_power, spark_loss, retard_loss;

    template <class C> static void describe_combustion(Schema<C>& s) {
        s.role = "torque";
        s.number(&C::displacement, "displacement", "m^3", "swept volume of all cylinders")
            .positive().common("displacement");
        s.number(&C::fuel_afr, "fuel_afr", "1", "stoichiometric air-fuel ratio")
            .positive().common("fuel_afr").preset(14.7);
        s.number(&C::fuel_lhv, "fuel_lhv", "J/kg", "lower heating value").positive().common("fuel_lhv").preset(43.44e6);
        s.number(&C::mbt, "mbt", "rad", "best-torque spark at 3000 rpm and 100 kPa").in(0, 1).preset(26 * degree);
        s.number(&C::mbt_speed_gain, "mbt_speed_gain", "rad", "more of it at twice that speed")
            .in(-1, 1).preset(5 * degree);
        s.number(&C::mbt_pressure_gain, "mbt_pressure_gain", "rad", "less of it at twice that pressure")
            .in(-1, 1).preset(7 * degree);
        s.number(&C::loss_at_ten_degrees, "loss_at_ten_degrees", "1", "torque lost at 10 degrees off best torque")
            .in(0, 0.2).preset(0.04);
        s.number(&C::parabola_limit, "parabola_limit", "rad", "where the spark parabola goes on linearly")
            .in(0.1, 0.8).preset(22 * degree);
        s.number(&C::standstill_speed, "standstill_speed", "rad/s", "speed below which torque fades out")
            .positive().preset(1);
        s.number(&C::heat_fraction, "heat_fraction", "1", "share of the fuel's energy that heats the metal")
            .in(0, 0.5).preset(0.25);
        describe_handles(s);
    }
    template <class C> static void describe_handles(Schema<C>& s) {
        s.template end<Shaft>(&C::crank, "crank", "crankshaft");
        s.template reads<Shaft>(&C::crank_speed, "crank", "crankshaft");
        s.template end<Heat>(&C::metal, "metal", "engine metal");
        s.template sees<Signal>(&C::air, "air", "moist gas into the cylinders, kg/s");
        s.template sees<Signal>(&C::spark, "spark", "spark before top centre, rad");
        s.template sees<Signal>(&C::lambda, "lambda", "air-fuel ratio over stoichiometric");
        s.template sees<Signal>(&C::exhaust_pressure, "exhaust_pressure", "at the exhaust ports, Pa");
        s.template sees<Signal>(&C::table_spark, "table_spark", "spark of the table, rad: what retard_loss is against")
            .optional();
        s.template reads<Gas>(&C::manifold, "manifold", "gas before the ports");
        s.signal(&C::best_spark, "best_spark", "rad", "best-torque spark");
        s.account(&C::fuel, "fuel", Ledger::energy, "energy of the fuel");
        s.account(&C::exhaust, "exhaust", Ledger::energy, "energy in the exhaust (negative: leaves)");
        s.output(&C::indicated_power, "indicated_power", "W", "gross indicated power");
        s.output(&C::friction_power, "friction_power", "W", "friction and accessories");
        s.output(&C::pumping_power, "pumping_power", "W", "gas exchange; positive where it drives the crank");
        s.output(&C::fuel_flow, "fuel_flow", "kg/s", "fuel");
        s.output(&C::brake_power, "brake_power", "W", "at the crank, before the blower drive");
        s.output(&C::thermal_efficiency, "thermal_efficiency", "1", "brake power over fuel energy");
        s.output(&C::spark_efficiency_out, "spark_efficiency", "1", "torque kept at this spark");
        s.output(&C::best_spark_out, "best_spark", "rad", "best-torque spark");
        s.output(&C::brake_pressure, "bmep", "Pa", "brake mean effective pressure");
        s.output(&C::exhaust_power, "exhaust_power", "W", "energy in the exhaust");
        s.output(&C::spark_loss, "spark_loss", "W", "indicated power lost against best-torque spark");
        s.output(&C::retard_loss, "retard_loss", "W",
                 "indicated power that trims and knock limit take from the table's");
    }

    /// Heat of one kg of air, which hardly depends on the fuel: a heating value and an air ratio of two fuels show.
    Problem check_fuel() const {
        const double heat = fuel_lhv / fuel_afr;
        if (heat >= 2.5e6 && heat <= 3.4e6) return {};
        return {"fuel_lhv", heat < 2.5e6 ? "no petrol or alcohol releases less than 2.5 MJ per kg of air (2.9 to 3.1 "
                                           "is usual): fuel_lhv and fuel_afr must belong to one fuel"
                                         : "no petrol or alcohol releases more than 3.4 MJ per kg of air (2.9 to 3.1 "
                                           "is usual): fuel_lhv and fuel_afr must belong to one fuel"};
    }
    Problem prepare() { return check_fuel(); }

    double torque_per_pressure() const { return displacement / (4 * std::numbers::pi); }  // N m per Pa
    auto fuel_mass_flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        return S(v[air].value * (1 - v[manifold].w) / (fuel_afr * soft_max(v[lambda].value, S(0.3), 1e-4)));
    }
    template <class S> static S combustion_efficiency(const S& mixture) {
        return 0.98 * soft_min(mixture, S(1), 0.02);
    }
    template <class S> S best_torque_spark(const S& omega, const S& p) const {
        const S faster = omega / mbt_reference_speed - 1, denser = p / mbt_reference_pressure - 1;
        return mbt + mbt_speed_gain * faster - mbt_pressure_gain * denser;
    }
    /// Torque at `off` rad from best torque, of that at best torque; held above zero.
    template <class S> S spark_efficiency(const S& off) const {
        using std::fabs;
        const double k = loss_at_ten_degrees / (100 * degree * degree), limit = parabola_limit;
        const S size = fabs(off);
        const S loss = value(size) < limit ? S(k * off * off) : S(k * limit * (2 * size - limit));
        return soft_max(S(1 - loss), S(0), 2e-3);
    }
    void publish(auto v) const { v(best_spark, {best_torque_spark(v[crank_speed].omega, v[manifold].p)}); }
    auto spark_efficiency_at(auto v) const {
        using S = typename decltype(v)::Scalar;
        return spark_efficiency(S(v[best_spark].value - v[spark].value));
    }
    /// 1/omega, zero at standstill.
    template <class S> S per_speed(const S& omega) const {
        return omega / (omega * omega + standstill_speed * standstill_speed);
    }
    /// Puts torque and heat, and closes the energy balance. `P_u` gross indicated power at a spark efficiency of 1,
    /// `kept` that efficiency, `fmep` friction.
    template <class S> void deliver(const Flow<S>& v, const S& m_f, const S& P_u, const S& kept, const S& fmep) const {
        using std::tanh;
        const S omega = v[crank].omega, turning = torque_per_pressure() * tanh(omega / standstill_speed);
        const S indicated = P_u * kept * per_speed(omega), rubbing = fmep * turning;
        const S pumping = (v[manifold].p - v[exhaust_pressure].value) * turning;
        const S tau = indicated + pumping - rubbing, burned = m_f * fuel_lhv;
        const S heat = heat_fraction * burned + rubbing * omega, rest = burned - tau * omega - heat;
        v.put(crank, {tau});
        v.put(metal, {heat});
        v.rate(fuel) = burned;
        v.rate(exhaust) = -rest;
        if (!v.recording()) return;
        v.output(indicated_power, indicated * omega);
        v.output(friction_power, rubbing * omega);
        v.output(pumping_power, pumping * omega);
        v.output(fuel_flow, m_f);
        v.output(brake_power, tau * omega);
        v.output(thermal_efficiency, value(burned) > 100 ? S(tau * omega / burned) : S(0));
        v.output(brake_pressure, tau / torque_per_pressure());
        v.output(exhaust_power, rest);
        report_spark(v, S(P_u * per_speed(omega) * omega), kept);
    }
    /// `full` is the indicated power at a spark efficiency of 1.
    template <class S> void report_spark(const Flow<S>& v, const S& full, const S& kept) const {
        const S best = v[best_spark].value;
        v.output(spark_efficiency_out, kept);
        v.output(best_spark_out, best);
        v.output(spark_loss, full * (spark_efficiency(S(0)) - kept));
        const bool known = v.connected(table_spark);
        v.output(retard_loss, known ? S(full * (spark_efficiency(S(best - v[table_spark].value)) - kept)) : S(0));
    }
};

}  // namespace engine_family

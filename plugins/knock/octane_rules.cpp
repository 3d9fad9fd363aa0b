/// Knock margin by the published linear rules for octane requirement, from a stated reference point. Neither stores nor
/// transports; computed at report points only.
///
///   ON_required = ON_ref + sum of contributions, each 0 at the reference point:
///     spark           1 per degree of advance
///     temperature     1 per 7 K of intake air
///     pressure        3 to 4 per 10 kPa of intake pressure (octane_per_10_kPa)
///     compression     5 per unit of compression ratio
///     mixture         -2 per unit of air-fuel ratio away from its peak at 5 % rich
///     back pressure   1 per 30 kPa of exhaust back pressure
///     coolant         1 per 10 K
///   ON_fuel = RON - K (RON - MON)                              octane index
///   margin_octane = ON_fuel - ON_required;   margin = 1 degree of spark per octane number
///
/// The air-fuel ratio of the mixture rule is that of gasoline: 14.7 lambda, whatever the fuel.
/// Reference: SAE 960497 (abstract), a review of operating conditions and borderline knock; octane index
/// as defined in SAE 2017-01-0666 (abstract). ON_ref and the reference point are an assumption to be replaced by
/// something known of the engine at hand.
/// Validity: the rules are slopes around one operating point of naturally aspirated engines; speed is not in them. Far
/// from the reference point (outputs `distance` and `outside_rules`) they overstate boost: the same +10 kPa asks for
/// less at a higher pressure. A simulated knock margin is not permission to add boost or spark.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

// Octane numbers per unit, SAE 960497 (abstract).
constexpr double per_spark = 180 / std::numbers::pi, per_temperature = 1.0 / 7, per_compression_ratio = 5;
constexpr double per_air_fuel_ratio = 2, per_back_pressure = 1 / 30e3, per_coolant = 1.0 / 10;
constexpr double gasoline_air_ratio = 14.7, rich_peak_lambda = 1 / 1.05;
// How far from the reference point the slopes are trusted (this project's choice, no source).
constexpr double spark_reach = 0.2618, temperature_reach = 40, pressure_reach = 40e3, mixture_reach = 2;
constexpr double back_pressure_reach = 60e3, coolant_reach = 30, compression_reach = 2;

struct OctaneRules {
    double ron, mon, octane_index_k, octane_per_10_kPa, compression_ratio;
    double reference_octane, reference_spark, reference_temperature, reference_pressure, reference_compression_ratio;
    double reference_lambda, reference_back_pressure, reference_coolant;
    Sees<Gas> manifold;
    Sees<Shaft> crank;
    Sees<Signal> spark, lambda, exhaust_pressure;
    Sees<Heat> coolant;
    Output margin, margin_octane, required, fuel_octane, from_spark, from_temperature, from_pressure, from_compression;
    Output from_mixture, from_back_pressure, from_coolant, distance, outside_rules;

    static void describe(Schema<OctaneRules>& s) {
        s.role = "knock";
        s.summary = "knock margin at report points by the published rules for octane requirement";
        s.reference = "SAE 960497 (abstract); octane index: SAE 2017-01-0666 (abstract)";
        s.validity = "slopes around the reference point; no speed effect; not permission to add boost or spark";
        describe_fuel(s);
        describe_reference(s);
        describe_handles(s);
        describe_outputs(s);
    }
    static void describe_fuel(Schema<OctaneRules>& s) {
        using C = OctaneRules;
        s.number(&C::ron, "ron", "1", "research octane number").in(50, 150).common("fuel_ron").preset(95);
        s.number(&C::mon, "mon", "1", "motor octane number").in(50, 150).common("fuel_mon").preset(85);
        s.number(&C::octane_index_k, "octane_index_k", "1", "K of the octane index: 0 RON test, 1 MON test")
            .in(-2, 1).preset(0);
        s.number(&C::octane_per_10_kPa, "octane_per_10_kPa", "1", "octane numbers per 10 kPa of intake pressure")
            .in(3, 4).preset(3.5);
    }
    static void describe_reference(Schema<OctaneRules>& s) {
        using C = OctaneRules;
        s.number(&C::compression_ratio, "compression_ratio", "1", "compression ratio")
            .in(5, 20).common("compression_ratio");
        s.number(&C::reference_octane, "reference_octane", "1", "octane number required there (assumption: replace it)")
            .in(50, 150).preset(95);
        s.number(&C::reference_spark, "reference_spark", "rad", "spark there").preset(0.24435);
        s.number(&C::reference_temperature, "reference_temperature", "K", "manifold temperature there")
            .in(250, 450).preset(323.15);
        s.number(&C::reference_pressure, "reference_pressure", "Pa", "absolute manifold pressure there")
            .positive().preset(150e3);
        s.number(&C::reference_compression_ratio, "reference_compression_ratio", "1", "compression ratio there")
            .in(5, 20).preset(9.5);
        s.number(&C::reference_lambda, "reference_lambda", "1", "lambda there").in(0.5, 1.5).preset(0.85);
        s.number(&C::reference_back_pressure, "reference_back_pressure", "Pa", "absolute exhaust pressure there")
            .positive().preset(125e3);
        s.number(&C::reference_coolant, "reference_coolant", "K", "engine coolant there").in(250, 420).preset(363.15);
    }
    static void describe_handles(Schema<OctaneRules>& s) {
        using C = OctaneRules;
        s.sees(&C::manifold, "manifold", "gas before the ports");
        s.sees(&C::crank, "crank", "not used: the rules have no speed effect").optional();
        s.sees(&C::spark, "spark", "spark before top centre, rad");
        s.sees(&C::lambda, "lambda", "air-fuel ratio over stoichiometric");
        s.sees(&C::exhaust_pressure, "exhaust_pressure", "at the exhaust ports, Pa");
        s.sees(&C::coolant, "coolant", "engine coolant");
    }
    static void describe_outputs(Schema<OctaneRules>& s) {
        using C = OctaneRules;
        s.output(&C::margin, "margin", "rad", "spark that could be added before knock; negative: would knock")
            .warn_below(0, "the octane rules say that this fuel would knock here");
        s.output(&C::margin_octane, "margin_octane", "1", "octane of the fuel minus octane required");
        s.output(&C::required, "required_octane", "1", "octane required");
        s.output(&C::fuel_octane, "fuel_octane", "1", "octane index of the fuel");
        s.output(&C::from_spark, "from_spark", "1", "octane required because of spark");
        s.output(&C::from_temperature, "from_temperature", "1", "because of intake temperature");
        s.output(&C::from_pressure, "from_pressure", "1", "because of intake pressure");
        s.output(&C::from_compression, "from_compression", "1", "because of compression ratio");
        s.output(&C::from_mixture, "from_mixture", "1", "because of air-fuel ratio");
        s.output(&C::from_back_pressure, "from_back_pressure", "1", "because of exhaust back pressure");
        s.output(&C::from_coolant, "from_coolant", "1", "because of coolant temperature");
        s.output(&C::distance, "distance", "1", "largest excursion from the reference point over what the rules reach");
        s.output(&C::outside_rules, "outside_rules", "1", "how many quantities are beyond the rules' reach, under load")
            .warn_above(0, "far from the reference point: the linear octane rules are an extrapolation here");
    }

    static double mixture_octane(double mixture) {
        return -per_air_fuel_ratio * gasoline_air_ratio * std::fabs(mixture - rich_peak_lambda);
    }
    void flow(auto v) const {
        if (v.recording()) report(v);
    }
    // Differences from the reference point; plain numbers are enough at a report point.
    struct Excursion { double spark, temperature, pressure, compression, mixture, back_pressure, coolant; };
    Excursion excursion(auto v) const {
        return {value(v[spark].value) - reference_spark,
                value(v[manifold].T) - reference_temperature,
                value(v[manifold].p) - reference_pressure,
                compression_ratio - reference_compression_ratio,
                value(v[lambda].value) - reference_lambda,
                value(v[exhaust_pressure].value) - reference_back_pressure,
                value(v[coolant].T) - reference_coolant};
    }
    void report(auto v) const {
        const Excursion e = excursion(v);
        const double mixture = mixture_octane(reference_lambda + e.mixture) - mixture_octane(reference_lambda);
        const struct { Output output; double octane; } parts[] = {
            {from_spark, e.spark * per_spark},
            {from_temperature, e.temperature * per_temperature},
            {from_pressure, e.pressure * octane_per_10_kPa / 10e3},
            {from_compression, e.compression * per_compression_ratio},
            {from_mixture, mixture},
            {from_back_pressure, e.back_pressure * per_back_pressure},
            {from_coolant, e.coolant * per_coolant}};
        double need = reference_octane;
        for (const auto& p : parts) {
            need += p.octane;
            v.output(p.output, p.octane);
        }
        const double fuel = ron - octane_index_k * (ron - mon);
        v.output(required, need);
        v.output(fuel_octane, fuel);
        v.output(margin_octane, fuel - need);
        v.output(margin, (fuel - need) / per_spark);
        report_reach(v, e);
    }
    void report_reach(auto v, const Excursion& e) const {
        const double shares[] = {e.spark / spark_reach,          e.temperature / temperature_reach,
                                 e.pressure / pressure_reach,    e.compression / compression_reach,
                                 e.back_pressure / back_pressure_reach, e.coolant / coolant_reach,
                                 e.mixture * gasoline_air_ratio / mixture_reach};
        double largest = 0, beyond = 0;
        const bool loaded = e.pressure > -pressure_reach;  // throttled, nothing knocks and nothing needs judging
        for (const double s : shares) largest = std::max(largest, std::fabs(s)), beyond += loaded && std::fabs(s) > 1;
        v.output(distance, largest);
        v.output(outside_rules, beyond);
    }
};

}  // namespace

const pullcast::ComponentType* knock_octane_rules() { return component<OctaneRules>("knock.octane_rules"); }

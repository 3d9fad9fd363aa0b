/// Knock limit and margin by the published linear rules for octane requirement, from a stated reference point. Neither
/// stores nor transports; publishes the limit and computes the rest at report points.
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
///   limited_spark = spark at which margin_octane is 0;   headroom = 7 K per octane number of margin
///   limit = min(limited_spark, 89 degrees), rounded over 0.1 degree
///   per_temperature, per_pressure, per_octane: what a kelvin, a pascal, one octane number of the fuel's index change
///   in `margin`; constants of the rules
///
/// Throttled and near standstill the straight lines leave everything behind that they were drawn through: limited_spark
/// is then large, beyond 90 degrees even, and says only that nothing knocks there. What a controller looks up (`limit`)
/// stays below 89 degrees. The corner of the mixture rule at its peak is rounded within 0.01 lambda of it (C2; exact
/// outside). The air-fuel ratio of that rule is that of gasoline: 14.7 lambda, whatever the fuel.
/// Reference: SAE 960497 (abstract), a review of operating conditions and borderline knock; octane index
/// as defined in SAE 2017-01-0666 (abstract). ON_ref and the reference point are an assumption to be replaced by
/// something known of the engine at hand.
/// Validity: the rules are slopes around one operating point of naturally aspirated engines; speed is not in them. Far
/// from the reference point (outputs `distance` and `outside_rules`) they overstate boost: the same +10 kPa asks for
/// less at a higher pressure. A simulated knock margin is not permission to add boost or spark.
#include <algorithm>
#include <cmath>

#include "components.hpp"
#include "model.hpp"

namespace {
using namespace knock_family;

// Octane numbers per unit, SAE 960497 (abstract).
constexpr double octane_per_spark = 1 / degree, octane_per_kelvin = 1.0 / 7, octane_per_compression_ratio = 5;
constexpr double octane_per_air_fuel_ratio = 2, octane_per_back_pressure = 1 / 30e3, octane_per_coolant = 1.0 / 10;
constexpr double gasoline_air_ratio = 14.7, rich_peak_lambda = 1 / 1.05, peak_rounding = 0.01;
// How far from the reference point the slopes are trusted (this project's choice, no source).
constexpr double spark_reach = 0.2618, temperature_reach = 40, pressure_reach = 40e3, mixture_reach = 2;
constexpr double back_pressure_reach = 60e3, coolant_reach = 30, compression_reach = 2;

struct OctaneRules : Model {
    double octane_per_10_kPa;
    Output from_spark, from_temperature, from_pressure, from_compression;
    Output from_mixture, from_back_pressure, from_coolant, distance, outside_rules;

    static void describe(Schema<OctaneRules>& s) {
        s.summary = "knock limit and margin by the published linear rules for octane requirement";
        s.reference = "SAE 960497 (abstract); octane index: SAE 2017-01-0666 (abstract)";
        s.validity = "slopes around the reference point; no speed effect; not permission to add boost or spark";
        describe_model(s, "the octane rules say that this fuel would knock here");
        using C = OctaneRules;
        s.number(&C::octane_per_10_kPa, "octane_per_10_kPa", "1", "octane numbers per 10 kPa of intake pressure")
            .in(3, 4)
            .preset(3.5);
        s.reads<Shaft>(&C::crank, "crank", "not used: the rules have no speed effect").optional();
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

    Problem prepare() const { return check_octane(); }
    /// |x|: exact beyond `peak_rounding`, 0 at 0, C2 between.
    template <class S> static S distance_from_peak(const S& x) {
        using std::fabs;
        const S s = x / peak_rounding, s2 = s * s;
        return value(s2) < 1 ? S(peak_rounding / 8 * s2 * (15 - s2 * (10 - 3 * s2))) : S(fabs(x));
    }
    template <class S> static S mixture_octane(const S& mixture) {
        return -octane_per_air_fuel_ratio * gasoline_air_ratio * distance_from_peak(S(mixture - rich_peak_lambda));
    }

    /// Octane required at the reference spark, by its contributions.
    template <class S> struct Need {
        S temperature, pressure, compression, mixture, back_pressure, coolant;
        S sum() const { return temperature + pressure + compression + mixture + back_pressure + coolant; }
    };
    auto need(auto v) const {
        using S = typename decltype(v)::Scalar;
        return Need<S>{octane_per_kelvin * (v[manifold].T - reference_temperature),
                       octane_per_10_kPa / 10e3 * (v[manifold].p - reference_pressure),
                       S(octane_per_compression_ratio * (compression_ratio - reference_compression_ratio)),
                       mixture_octane(S(v[lambda].value)) - mixture_octane(reference_lambda),
                       octane_per_back_pressure * (v[exhaust_pressure].value - reference_back_pressure),
                       octane_per_coolant * (v[coolant].T - reference_coolant)};
    }
    /// Spark at which the octane required is that of the fuel.
    template <class S> S knocking_spark(const Need<S>& n) const {
        return reference_spark + (octane() - reference_octane - n.sum()) / octane_per_spark;
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(limit, {soft_min(knocking_spark(need(v)), S(highest_limit), limit_rounding)});
    }
    void flow(auto v) const {
        if (v.recording()) report(v);
    }
    void report(auto v) const {
        using S = typename decltype(v)::Scalar;
        const Need<S> n = need(v);
        const S by_spark = (v[spark].value - reference_spark) * octane_per_spark;
        const S total = reference_octane + by_spark + n.sum(), left = octane() - total;
        v.output(from_spark, by_spark);
        v.output(from_temperature, n.temperature);
        v.output(from_pressure, n.pressure);
        v.output(from_compression, n.compression);
        v.output(from_mixture, n.mixture);
        v.output(from_back_pressure, n.back_pressure);
        v.output(from_coolant, n.coolant);
        v.output(required, total);
        v.output(fuel_octane, S(octane()));
        v.output(margin_octane, left);
        v.output(margin, left / octane_per_spark);
        v.output(limited_spark, knocking_spark(n));
        v.output(headroom, left / octane_per_kelvin);
        v.output(per_temperature, S(-octane_per_kelvin / octane_per_spark));
        v.output(per_pressure, S(-octane_per_10_kPa / 10e3 / octane_per_spark));
        v.output(per_octane, S(1 / octane_per_spark));
        report_reach(v);
    }
    void report_reach(auto v) const {
        const double boost = value(v[manifold].p) - reference_pressure;
        const double shares[] = {(value(v[spark].value) - reference_spark) / spark_reach,
                                 (value(v[manifold].T) - reference_temperature) / temperature_reach,
                                 boost / pressure_reach,
                                 (compression_ratio - reference_compression_ratio) / compression_reach,
                                 (value(v[exhaust_pressure].value) - reference_back_pressure) / back_pressure_reach,
                                 (value(v[coolant].T) - reference_coolant) / coolant_reach,
                                 (value(v[lambda].value) - reference_lambda) * gasoline_air_ratio / mixture_reach};
        double largest = 0, beyond = 0;
        const bool loaded = boost > -pressure_reach;  // throttled, nothing knocks and nothing needs judging
        for (const double s : shares) largest = std::max(largest, std::fabs(s)), beyond += loaded && std::fabs(s) > 1;
        v.output(distance, largest);
        v.output(outside_rules, beyond);
    }
};

}  // namespace

const pullcast::ComponentType* knock_octane_rules() { return component<OctaneRules>("knock.octane_rules"); }

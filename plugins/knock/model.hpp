/// What both knock models share: the fuel's octane, a reference point, what they look at and what they report.
///
///   ON_fuel = RON - K (RON - MON)                  octane index
///   margin_octane = ON_fuel - ON_required;   margin = limited_spark - spark
///
/// Octane index as defined in SAE 2017-01-0666 (abstract). The reference point, an operating point at the knock limit,
/// is an assumption to be replaced by something known of the engine.
#pragma once
#include <cstdio>
#include <numbers>
#include <pullcast/sdk.hpp>

namespace knock_family {
using namespace pullcast;

constexpr double degree = std::numbers::pi / 180;
constexpr double highest_limit = 89 * degree, limit_rounding = 0.1 * degree;  // of the published limit

struct Model {
    double ron, mon, octane_index_k, compression_ratio;
    double reference_octane, reference_spark, reference_temperature, reference_pressure, reference_compression_ratio;
    double reference_lambda, reference_back_pressure, reference_coolant;
    Reads<Gas> manifold;
    Reads<Shaft> crank;
    Reads<Signal> lambda, exhaust_pressure;
    Reads<Heat> coolant;
    Sees<Signal> spark;
    Node<Signal> limit;
    Output margin, margin_octane, limited_spark, headroom, per_temperature, per_pressure, per_octane;
    Output required, fuel_octane;

    template <class C> static void describe_model(Schema<C>& s, const char* would_knock) {
        s.role = "knock";
        describe_octane(s);
        describe_reference(s);
        describe_handles(s);
        describe_answers(s, would_knock);
    }
    template <class C> static void describe_octane(Schema<C>& s) {
        s.number(&C::ron, "ron", "1", "research octane number").in(50, 150).common("fuel_ron").preset(95);
        s.number(&C::mon, "mon", "1", "motor octane number").in(50, 150).common("fuel_mon").preset(85);
        s.number(&C::octane_index_k, "octane_index_k", "1", "K of the octane index: 0 RON test, 1 MON test")
            .in(-2, 1)
            .preset(0);
        s.number(&C::compression_ratio, "compression_ratio", "1", "compression ratio")
            .in(5, 20)
            .common("compression_ratio");
    }
    template <class C> static void describe_reference(Schema<C>& s) {
        s.number(&C::reference_octane, "reference_octane", "1", "octane number required there (assumption: replace it)")
            .in(50, 150)
            .preset(95);
        s.number(&C::reference_spark, "reference_spark", "rad", "spark there").in(-0.2, 0.7).preset(0.24435);
        s.number(&C::reference_temperature, "reference_temperature", "K", "manifold temperature there")
            .in(250, 450)
            .preset(323.15);
        s.number(&C::reference_pressure, "reference_pressure", "Pa", "absolute manifold pressure there")
            .in(30e3, 500e3)
            .preset(150e3);
        s.number(&C::reference_compression_ratio, "reference_compression_ratio", "1", "compression ratio there")
            .in(5, 20)
            .preset(9.5);
        s.number(&C::reference_lambda, "reference_lambda", "1", "lambda there").in(0.5, 1.5).preset(0.85);
        s.number(&C::reference_back_pressure, "reference_back_pressure", "Pa", "absolute exhaust pressure there")
            .positive()
            .preset(125e3);
        s.number(&C::reference_coolant, "reference_coolant", "K", "engine coolant there").in(250, 420).preset(363.15);
    }
    template <class C> static void describe_handles(Schema<C>& s) {
        s.template reads<Gas>(&C::manifold, "manifold", "gas before the ports");
        s.template reads<Signal>(&C::lambda, "lambda", "air-fuel ratio over stoichiometric");
        s.template reads<Signal>(&C::exhaust_pressure, "exhaust_pressure", "at the exhaust ports, Pa");
        s.template reads<Heat>(&C::coolant, "coolant", "engine coolant");
        s.template sees<Signal>(&C::spark, "spark", "spark before top centre, rad");
        s.signal(&C::limit, "limit", "rad", "knock-limited spark before top centre; 90 degrees: not worked out");
    }
    template <class C> static void describe_answers(Schema<C>& s, const char* would_knock) {
        s.output(&C::margin, "margin", "rad", "spark that could be added before knock; negative: would knock")
            .warn_below(0, would_knock);
        s.output(&C::margin_octane, "margin_octane", "1", "octane of the fuel minus octane required");
        s.output(&C::limited_spark, "limited_spark", "rad", "spark at which this fuel would start to knock");
        s.output(&C::headroom, "headroom", "dK", "how much hotter the charge could be at this pressure and spark");
        s.output(&C::per_temperature, "per_temperature", "rad/K", "change of the margin per charge temperature");
        s.output(&C::per_pressure, "per_pressure", "rad/Pa", "change of the margin per manifold pressure");
        s.output(&C::per_octane, "per_octane", "rad", "change of the margin per number of the fuel's octane index");
        s.output(&C::required, "required_octane", "1", "octane required");
        s.output(&C::fuel_octane, "fuel_octane", "1", "octane index of the fuel");
    }

    double octane() const { return ron - octane_index_k * (ron - mon); }
    Problem check_octane() const {
        static thread_local char why[128];  // copied by who asked
        if (mon <= ron) return {};
        std::snprintf(why, sizeof why, "mon = %g is above ron = %g: no fuel class does that", mon, ron);
        return {"mon", why};
    }
};

}  // namespace knock_family

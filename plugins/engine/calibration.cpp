/// Spark and mixture tables with their trims, as an engine controller commands them. Publishes signals; stores the held
/// knock limit and no energy.
///
///   table  = S(omega, p) + s_o                           rad before top centre
///   wanted = table + s_i(T_intake) + s_c(T_coolant)
///   spark  = wanted, or what the knock limit leaves of it (spark_mode, see spark_limit.hpp)
///   lambda = L(omega, p) + l_o
///
/// The trims over intake and coolant temperature take spark off when the charge or the engine is hot: a part of why
/// heat soak costs power. T_intake is what the sensor reads, not what the gas is. s_o and l_o shift the whole tables.
///
/// Reference: common practice of engine control, no source. Validity: inside the tables; linear beyond their edges.
#include <pullcast/sdk.hpp>

#include "components.hpp"
#include "spark_limit.hpp"

namespace {
using namespace engine_family;

struct Calibration : SparkLimit {
    Map spark_table, lambda_table;
    Curve intake_trim, coolant_trim;
    double spark_offset, lambda_offset;
    Reads<Gas> manifold;
    Reads<Shaft> crank;
    Reads<Signal> intake;
    Reads<Heat> coolant;
    Node<Signal> spark, lambda;
    Output trim_out, table_distance;

    static void describe(Schema<Calibration>& s) {
        using C = Calibration;
        s.role = "calibration";
        s.summary =
            "commands spark and lambda from tables over speed and manifold pressure, with trims and knock limit";
        s.reference = "common practice of engine control, no source";
        s.validity = "inside the tables";
        s.map(&C::spark_table, "spark_table", "rad", "speed", "rad/s", "manifold_pressure", "Pa",
              "spark before top centre")
            .in(-40 * degree, 70 * degree);
        s.map(&C::lambda_table, "lambda_table", "1", "speed", "rad/s", "manifold_pressure", "Pa", "commanded lambda")
            .in(0.5, 1.5);
        s.curve(&C::intake_trim, "intake_trim", "rad", "intake_temperature", "K", "spark added over the intake reading")
            .in(-40 * degree, 20 * degree)
            .shape_preserving();
        s.curve(&C::coolant_trim, "coolant_trim", "rad", "coolant_temperature", "K", "spark added over engine coolant")
            .in(-40 * degree, 20 * degree)
            .shape_preserving();
        s.number(&C::spark_offset, "spark_offset", "rad", "spark added everywhere")
            .in(-10 * degree, 5 * degree)
            .preset(0);
        describe_limit(s);
        s.number(&C::lambda_offset, "lambda_offset", "1", "lambda added everywhere; negative: richer")
            .in(-0.3, 0.3)
            .preset(0);
        s.reads(&C::manifold, "manifold", "gas before the ports");
        s.reads(&C::crank, "crank", "crankshaft");
        s.reads(&C::intake, "intake", "intake temperature reading, K");
        s.reads(&C::coolant, "coolant", "engine coolant");
        s.signal(&C::spark, "spark", "rad", "spark before top centre");
        s.signal(&C::lambda, "lambda", "1", "air-fuel ratio over stoichiometric");
        s.output(&C::trim_out, "trim", "rad", "spark added by both trims");
        s.output(&C::table_distance, "table_distance", "1", "how far outside its spark table the engine runs")
            .warn_above(0, "the engine runs outside the spark table; its edge is continued linearly");
    }
    Problem prepare() { return check_limit(); }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S omega = v[crank].omega, p = v[manifold].p, of_table = spark_table(omega, p) + spark_offset;
        const S trim = intake_trim(v[intake].value) + coolant_trim(v[coolant].T);
        command(v, spark, of_table, S(of_table + trim));
        v(lambda, {lambda_table(omega, p) + lambda_offset});
        if (!v.recording()) return;
        v.output(trim_out, trim);
        v.output(table_distance, S(spark_table.outside(value(omega), value(p))));
    }
};

}  // namespace

const pullcast::ComponentType* engine_calibration() { return component<Calibration>("engine.calibration"); }

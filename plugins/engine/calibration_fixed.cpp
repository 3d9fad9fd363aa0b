/// Constant spark and lambda: for steady points, and to take the controller's reaction out of a comparison. Publishes
/// signals; stores the held knock limit and no energy.
///
///   wanted = constant + s_o,  lambda = constant + l_o
///   spark  = wanted, or what the knock limit leaves of it (spark_mode, see spark_limit.hpp)
///
/// Reference: definition. Validity: none needed; the ends that engine.calibration reads are accepted and not used.
#include <pullcast/sdk.hpp>

#include "components.hpp"
#include "spark_limit.hpp"

namespace {
using namespace engine_family;

struct CalibrationFixed : SparkLimit {
    double set_spark, set_lambda, spark_offset, lambda_offset;
    Reads<Gas> manifold;
    Reads<Shaft> crank;
    Reads<Signal> intake;
    Reads<Heat> coolant;
    Node<Signal> spark, lambda;

    static void describe(Schema<CalibrationFixed>& s) {
        using C = CalibrationFixed;
        s.role = "calibration";
        s.summary = "commands a constant spark, within the knock limit if asked to, and a constant lambda";
        s.reference = "definition";
        s.validity = "everywhere";
        s.number(&C::set_spark, "constant_spark", "rad", "spark before top centre").in(-0.5, 1.0).preset(0.31416);
        s.number(&C::set_lambda, "constant_lambda", "1", "air-fuel ratio over stoichiometric").in(0.5, 2).preset(0.85);
        s.number(&C::spark_offset, "spark_offset", "rad", "spark added to it").in(-10 * degree, 5 * degree).preset(0);
        s.number(&C::lambda_offset, "lambda_offset", "1", "lambda added to it").in(-0.3, 0.3).preset(0);
        describe_limit(s);
        s.reads(&C::manifold, "manifold", "not used").optional();
        s.reads(&C::crank, "crank", "not used").optional();
        s.reads(&C::intake, "intake", "not used").optional();
        s.reads(&C::coolant, "coolant", "not used").optional();
        s.signal(&C::spark, "spark", "rad", "spark before top centre");
        s.signal(&C::lambda, "lambda", "1", "air-fuel ratio over stoichiometric");
    }
    Problem prepare() { return check_limit(); }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S of_table = set_spark + spark_offset;
        command(v, spark, of_table, of_table);
        v(lambda, {S(set_lambda + lambda_offset)});
    }
};

}  // namespace

const pullcast::ComponentType* engine_calibration_fixed() {
    return component<CalibrationFixed>("engine.calibration_fixed");
}

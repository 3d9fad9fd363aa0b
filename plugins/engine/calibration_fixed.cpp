/// Constant spark and lambda: for steady points, and to take the controller's reaction out of a comparison. Publishes
/// signals, stores nothing.
///
///   spark = constant + s_o,  lambda = constant
///
/// Reference: definition. Validity: none needed; the ends of engine.calibration are accepted and not used.
#include <numbers>
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct CalibrationFixed {
    double set_spark, set_lambda, spark_offset;
    Reads<Gas> manifold;
    Reads<Shaft> crank;
    Reads<Signal> intake;
    Reads<Heat> coolant;
    Node<Signal> spark, lambda;

    static void describe(Schema<CalibrationFixed>& s) {
        using C = CalibrationFixed;
        s.role = "calibration";
        s.summary = "commands a constant spark and lambda";
        s.reference = "definition";
        s.validity = "everywhere";
        s.number(&C::set_spark, "constant_spark", "rad", "spark before top centre").in(-0.5, 1.0).preset(0.31416);
        s.number(&C::set_lambda, "constant_lambda", "1", "air-fuel ratio over stoichiometric").in(0.5, 2).preset(0.85);
        s.number(&C::spark_offset, "spark_offset", "rad", "spark added to it")
            .in(-10 * std::numbers::pi / 180, 5 * std::numbers::pi / 180)
            .preset(0);
        s.reads(&C::manifold, "manifold", "not used").optional();
        s.reads(&C::crank, "crank", "not used").optional();
        s.reads(&C::intake, "intake", "not used").optional();
        s.reads(&C::coolant, "coolant", "not used").optional();
        s.signal(&C::spark, "spark", "rad", "spark before top centre");
        s.signal(&C::lambda, "lambda", "1", "air-fuel ratio over stoichiometric");
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(spark, {S(set_spark + spark_offset)});
        v(lambda, {S(set_lambda)});
    }
};

}  // namespace

const pullcast::ComponentType* engine_calibration_fixed() {
    return component<CalibrationFixed>("engine.calibration_fixed");
}

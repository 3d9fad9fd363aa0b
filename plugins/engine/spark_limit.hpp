/// What both calibration models share: whether and how spark answers to the knock limit. Stores one state, no energy.
///
///   wanted                                              spark of table and trims, rad before top centre
///   table      spark = wanted                           d(held)/dt = 0
///   held_back  spark = min(wanted, held)                d(held)/dt = (limit - reserve - held) / limit_lag
///   at_limit   spark = held                             d(held)/dt = (min(limit - reserve, best) - held) / limit_lag
///   held_back (output) = max(0, wanted - spark)
///
/// `limit` is what the knock model publishes, `best` the best-torque spark of the torque model. A controller with knock
/// detection learns from cycles that have passed, so what it allows lags behind; the lag also keeps spark, and with it
/// the crank, from depending on itself within one instant. Both minima are rounded over limit_rounding. In the mode
/// `table` the held limit rests, so that it takes no part in the integration and can change no figure.
///
/// `held` starts at start_of_held: until a few limit_lag have passed, spark is at most about that.
/// Reference: common practice of engine control, no source. Validity: the mean over the cylinders; no single knocking
/// cycle, no step-wise retard and slow return. It trusts its knock model: no permission to run without detection.
#pragma once
#include <algorithm>
#include <numbers>
#include <pullcast/sdk.hpp>

namespace engine_family {
using namespace pullcast;

struct SparkLimit {
    static constexpr double degree = std::numbers::pi / 180, not_given = std::numbers::pi / 2;
    static constexpr double limit_rounding = 0.2 * degree, start_of_held = 10 * degree;
    enum Mode : std::int32_t { table, held_back, at_limit };

    double reserve, limit_lag;
    std::int32_t mode;
    Sees<Signal> limit, best;
    Node<Signal> table_spark;
    State held;
    Output held_back_out;

    template <class C> static void describe_limit(Schema<C>& s) {
        s.choice(&C::mode, "spark_mode", "table|held_back|at_limit",
                 "table: table and trims; held_back: no more than the knock limit less its reserve; at_limit: there, "
                 "or at best torque where that is less")
            .common("spark_mode")
            .preset(table);
        s.number(&C::reserve, "knock_reserve", "rad", "spark kept below the knock limit")
            .in(0, 20 * degree)
            .common("knock_reserve")
            .preset(2 * degree);
        s.number(&C::limit_lag, "limit_lag", "s", "time to 63 % of a step of the knock limit").positive().preset(0.03);
        s.template sees<Signal>(&C::limit, "limit", "knock-limited spark, rad").optional();
        s.template sees<Signal>(&C::best, "best_spark", "best-torque spark, rad").optional();
        s.signal(&C::table_spark, "table_spark", "rad", "spark of the table, before trims and limit");
        s.state(&C::held, "held_limit", "rad", 0.5, "what spark may be at most");
        s.output(&C::held_back_out, "held_back", "rad", "spark that the knock limit takes from table and trims");
    }
    Problem check_limit() const {
        if (mode != table && limit.i == unconnected)
            return {"spark_mode",
                    "needs the knock limit: connect limit = \"knock.limit\", or set spark_mode = \"table\""};
        if (mode == at_limit && best.i == unconnected)
            return {"spark_mode",
                    "needs best-torque spark: connect best_spark = \"torque.best_spark\", or set "
                    "spark_mode = \"held_back\""};
        return {};
    }
    void start(Start x) const { x[held] = start_of_held; }

    /// Publishes what the mode makes of the spark of the table and of that with its trims; returns it.
    template <class S> S command(const Publish<S>& v, Node<Signal> spark, const S& of_table, const S& wanted) const {
        const S now = mode == table ? wanted : mode == at_limit ? v[held] : soft_min(wanted, v[held], limit_rounding);
        v(table_spark, {of_table});
        v(spark, {now});
        if (v.recording()) v.output(held_back_out, S(std::max(0.0, value(wanted) - value(now))));
        return now;
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        if (mode == table) {
            v.rate(held) = 0;
            return;
        }
        const S given = v[limit].value;
        if (!(value(given) < not_given))
            v.reject(
                "the knock model gives no limit: put in a model that does (pullcast models knock), or set "
                "spark_mode = \"table\"; limit",
                given, -not_given, 89 * degree);
        S target = given - reserve;
        if (mode == at_limit) target = soft_min(target, S(v[best].value), limit_rounding);
        v.rate(held) = (target - v[held]) / limit_lag;
    }
};

}  // namespace engine_family

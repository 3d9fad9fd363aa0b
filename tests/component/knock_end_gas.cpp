// End-gas model as a component: its level, what it makes of a pull, the limit that it publishes, what it refuses. The
// cycle itself: published/knock_cycle.cpp; the limit: knock_limit.cpp.
#include <gtest/gtest.h>

#include <pullcast/media/moist_air.hpp>

#include "bench_review.hpp"
#include "knock_engine.hpp"

namespace knock_end_gas_tests {

using namespace pullcast;
using namespace pullcast::test;
using knock::Point;

/// A cylinder of 86 by 86 mm, everything else as preset.
struct EndGas : Bench {
    explicit EndGas(const std::map<std::string, double>& numbers = {}, const std::string& level = "reference_point",
                    const std::string& mode = "table")
        : Bench(builtin("knock.end_gas")) {
        set("bore", .086).set("stroke", .086).set("compression_ratio", 9.5).set("reference_spark", 14 * degree);
        set_choice("level", level).set_choice("spark_mode", mode);
        for (const auto& [name, number] : numbers) set(name, number);
        if (const Problem p = prepare(); p.why) throw std::runtime_error(p.why);
    }
    void feed(const Point<double>& at, double spark_angle) {
        gas("manifold") = media::gas_state(at.p, at.T, at.w);
        shaft("crank").omega = at.omega, signal("lambda").value = at.lambda;
        signal("exhaust_pressure").value = at.exhaust_pressure, heat("coolant").T = at.coolant;
        signal("spark").value = spark_angle;
        evaluate();
    }
    /// An output at one operating point.
    double at(const Point<double>& point, double spark_angle, const std::string& name) {
        feed(point, spark_angle);
        Recording pull(*this);
        pull.add(0);
        pull.review();
        return pull.output(name, 0);
    }
};

// ---- level ------------------------------------------------------------------------------------------------------

// By definition of the reference point.
TEST(KnockEndGas, requires_the_reference_octane_at_the_reference_point) {
    for (const double octane : {88.0, 95.0, 101.0}) {
        EndGas b({{"reference_octane", octane}, {"ron", octane}, {"mon", octane - 10}});
        EXPECT_NEAR(b.at(reference_point, 14 * degree, "required_octane"), octane, 1e-9);
        EXPECT_NEAR(b.at(reference_point, 14 * degree, "margin_octane"), 0, 1e-9);
        EXPECT_NEAR(b.at(reference_point, 14 * degree, "margin"), 0, 0.01 * degree);
        EXPECT_NEAR(b.at(reference_point, 14 * degree, "headroom"), 0, 0.02);
    }
}
TEST(KnockEndGas, reference_point_may_be_of_another_compression_ratio) {
    EndGas same, higher({{"compression_ratio", 10.5}});
    EXPECT_EQ(same.at(reference_point, 14 * degree, "level_scale"),
              higher.at(reference_point, 14 * degree, "level_scale"));
    EXPECT_GT(higher.at(reference_point, 14 * degree, "required_octane"), 95 + 5 * 0.7);
}
TEST(KnockEndGas, level_of_the_correlation_is_the_cycle_as_it_stands) {
    EndGas b({}, "correlation");
    EXPECT_EQ(b.at(base_point, 20 * degree, "level_scale"), 1);
    EXPECT_NEAR(b.at(base_point, 20 * degree, "required_octane"),
                knock::required_at(knock_engine(), base_point, 20 * degree), 1e-9);
}
// Octane index RON - K (RON - MON): K 0 in the RON test, 1 in the MON test (SAE 2017-01-0666, abstract).
TEST(KnockEndGas, fuel_is_its_octane_index) {
    const auto octane = [](double k) {
        return EndGas({{"ron", 98}, {"mon", 88}, {"octane_index_k", k}}).at(base_point, 0.3, "fuel_octane");
    };
    EXPECT_NEAR(octane(0), 98, 1e-12);
    EXPECT_NEAR(octane(1), 88, 1e-12);
    EXPECT_NEAR(octane(-0.5), 103, 1e-12);
}

// ---- a pull -----------------------------------------------------------------------------------------------------

const char* const cycle_outputs[] = {"limited_spark",   "margin_octane",   "headroom",
                                     "per_temperature", "per_pressure",    "per_octane",
                                     "peak_pressure",   "required_octane", "k_estimate"};

/// Six seconds at full throttle, made up: all inputs move smoothly. Report points 40 ms apart, every third later.
struct Pull {
    EndGas b;
    Recording rows{b};
    std::vector<Point<double>> points;
    std::vector<double> sparks;
    std::vector<std::map<std::string, double>> direct;  // outputs of each row, worked out there and nowhere else

    Pull() {
        for (int k = 0; k < 150; ++k) {
            const double time = 0.04 * k + (k % 3 == 2 ? 0.012 : 0), s = time / 6;
            points.push_back({100e3 + 85e3 * std::sin(1.3 * s), 305 + 45 * s * s, 0.009, (2000 + 4800 * s) * rpm,
                              0.9 - 0.08 * s, 108e3 + 60e3 * s * s, 360 + 5 * s});
            sparks.push_back((16 - 6 * s + 8 * s * s) * degree);
            b.feed(points.back(), sparks.back());
            rows.add(time);
        }
        rows.review();
        for (std::size_t k = 0; k < points.size(); k += knock::Lanes::count) judge(k);
    }
    void judge(std::size_t first) {
        auto e = knock_engine();
        e.log_scale = knock::delay_octane * std::log(95 / knock::required_at(e, reference_point, 14 * degree));
        const auto count = std::min<std::size_t>(knock::Lanes::count, points.size() - first);
        const knock::Batch batch(e, std::span(points).subspan(first, count));
        const auto answers = batch.answer(std::span(sparks).subspan(first, count));
        for (std::size_t k = 0; k < count; ++k) {
            const auto& a = answers[k];
            const auto s = batch.sensitivity(static_cast<int>(k));
            const double values[] = {a.limit,           95 - a.octane_required, a.headroom,
                                     s.per_temperature, s.per_pressure,         s.per_octane,
                                     a.peak_pressure,   a.octane_required,      a.k_estimate};
            direct.emplace_back();
            for (std::size_t i = 0; i < std::size(values); ++i) direct.back()[cycle_outputs[i]] = values[i];
        }
    }
};
const Pull& pull() {
    static const Pull one;
    return one;
}

/// Rows in which every output is what the cycle gives there.
std::vector<std::size_t> judged_rows() {
    std::vector<std::size_t> rows;
    for (std::size_t k = 0; k < pull().points.size(); ++k)
        if (std::all_of(std::begin(cycle_outputs), std::end(cycle_outputs), [&](const char* name) {
                const double direct = pull().direct[k].at(name);
                return std::fabs(pull().rows.output(name, k) - direct) <= 1e-9 * std::fabs(direct);
            }))
            rows.push_back(k);
    return rows;
}
TEST(KnockEndGas, joins_the_rows_it_judges_by_straight_lines) {
    const auto judged = judged_rows();
    ASSERT_GT(judged.size(), 20u);
    EXPECT_LT(judged.size(), pull().points.size() / 2);
    EXPECT_EQ(judged.front(), 0u);
    EXPECT_EQ(judged.back(), pull().points.size() - 1);
    const auto& rows = pull().rows;
    for (std::size_t j = 1; j < judged.size(); ++j)
        for (std::size_t k = judged[j - 1] + 1; k < judged[j]; ++k)
            for (const char* name : cycle_outputs) {
                const double from = rows.output(name, judged[j - 1]), to = rows.output(name, judged[j]);
                const double share =
                    (rows.time(k) - rows.time(judged[j - 1])) / (rows.time(judged[j]) - rows.time(judged[j - 1]));
                EXPECT_NEAR(rows.output(name, k), from + share * (to - from), 1e-12 * std::fabs(from)) << name << k;
            }
}
TEST(KnockEndGas, straight_lines_stay_close_to_judging_every_row) {
    double limit = 0, octane = 0, kelvins = 0;
    for (std::size_t k = 0; k < pull().points.size(); ++k) {
        const auto off = [&](const char* name) {
            return std::fabs(pull().direct[k].at(name) - pull().rows.output(name, k));
        };
        limit = std::fmax(limit, off("limited_spark")), octane = std::fmax(octane, off("margin_octane"));
        kelvins = std::fmax(kelvins, off("headroom"));
    }
    EXPECT_LT(limit, 0.03 * degree);  // most where the limit bends towards the turn of the octane curve
    EXPECT_LT(octane, 0.02);
    EXPECT_LT(kelvins, 0.1);
}
TEST(KnockEndGas, margin_is_limited_spark_less_spark_in_every_row) {
    for (std::size_t k = 0; k < pull().points.size(); ++k) {
        EXPECT_EQ(pull().rows.output("margin", k), pull().rows.output("limited_spark", k) - pull().sparks[k]) << k;
        EXPECT_EQ(pull().rows.output("fuel_octane", k), 95);
    }
}
TEST(KnockEndGas, a_pull_of_any_length_is_judged) {
    for (const std::size_t length : {0, 1, 2}) {
        EndGas b;
        Recording rows(b);
        for (std::size_t k = 0; k < length; ++k) {
            b.feed(pull().points[k], pull().sparks[k]);
            rows.add(pull().rows.time(k));
        }
        rows.review();
        for (std::size_t k = 0; k < length; ++k)
            EXPECT_NEAR(rows.output("limited_spark", k), pull().direct[k].at("limited_spark"), 1e-9);
    }
}

// ---- limit ------------------------------------------------------------------------------------------------------

TEST(KnockEndGas, publishes_a_limit_where_the_calibration_uses_it) {
    EndGas unused, used({}, "reference_point", "at_limit");
    unused.feed(reference_point, 0.2);
    EXPECT_EQ(unused.signal("limit").value, 90 * degree);
    used.feed(reference_point, 0.2);
    const double limit = used.signal("limit").value;
    EXPECT_NEAR(limit, 14 * degree, 0.05 * degree);  // the table's accuracy
    used.feed(reference_point, 0.4);
    EXPECT_EQ(used.signal("limit").value, limit);  // the same for every spark
    auto throttled = reference_point;
    throttled.p = 35e3, throttled.exhaust_pressure = 105e3;
    used.feed(throttled, 0.4);
    EXPECT_LT(used.signal("limit").value, 89 * degree);
    EXPECT_GT(used.signal("limit").value, 45 * degree);
}

// ---- what it refuses --------------------------------------------------------------------------------------------

Problem refusal(const std::map<std::string, double>& numbers) {
    Bench b(builtin("knock.end_gas"));
    b.set("bore", .086).set("stroke", .086).set("compression_ratio", 9.5);
    for (const auto& [name, number] : numbers) b.set(name, number);
    return b.prepare();
}
TEST(KnockEndGas, refuses_a_motor_number_above_the_research_number) {
    const Problem p = refusal({{"ron", 95}, {"mon", 99}});
    EXPECT_STREQ(p.parameter, "mon");
    EXPECT_STREQ(p.why, "mon = 99 is above ron = 95: no fuel class does that");
    EXPECT_EQ(refusal({{"ron", 95}, {"mon", 95}}).why, nullptr);
}
TEST(KnockEndGas, refuses_an_air_fuel_ratio_that_its_formula_does_not_burn_with) {
    const Problem p = refusal({{"fuel_afr", 9.8}});
    EXPECT_STREQ(p.parameter, "fuel_afr");
    EXPECT_STREQ(p.why, "fuel_afr = 9.8 does not fit a fuel of 1.87 H and 0 O to an atom of C, which burns with 14.6");
    EXPECT_EQ(refusal({{"fuel_afr", 9.0}, {"fuel_hydrogen", 3}, {"fuel_oxygen", 0.5}}).why, nullptr);  // ethanol
}

}  // namespace knock_end_gas_tests

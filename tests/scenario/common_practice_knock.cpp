// What people who do this work expect of spark, heat and fuel near the knock limit, on the shipped studies and rig.
// Common practice, no source. Nothing here is fitted: what the physics misses is told beside it.
#include "shipped.hpp"

namespace common_practice_knock_tests {

using namespace shipped;

constexpr double degree = 3.14159265358979 / 180;
const std::string hot_day = R"("ambient.parts.weather" = "coast-heat"
"common.start_temperature" = "42 degC"
"common.start_coolant_temperature" = "39 degC"
"common.start_pressure" = "100.9 kPa"
"drive.parts.pulley" = "pulley-80"
"cooler.parts.core" = "deep-core")";

/// The variants of a study by name, run.
struct Results {
    Study study;
    std::vector<VariantResult> all;

    explicit Results(Study s) : study(std::move(s)), all(run_study(study, 2)) {
        for (const auto& r : all) EXPECT_EQ(r.failure, "");
    }
    const VariantResult& operator[](std::string_view name) const {
        for (std::size_t k = 0; k < all.size(); ++k)
            if (study.variants[k].name == name) return all[k];
        throw std::out_of_range("no variant " + std::string(name));
    }
};

/// Report points from `start` s on.
std::vector<std::size_t> points_after(const VariantResult& r, double start) {
    std::vector<std::size_t> points;
    for (std::size_t k = PullView(*r.network, r.pull).after(start); k < r.pull.time.size(); ++k) points.push_back(k);
    EXPECT_GT(points.size(), 300u);
    return points;
}
/// The least of a channel at these points.
double smallest(const std::vector<double>& values, const std::vector<std::size_t>& points) {
    double least = values.at(points.front());
    for (const auto k : points) least = std::min(least, values[k]);
    return least;
}
/// Share of the peak power that the second lacks against the first.
double lost(const VariantResult& from, const VariantResult& to) {
    return 1 - figure(to, "crank_power") / figure(from, "crank_power");
}

// Two degrees less than a table that is near the limit cost 2 to 3 % of peak power, more once heat has taken spark and
// the engine is further from best torque. Measured: 2.7 % cold, 3.8 % soaked.
TEST(CommonPracticeKnock, TwoDegreesCostMoreWhereSparkIsFurtherFromBestTorque) {
    const Results r(read("studies/cost-of-a-retard.toml"));
    for (const std::string start : {"cold", "soaked"}) {
        EXPECT_NEAR(figure(r[start], "knock_margin"), 0, 2 * degree) << start << " is not near the limit";
        EXPECT_NEAR(figure(r[start], "spark_peak_power") - figure(r[start + "-less"], "spark_peak_power"), 2 * degree,
                    0.2 * degree);
    }
    const double cold = lost(r["cold"], r["cold-less"]), soaked = lost(r["soaked"], r["soaked-less"]);
    EXPECT_GT(cold, 0.015);
    EXPECT_LT(cold, 0.035);
    EXPECT_GT(soaked, cold + 0.005);
    EXPECT_LT(soaked, 0.05);
    EXPECT_GT(figure(r["soaked"], "spark_loss_peak_power"), 1.3 * figure(r["cold"], "spark_loss_peak_power"));
}

// A soaked start costs some 5 to 12 % of peak power (common practice, no source): partly thin air, which the air flow
// shows, partly spark that the trims took, and those two explain it. Measured: 9.2 %, of it 3.5 points air, 5.2 spark.
TEST(CommonPracticeKnock, ASoakedStartLosesPowerToThinAirAndToSpark) {
    const Results r(read("studies/cost-of-a-retard.toml"));
    const auto &cold = r["cold"], &soaked = r["soaked"];
    const double power = figure(cold, "crank_power"), loss = lost(cold, soaked);
    EXPECT_GT(loss, 0.05);
    EXPECT_LT(loss, 0.12);
    EXPECT_LT(figure(cold, "retard_loss_peak_power"), 0.01 * power);
    const double spark = (figure(soaked, "retard_loss_peak_power") - figure(cold, "retard_loss_peak_power")) / power;
    const double air = 1 - figure(soaked, "air_flow_redline") / figure(cold, "air_flow_redline");
    EXPECT_GT(spark / loss, 0.35);
    EXPECT_LT(spark / loss, 0.75);
    EXPECT_GT(air / loss, 0.25);
    EXPECT_NEAR((spark + air) / loss, 1, 0.15);
}

// One line makes the mixture leaner or richer: from the club's lambda of some 0.85, leaner makes a little more power (best
// torque near 0.87 to 0.90) and less margin, richer less power and more margin, by both models (common practice, no
// source).
TEST(CommonPracticeKnock, MixtureTradesPowerForMargin) {
    const Results r(study_of({{"rich", {hot_day, R"("calibration.lambda_offset" = -0.05)"}},
                              {"club", {hot_day}},
                              {"lean", {hot_day, R"("calibration.lambda_offset" = 0.05)"}}}));
    for (const auto& [richer, leaner] : {std::pair{"rich", "club"}, std::pair{"club", "lean"}}) {
        EXPECT_LT(figure(r[richer], "crank_power"), figure(r[leaner], "crank_power")) << leaner;
        for (const std::size_t model : {0u, 1u})
            for (const double rpm : {3000.0, 4500.0, 6000.0})
                EXPECT_GT(at_speed(r[richer], rpm, "knock", "margin", model),
                          at_speed(r[leaner], rpm, "knock", "margin", model))
                    << leaner << " at " << rpm << " by model " << model;
    }
    EXPECT_LT(figure(r["lean"], "crank_power"), 1.05 * figure(r["rich"], "crank_power"));
}

// Under the same conditions the ethanol blend leaves more margin at every speed, by both models: by 5 degrees and more.
TEST(CommonPracticeKnock, AnEthanolBlendLeavesMoreMarginByBothModels) {
    const Results r(read("studies/pump-or-ethanol.toml"));
    for (const std::size_t model : {0u, 1u})
        for (const double rpm : {2300.0, 3000.0, 4000.0, 5000.0, 6000.0, 6350.0})
            EXPECT_GT(at_speed(r["hot-blend"], rpm, "knock", "margin", model),
                      at_speed(r["hot"], rpm, "knock", "margin", model) + 5 * degree)
                << rpm << " by model " << model;
    EXPECT_GT(figure(r["hot-blend"], "crank_power"), figure(r["hot"], "crank_power"));
    EXPECT_GT(figure(r["hot-blend-limit"], "crank_power"), figure(r["hot-limit"], "crank_power"));
    EXPECT_GT(figure(r["hot-blend-limit"], "crank_torque"), 1.03 * figure(r["hot-limit"], "crank_torque"));
}

/// Each fuel with spark held back to its limit and at it, less a reserve of 2 or 5 degrees, on the hot day.
struct Limited : testing::TestWithParam<std::tuple<std::string, int>> {
    std::string fuel = R"("common.parts.fuel" = ")" + std::get<0>(GetParam()) + '"';
    double reserve = std::get<1>(GetParam()) * degree;

    VariantText variant(const std::string& mode, const std::string& further = "") const {
        const auto kept = "\"common.knock_reserve\" = \"" + std::to_string(std::get<1>(GetParam())) + " deg\"";
        return {mode, {hot_day, fuel, kept, "\"common.spark_mode\" = \"" + mode + '"', further}};
    }
};
/// A table that reaches the limit almost everywhere.
const std::string bold_table = R"("calibration.spark_offset" = "5 deg")";

// While boost builds up the limit falls faster than its lag of 0.03 s lets spark follow: half a degree of the reserve
// may be missing at 0.5 s, a fifth from 1 s on. The limit as a controller looks it up is that of the cycle to 0.3
// degrees.
TEST_P(Limited, KeepTheirReserve) {
    const Results r(study_of({variant("held_back", bold_table), variant("at_limit")}));
    for (const std::string mode : {"held_back", "at_limit"}) {
        const auto margin = channel(r[mode], "knock", "margin");
        EXPECT_GT(smallest(margin, points_after(r[mode], 0.5)), reserve - 0.5 * degree) << mode;
        EXPECT_GT(smallest(margin, points_after(r[mode], 1.0)), reserve - 0.2 * degree) << mode;
        const auto looked_up = channel(r[mode], "knock", "limit"), cycle = channel(r[mode], "knock", "limited_spark");
        for (const auto k : points_after(r[mode], 0.5)) EXPECT_NEAR(looked_up[k], cycle[k], 0.3 * degree) << mode;
    }
    const auto held = channel(r["held_back"], "calibration", "held_back");
    const auto points = points_after(r["held_back"], 1.0);
    const auto most = std::max_element(points.begin(), points.end(), [&](auto a, auto b) { return held[a] < held[b]; });
    const bool takes_it_all = fuel.find("blend") != fuel.npos && reserve < 4 * degree;  // the bold table, as it is
    EXPECT_GT(held[*most], takes_it_all ? 0 : 0.2 * degree) << "the limit had nothing to do";
}

// Spark at the limit makes at least the power of spark held back to it, at every speed.
TEST_P(Limited, GiveAtTheLimitNoLessThanHeldBack) {
    const Results r(study_of({variant("held_back"), variant("at_limit")}));
    for (const double rpm : {2600.0, 3000.0, 3500.0, 4000.0, 4500.0, 5000.0, 5500.0, 6000.0, 6350.0})
        EXPECT_GT(at_speed(r["at_limit"], rpm, "load", "crank_torque"),
                  0.999 * at_speed(r["held_back"], rpm, "load", "crank_torque"))
            << rpm;
}

// Spark past best torque makes less power and more knock: nobody sets it.
TEST_P(Limited, NeverGoPastBestTorque) {
    const Results r(study_of({variant("at_limit")}));
    const auto spark = channel(r["at_limit"], "calibration", "spark"),
               best = channel(r["at_limit"], "torque", "best_spark");
    for (const auto k : points_after(r["at_limit"], 1.0))
        EXPECT_LT(spark[k], best[k] + 1e-4) << r["at_limit"].pull.time[k];
}

INSTANTIATE_TEST_SUITE_P(CommonPracticeKnock, Limited,
                         testing::Combine(testing::Values("pump-95", "pump-98", "ethanol-blend"),
                                          testing::Values(2, 5)),
                         [](const auto& p) {
                             std::string name = std::get<0>(p.param) + "_" + std::to_string(std::get<1>(p.param));
                             std::replace(name.begin(), name.end(), '-', '_');
                             return name;
                         });

}  // namespace common_practice_knock_tests

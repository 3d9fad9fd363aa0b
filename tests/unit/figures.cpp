// The figures of a pull, on a network without physics and report points written by hand: which channel of which role at
// which point, what "boost" means, which correction is applied, and what is said where a rig has no such part.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/media/humidity.hpp>
#include <set>

#include "written_pull.hpp"

namespace figures_tests {

using namespace written_pull;

TEST(Figures, BoostIsTheEnginesManifoldAboveAmbient) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("boost_start"), 55e3) << "half a second after the throttle opens";
    EXPECT_DOUBLE_EQ(p.figure("boost_peak_power"), 65e3);
    EXPECT_DOUBLE_EQ(p.figure("boost_redline"), 63e3);
}

TEST(Figures, PeaksAndEnds) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("crank_power"), 210e3);
    EXPECT_DOUBLE_EQ(p.figure("peak_power_speed"), 500);
    EXPECT_DOUBLE_EQ(p.figure("crank_torque"), 420);
    EXPECT_DOUBLE_EQ(p.figure("wheel_power"), 172e3) << "a peak of its own, not where the crank's is";
    EXPECT_DOUBLE_EQ(p.figure("wheel_torque"), 340);
    EXPECT_DOUBLE_EQ(p.figure("pull_time"), 1);
    EXPECT_DOUBLE_EQ(p.figure("air_flow_redline"), 0.22);
    EXPECT_DOUBLE_EQ(p.figure("charge_start"), 310);
    EXPECT_DOUBLE_EQ(p.figure("charge_peak_power"), 330);
    EXPECT_DOUBLE_EQ(p.figure("charge_redline"), 345);
    EXPECT_DOUBLE_EQ(p.figure("charge_rise"), 35);
}

// While the throttle opens nothing is said about knock.
TEST(Figures, KnockMarginIsTheSmallestOnceBoostIsThere) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("knock_margin"), 0.05);
    EXPECT_DOUBLE_EQ(p.figure("knock_margin_octane"), 2.9);
    EXPECT_DOUBLE_EQ(p.figure("knock_margin_speed"), 500);
}

// The same point is read by both models; the second one's own worst is elsewhere.
TEST(Figures, ASecondKnockModelIsReadWhereTheFirstIsWorst) {
    Written p = written(doubtful_rig());
    p.set("opinion.margin", {-0.9, -0.8, 0.01, 0.02, 0.13}).set("rules.headroom", {9, 9, 30, 14, 20});
    p.set("rules.limited_spark", {1, 1, 0.3, 0.25, 0.27});
    EXPECT_DOUBLE_EQ(p.figure("knock_margin"), 0.05) << "the first model is the one that is read";
    EXPECT_DOUBLE_EQ(p.figure("knock_margin_second"), 0.02);
    EXPECT_DOUBLE_EQ(p.figure("knock_doubt"), 0.03);
    EXPECT_DOUBLE_EQ(p.figure("knock_smallest_second"), 0.01);
    EXPECT_DOUBLE_EQ(p.figure("knock_headroom"), 14);
    EXPECT_DOUBLE_EQ(p.figure("knock_limited_spark"), 0.25);
    p.set("opinion.margin", {0, 0, 0.1, 0.07, 0.1});
    EXPECT_DOUBLE_EQ(p.figure("knock_doubt"), 0.02) << "a size, whichever is larger";
}

TEST(Curves, OfKnockBeginWhereBoostIsThere) {
    Written p = written(doubtful_rig());
    p.set("opinion.margin", {9, 9, 0.01, 0.02, 0.13}).set("rules.limited_spark", {1, 1, 0.3, 0.25, 0.27});
    const auto from_half_a_second = [&](const char* key, const std::vector<double>& then) {
        const auto values = p.curve(key);
        ASSERT_EQ(values.size(), 5u) << key;
        EXPECT_TRUE(std::isnan(values[0]) && std::isnan(values[1])) << key;
        EXPECT_EQ(std::vector(values.begin() + 2, values.end()), then) << key;
    };
    from_half_a_second("knock_margin", {0.10, 0.05, 0.07});
    from_half_a_second("knock_margin_second", {0.01, 0.02, 0.13});
    from_half_a_second("knock_limited_spark", {0.3, 0.25, 0.27});
    EXPECT_TRUE(written(whole_rig()).curve("knock_margin_second").empty());
}

TEST(Figures, PowerLostToSparkIsReadAtPeakPower) {
    Written p = written(whole_rig());
    p.set("tables.spark", {0.5, 0.4, 0.3, 0.21, 0.2}).set("torque.spark_loss", {1, 2, 3, 20e3, 30e3});
    p.set("torque.retard_loss", {1, 2, 3, 8e3, 9e3});
    EXPECT_DOUBLE_EQ(p.figure("spark_peak_power"), 0.21);
    EXPECT_DOUBLE_EQ(p.figure("spark_loss_peak_power"), 20e3);
    EXPECT_DOUBLE_EQ(p.figure("retard_loss_peak_power"), 8e3);
}

// A torque model without a table to compare with reports no loss; that is no finding.
TEST(Figures, WithoutASparkOfTheTableNothingIsSaidToBeTakenFromIt) {
    RigSpec rig = whole_rig();
    for (auto& c : rig.components) c.connections.erase("table_spark");
    EXPECT_TRUE(std::isnan(written(rig).figure("retard_loss_peak_power")));
    EXPECT_FALSE(std::isnan(written(rig).figure("spark_loss_peak_power")));
}

// Points worked from the formulas of SAE J1349 and ISO 1585 as quoted second-hand (tests/published/power_correction.cpp
// has the same): barometer, humidity and temperature of the pull's ambient, and dry pressure, not total.
TEST(Figures, CorrectedPowerUsesTheFactorAtThePullsAmbient) {
    struct Point {
        double t, rh, p, j1349, iso;
        bool j1349_in_range, iso_in_range;
    };
    constexpr Point points[] = {
        {25, 0.0, 99000, 1.00000, 1.00000, true, true},   {25, 0.5, 101325, 0.99124, 0.99110, true, true},
        {30, 0.6, 100000, 1.02875, 1.02931, true, true},  {35, 0.4, 98000, 1.06037, 1.06170, true, true},
        {40, 0.3, 95000, 1.11034, 1.11323, false, false}, {5, 0.9, 90000, 1.08472, 1.08676, false, false}};
    for (const auto& c : points) {
        const double T = c.t + 273.15, w = media::vapour_fraction(c.rh, T, c.p);
        Written p = written(whole_rig());
        p.set("outside.air.T", {T, T, T, T, T}).set("outside.air.p", {c.p, c.p, c.p, c.p, c.p});
        p.set("outside.air.w", {w, w, w, w, w});
        EXPECT_NEAR(p.figure("crank_power_j1349") / 210e3, c.j1349, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("crank_power_iso1585") / 210e3, c.iso, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("wheel_power_j1349") / 172e3, c.j1349, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("crank_torque_iso1585") / 420, c.iso, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("wheel_torque_j1349") / 340, c.j1349, 1e-4) << c.t;
        EXPECT_DOUBLE_EQ(p.figure("crank_power"), 210e3) << "as measured, whatever the weather";
        EXPECT_EQ(p.corrected(Standard::sae_j1349).in_range, c.j1349_in_range) << c.t;
        EXPECT_EQ(p.corrected(Standard::iso_1585).in_range, c.iso_in_range) << c.t;
    }
    EXPECT_EQ(written(whole_rig()).corrected(Standard::none).factor, 1);
}

/// Which of these figures are NaN, in one line.
std::string missing(const Written& p, const std::vector<std::string>& keys) {
    std::string text;
    for (const auto& key : keys)
        if (std::isnan(p.figure(key))) text += (text.empty() ? "" : " ") + key;
    return text;
}

TEST(Figures, AreNotANumberWhereTheRigHasNoSuchPart) {
    const std::vector<std::string> keys = {"crank_power",  "boost_redline",      "charge_redline", "air_flow_redline",
                                           "knock_margin", "knock_margin_speed", "pull_time"};
    EXPECT_EQ(missing(written(whole_rig()), keys), "");
    EXPECT_EQ(missing(written(without("rules")), keys), "knock_margin knock_margin_speed");
    EXPECT_EQ(missing(written(without("outside")), keys), "boost_redline");
    EXPECT_EQ(missing(written(without("engine")), keys), "boost_redline charge_redline air_flow_redline");
    EXPECT_EQ(missing(written(without("rollers")), keys), "crank_power knock_margin_speed");
    const std::vector<std::string> second = {"knock_margin_second", "knock_doubt", "knock_smallest_second"};
    EXPECT_EQ(missing(written(doubtful_rig()), second), "");
    EXPECT_EQ(missing(written(whole_rig()), second), "knock_margin_second knock_doubt knock_smallest_second");
}

TEST(Figures, OfPartsThatAreNotThereAreNotANumber) {
    const Written p = written(whole_rig());
    for (const char* key : {"blower_speed", "drive_power", "belt_slip", "belt_margin", "effectiveness_start",
                            "coolant_flow", "reservoir_redline", "intake_redline"})
        EXPECT_TRUE(std::isnan(p.figure(key))) << key;
}

// Without weather nothing can be corrected: the figure must not pass for a corrected one.
TEST(Figures, WithoutAmbientNoCorrectedFigure) {
    EXPECT_TRUE(std::isnan(written(without("outside")).figure("crank_power_j1349")));
    EXPECT_TRUE(std::isnan(written(without("outside")).figure("crank_torque_iso1585")));
}

TEST(Figures, KeysAreUniqueAndDocumented) {
    std::set<std::string> seen;
    for (const Figure& f : figures()) {
        EXPECT_TRUE(seen.insert(f.key).second) << f.key;
        EXPECT_GT(std::string(f.doc).size(), 8u) << f.key;
        EXPECT_FALSE(std::string(f.label).empty()) << f.key;
    }
}

}  // namespace figures_tests

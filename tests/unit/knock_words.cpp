// What moved the knock margin, on which side of the limit a pull is, and the sentences about it: numbers written by
// hand.
#include <gtest/gtest.h>

#include <map>
#include <pullcast/study/knock_words.hpp>

#include "written_pull.hpp"

namespace knock_words_tests {

using namespace written_pull;

constexpr double deg = 0.017453292519943295;

/// A margin that is linear in all that the split knows: 5 deg at 320 K, 150 kPa, 15 deg and 95 octane.
KnockPoint linear(double T, double p, double spark, double octane) {
    constexpr double per_K = -0.15 * deg, per_Pa = -0.3e-3 * deg, per_octane = 0.9 * deg;
    const double margin =
        5 * deg + per_K * (T - 320) + per_Pa * (p - 150e3) - (spark - 15 * deg) + per_octane * (octane - 95);
    return {500, margin, T, p, spark, octane, per_K, per_Pa, per_octane};
}

TEST(MarginSplit, OfALinearMarginLeavesNoRest) {
    const auto s = split_margin(linear(320, 150e3, 15 * deg, 95), linear(340, 160e3, 12 * deg, 98));
    EXPECT_NEAR(s.heat / deg, -3, 1e-12) << "20 K of 0.15 deg";
    EXPECT_NEAR(s.pressure / deg, -3, 1e-12) << "10 kPa of 0.3 deg";
    EXPECT_NEAR(s.spark / deg, 3, 1e-12);
    EXPECT_NEAR(s.fuel / deg, 2.7, 1e-12) << "3 numbers of 0.9 deg";
    EXPECT_NEAR(s.total / deg, -0.3, 1e-12);
    EXPECT_NEAR(s.rest / deg, 0, 1e-12);
}

// The trapezoid rule is exact where a slope changes linearly: a margin with squares of heat and pressure leaves no
// rest.
TEST(MarginSplit, TakesTheMeanOfBothSlopes) {
    const auto point = [](double T, double p) {
        constexpr double a = 2e-5, b = 3e-12;
        return KnockPoint{500, 1 - a * T * T - b * p * p, T, p, 0.2, 95, -2 * a * T, -2 * b * p, 0.02};
    };
    const auto s = split_margin(point(320, 150e3), point(345, 190e3));
    EXPECT_NEAR(s.heat, -2e-5 * (345 * 345 - 320 * 320), 1e-14);
    EXPECT_NEAR(s.pressure, -3e-12 * (190e3 * 190e3 - 150e3 * 150e3), 1e-14);
    EXPECT_NEAR(s.rest, 0, 1e-14);
}

TEST(MarginSplit, AddsUpAndPutsWhatItDoesNotExplainIntoTheRest) {
    const auto from = linear(320, 150e3, 15 * deg, 95);
    auto to = linear(331, 171e3, 14 * deg, 98);
    to.margin -= 0.7 * deg, to.per_temperature *= 1.3, to.speed = 400;
    const auto s = split_margin(from, to), back = split_margin(to, from);
    EXPECT_DOUBLE_EQ(s.heat + s.pressure + s.spark + s.fuel + s.rest, to.margin - from.margin);
    // 0.7 deg were put in; the mean slope is 15 % steeper than the one that the margin was made with, over 11 K.
    EXPECT_NEAR(s.rest / deg, -0.7 + 0.15 * 0.15 * 11, 1e-12);
    EXPECT_DOUBLE_EQ(back.heat, -s.heat);
    EXPECT_DOUBLE_EQ(back.rest, -s.rest);
}

/// deg of margin by the first model, by the second there, and of the second's own smallest.
KnockSide side(double first, double second, double smallest) {
    const std::map<std::string, double> set = {{"knock_margin", first * deg},
                                               {"knock_margin_second", second * deg},
                                               {"knock_doubt", std::fabs(first - second) * deg},
                                               {"knock_smallest_second", smallest * deg}};
    VariantResult r;
    for (const auto& f : figures()) r.figures.push_back(set.contains(f.key) ? set.at(f.key) : std::nan(""));
    return knock_side(r);
}

TEST(KnockSide, IsKnownOnlyWhereBothModelsTellTheSame) {
    const double none = std::nan("");
    EXPECT_EQ(side(none, none, none), KnockSide::not_computed);
    EXPECT_EQ(side(none, 3, 3), KnockSide::not_computed) << "a second opinion needs a first one";
    EXPECT_EQ(side(1, none, none), KnockSide::clear);
    EXPECT_EQ(side(-1, none, none), KnockSide::beyond);
    EXPECT_EQ(side(3, 5, 5), KnockSide::clear);
    EXPECT_EQ(side(3, 0.5, 0.5), KnockSide::clear) << "2.5 deg of doubt leave 0.5";
    EXPECT_EQ(side(3, 7, 7), KnockSide::clear) << "4 deg of doubt, on the safe side";
    EXPECT_EQ(side(3, 3.5, -1), KnockSide::unknown) << "the second model knocks at another speed";
    EXPECT_EQ(side(1, -1, -1), KnockSide::unknown);
    EXPECT_EQ(side(-1, 1, 1), KnockSide::unknown) << "only one says that it would knock";
    EXPECT_EQ(side(-1, 1, -1), KnockSide::beyond) << "both do, of different speeds";
    EXPECT_EQ(side(-1, -4, -4), KnockSide::beyond);
}

class KnockWords : public testing::Test {
protected:
    Study study;
    std::vector<VariantResult> results;

    void add(const char* name, const VariantResult& r) {
        study.variants.emplace_back().name = name;
        if (study.base.empty()) study.base = name;
        results.push_back(r);
    }
    std::vector<std::string> said(std::size_t variant, UnitSystem system = UnitSystem::metric) const {
        return knock_in_words(study, results, variant, system);
    }
};
using Lines = std::vector<std::string>;
constexpr auto us = UnitSystem::us;

/// A pull whose worst point is the last but one: 500 rad/s, 160 kPa. Angles in deg; the margin is 9 elsewhere.
Written pull(const RigSpec& rig, double T, double margin, double spark) {
    Written p = written(rig);
    const auto everywhere = [&](const char* channel, double value) { p.set(channel, std::vector<double>(5, value)); };
    everywhere("plenum.gas.T", T), everywhere("tables.spark", spark * deg), everywhere("tables.table_spark", 15 * deg);
    everywhere("rules.per_temperature", -0.15 * deg), everywhere("rules.per_pressure", -0.3e-3 * deg);
    everywhere("rules.per_octane", 0.9 * deg), everywhere("rules.fuel_octane", 95);
    return p.set("rules.margin", {9 * deg, 9 * deg, 9 * deg, margin * deg, 9 * deg});
}
Written pull(double T, double margin, double spark) { return pull(whole_rig(), T, margin, spark); }
Written doubtful(double margin, double second, double elsewhere) {
    Written p = pull(doubtful_rig(), 320, margin, 15);
    return p.set("opinion.margin", {9 * deg, 9 * deg, elsewhere * deg, second * deg, 9 * deg});
}

TEST_F(KnockWords, OfTheBaseSayWhatWouldMoveItsMargin) {
    add("stock", pull(320, 5, 15).result());
    EXPECT_EQ(said(0),
              Lines{"At the worst point (4775 rpm) 10 K hotter charge would take 1.5 deg, 10 kPa more pressure 3.0 "
                    "deg, one octane number less 0.9 deg, one degree more spark 1.0 deg. A trend, not a promise."});
    EXPECT_EQ(said(0, us),
              Lines{"At the worst point (4775 rpm) 20 degF hotter charge would take 1.7 deg, 1 psi more pressure "
                    "2.1 deg, one octane number less 0.9 deg, one degree more spark 1.0 deg. A trend, not a "
                    "promise."});
}

TEST_F(KnockWords, OfAVariantSayWhatMovedIt) {
    add("stock", pull(320, 5, 15).result());
    add("small", pull(340, 3.1, 13).result());
    EXPECT_EQ(said(1),
              Lines{"Of the 1.9 deg less knock margin, heat takes 3.0 deg (20.0 K hotter), spark gives 2.0 deg (set "
                    "later), the rest takes 0.9 deg (mixture, back pressure and the like): heat moves it most. A "
                    "trend, not a promise."});
    add("core", pull(310, 6.5, 15).set("rollers.speed", {200, 300, 400, 450, 600}).result());
    EXPECT_EQ(said(2, us),
              Lines{"Of the 1.5 deg more knock margin, heat gives 1.5 deg (18.0 degF cooler). A trend, not a "
                    "promise."});
    add("even", pull(330, 5, 13.5).result());
    EXPECT_EQ(said(3),
              Lines{"The knock margin hardly moves: heat takes 1.5 deg (10.0 K hotter), spark gives 1.5 deg (set "
                    "later). A trend, not a promise."});
    add("elsewhere", pull(320, 4, 15).set("rollers.speed", {200, 300, 400, 450, 600}).result());
    EXPECT_EQ(said(4),
              Lines{"Of the 1.0 deg less knock margin, the rest takes 1.0 deg (mixture and the like; worst at 4297 "
                    "rpm, not 4775 rpm). A trend, not a promise."});
}

TEST_F(KnockWords, OfTheSameAgainSayWhatWouldMoveIt) {
    add("stock", pull(320, 5, 15).result());
    add("same", pull(320, 5, 15).result());
    EXPECT_EQ(said(1), said(0));
}

TEST_F(KnockWords, TellTheDoubtWhereNotBothModelsSeeMargin) {
    const auto doubt = [&](const Written& p) {
        results.clear(), study = {};
        add("stock", p.result());
        return said(0).size() > 1 ? said(0)[1] : "";
    };
    const std::string models = "At the worst point (4775 rpm) the margin is ";
    EXPECT_EQ(doubt(pull(320, -1, 15)), "") << "one model's word is its warning's";
    EXPECT_EQ(doubt(doubtful(3, 5, 6)), "");
    const std::string unknown =
        ": on which side of the knock limit this pull is, is not known. A trend, not a promise.";
    EXPECT_EQ(doubt(doubtful(1.2, -1.3, 6)),
              models + "1.2 deg by test.knock (rules) and -1.3 deg by test.knock (opinion)" + unknown);
    EXPECT_EQ(doubt(doubtful(3, 4, -1)), models +
                                             "3.0 deg by test.knock (rules) and 4.0 deg by test.knock (opinion), "
                                             "which falls to -1.0 deg elsewhere" +
                                             unknown);
    EXPECT_EQ(doubt(doubtful(-2, -3, 6)),
              models +
                  "-2.0 deg by test.knock (rules) and -3.0 deg by test.knock (opinion): both say that this fuel would "
                  "knock. A trend, not a promise.");
    EXPECT_EQ(doubt(doubtful(-2, 3, -1)),
              models +
                  "-2.0 deg by test.knock (rules) and 3.0 deg by test.knock (opinion), which falls to -1.0 deg "
                  "elsewhere: each says that it would knock somewhere. A trend, not a promise.");
}

TEST_F(KnockWords, TellWhatTheCalibrationTook) {
    Written p = pull(320, 5, 11.6);
    p.set("torque.spark_loss", {0, 0, 0, 21e3, 0}).set("torque.retard_loss", {0, 0, 0, 12.3e3, 0});
    add("stock", p.result());
    EXPECT_EQ(said(0).back(),
              "The calibration took 3.4 deg of spark for heat and knock limit: 12.3 kW at peak power, of 21.0 "
              "kW lost there against spark of best torque.");
    results[0] = p.set("torque.retard_loss", {0, 0, 0, 40, 0}).result();
    EXPECT_EQ(said(0).size(), 1u) << "0.0 kW is not worth a sentence";
    results[0] = p.set("torque.retard_loss", {0, 0, 0, -2e3, 0}).result();
    EXPECT_EQ(said(0).size(), 1u) << "the trims gave power";
}

TEST_F(KnockWords, SayNothingWhereTheRigHasNoKnockModel) {
    add("stock", written(without("rules")).result());
    EXPECT_EQ(said(0), Lines{});
}

}  // namespace knock_words_tests

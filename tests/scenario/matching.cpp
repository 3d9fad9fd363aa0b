// Fitted variants under the same conditions: each term of a change's doubt, on the shipped rig with residuals and a
// covariance made up for it, so that what must come out is known in closed form (matching.hpp states the formulas).
#include <pullcast/measure/match_words.hpp>

#include "missing_channels.hpp"
#include "reference_runs.hpp"
#include "shipped.hpp"

namespace matching_tests {

using namespace shipped;
using namespace pullcast::measure;
using measure::Question;
using Kind = Parameter::Kind;

constexpr double degree = 0.017453292519943295;
const std::vector<std::string> deep_core = {"\"cooler.parts.core\" = \"deep-core\""};

const Figure& figure_of(std::string_view key) {
    for (const auto& f : figures())
        if (key == f.key) return f;
    throw std::out_of_range(std::string(key));
}

/// Three pulls of each variant. What the rig is off by is the same over the last speeds, and wild before.
struct Made {
    Study study;
    MatchChoices choices;
    std::vector<LoggedPull> pulls;
    MeasuredFit fit;
    FitChoice choice;  // of the fit's only unknown
    std::vector<std::unique_ptr<BinnedChannel>> channels;

    explicit Made(const std::vector<std::string>& changes = deep_core) {
        study = study_of({{"slim", {}}, {"deep", changes}});
        study.reference = study.variants;
        choices.figures = {&figure_of("intake_redline"), &figure_of("boost_redline"), &figure_of("crank_power")};
        for (const char* of : {"slim", "slim", "slim", "deep", "deep", "deep"}) {
            pulls.emplace_back();
            pulls.back().of = of;
        }
        fit.residuals.resize(pulls.size());
    }

    /// Of one channel, by pull; of power a share.
    void off_at_end(const char* kind, const std::vector<double>& off) {
        for (const auto& what : compared_channels()) {
            if (what.kind != std::string_view(kind)) continue;
            channels.push_back(std::make_unique<BinnedChannel>());
            auto& c = *channels.back();
            c.what = &what, c.speed = {200, 300, 400, 500, 560, 600}, c.value = {50, 90, 100, 140, 150, 160};
            for (std::size_t p = 0; p < off.size(); ++p) {
                const bool share = std::string_view(kind) == "wheel_power";
                auto computed = c.value;
                for (std::size_t k = 0; k < 4; ++k) computed[k] += 70 * static_cast<double>(p + k);
                for (std::size_t k = 4; k < 6; ++k) computed[k] += off[p] * (share ? c.value[k] : 1);
                fit.residuals[p].push_back({&c, computed, 0, 0, 0, 0});
            }
        }
    }

    /// The fit's one unknown: a factor on the cores' conductance, of the later variant alone or of both.
    void know(double deviation, Belongs belongs) {
        choice.belongs = belongs;
        fit.unknowns = {{&choice, belongs == Belongs::rig ? "" : "deep", {}, false}};
        auto& p = fit.unknowns[0].parameter;
        p.parameter = {"core", {{"cooler", "ua_scale"}}, Kind::factor};
        fit.result.solution.estimates = {{"core", 1, deviation}};
        fit.result.solution.covariance = {deviation * deviation};
    }

    std::vector<Comparison> all() const {
        const MissingChannels none({}, fit, 1);
        return match(study, choices, pulls, fit, none, 2);
    }
    Comparison only() const { return all().at(0); }
};

const MatchedFigure& of(const Comparison& c, std::string_view key) {
    for (const auto& m : c.figures)
        if (key == m.figure->key) return m;
    throw std::out_of_range(std::string(key));
}

double half_width(const MatchedFigure& m, double quantile) {
    return quantile * std::sqrt(m.fit * m.fit + m.scatter * m.scatter + m.misfit * m.misfit + m.model * m.model);
}

// Student's tables, to the digits that they print.
TEST(Matching, QuantilesAreStudents) {
    EXPECT_NEAR(student_quantile(0.975, 4), 2.776, 5e-4);
    EXPECT_NEAR(student_quantile(0.975, 8), 2.306, 5e-4);
    EXPECT_NEAR(student_quantile(0.95, 8), 1.860, 5e-4);
    EXPECT_NEAR(student_quantile(0.975, 1e6), 1.960, 5e-4);
}

// No residuals: what is stated counts as if four pulls had shown it. Three pulls of each: 1/3 + 1/3.
TEST(Matching, WithoutResidualsTheStatedScatterCounts) {
    Made made;
    made.choices.repeatability = {.power = 0.02, .temperature = 1.5, .pressure = 700};
    const auto c = made.only();
    ASSERT_EQ(c.figures.size(), 3u);
    EXPECT_NEAR(of(c, "intake_redline").scatter, 1.5 * std::sqrt(2 / 3.0), 1e-12);
    EXPECT_NEAR(of(c, "boost_redline").scatter, 700 * std::sqrt(2 / 3.0), 1e-9);
    const auto& power = of(c, "crank_power");
    EXPECT_NEAR(power.scatter, 0.02 * power.from * std::sqrt(2 / 3.0), 1e-6);
    for (const auto& m : c.figures) {
        EXPECT_EQ(m.misfit, 0);
        EXPECT_EQ(m.fit, 0);
        EXPECT_NEAR(m.half_width, half_width(m, 2.7764), 1e-4 * m.half_width) << "4 degrees of freedom";
    }
}

// Intake: squares 0.5 and 2 about the means 0 and 1.5; 4 + 6 - 2 degrees of freedom: s^2 = (4 * 1 + 2.5) / 8 = 0.8125.
// By chance the means are apart by 0.8125 * 2/3 = 0.541667, squared; they are by 2.25. Both are off by 0.75 on average,
// of which half counts.
TEST(Matching, ScatterAndMisfitAreThoseOfTheEndsOfThePulls) {
    Made made;
    made.choices.repeatability.temperature = 1;
    made.off_at_end("intake_temperature", {0.5, -0.5, 0, 1.5, 0.5, 2.5});
    made.off_at_end("wheel_power", {0.01, 0.01, 0.01, 0.01, 0.01, 0.01});
    const auto c = made.only();
    const auto& intake = of(c, "intake_redline");
    EXPECT_NEAR(intake.scatter, std::sqrt(0.8125 * 2 / 3), 1e-9);
    EXPECT_NEAR(intake.misfit, std::sqrt(2.25 - 0.8125 * 2 / 3 + 0.375 * 0.375), 1e-9);
    EXPECT_NEAR(intake.half_width, half_width(intake, 2.3060), 1e-4 * intake.half_width) << "8 degrees of freedom";
    // All pulls are off alike, and less than what is stated: s^2 = 4 * 0.01^2 / 8.
    const auto& power = of(c, "crank_power");
    EXPECT_NEAR(power.scatter, power.from * 0.01 * std::sqrt(0.5 * 2 / 3), 1e-6);
    EXPECT_NEAR(power.misfit, power.from * 0.005, 1e-6);
    // Which variant is off makes no difference.
    Made other;
    other.choices.repeatability.temperature = 1;
    other.off_at_end("intake_temperature", {1.5, 0.5, 2.5, 0.5, -0.5, 0});
    EXPECT_NEAR(of(other.only(), "intake_redline").misfit, intake.misfit, 1e-9);
}

TEST(Matching, AnUnevenNumberOfPullsIsCounted) {
    Made made;
    made.pulls.resize(4);  // one of the deep core
    made.fit.residuals.resize(4);
    made.choices.repeatability.temperature = 1;
    EXPECT_NEAR(of(made.only(), "intake_redline").scatter, std::sqrt(1 / 3.0 + 1), 1e-12);
    made.pulls.resize(3);
    EXPECT_TRUE(made.all().empty()) << "nothing was measured of the deep core";
}

/// The first number of pulls whose interval leaves out 0, by hand: all but misfit shrinks with the pulls, which also
/// know the scatter better.
std::size_t pulls_by_hand(const MatchedFigure& m, double freedom) {
    for (double n = 3;; ++n) {
        const double variance = m.scatter * m.scatter * 3 / n + m.misfit * m.misfit;
        if (student_quantile(0.975, freedom + 2 * (n - 3)) * std::sqrt(variance) < std::fabs(m.change()))
            return static_cast<std::size_t>(n);
    }
}

TEST(Matching, MoreScatterTakesMorePullsUntilNoNumberWould) {
    std::size_t before = 3;
    for (const double stated : {1.0, 10.0, 16.0, 22.0, 30.0}) {
        Made made;
        made.choices.repeatability.temperature = stated;
        const auto m = of(made.only(), "intake_redline");
        ASSERT_TRUE(m.pulls_needed) << stated;
        EXPECT_EQ(*m.pulls_needed, pulls_by_hand(m, 4)) << stated;
        EXPECT_EQ(m.verdict == Verdict::falls, *m.pulls_needed == 3) << stated;
        EXPECT_TRUE(*m.pulls_needed > before || stated == 1) << stated;
        before = *m.pulls_needed;
    }
    Made far;
    far.choices.repeatability.temperature = 200;
    EXPECT_FALSE(of(far.only(), "intake_redline").pulls_needed);
    // What the rig misses stays, however many pulls there are: 30 K against a change of some 15.
    Made missed;
    missed.off_at_end("intake_temperature", {0, 0, 0, 30, 30, 30});
    const auto m = of(missed.only(), "intake_redline");
    EXPECT_EQ(m.verdict, Verdict::cannot_tell);
    EXPECT_FALSE(m.pulls_needed);
}

/// Whether it is shown that a figure is worse by no more than a limit.
bool shown(const char* key, double limit, bool share, double stated) {
    Made made;
    made.choices.repeatability = {stated, stated, stated, stated};
    made.choices.no_worse = {{&figure_of(key), limit, share}};
    const auto m = of(made.only(), key);
    EXPECT_NEAR(m.no_worse.limit, share ? limit * m.from : limit, 1e-9 * m.from);
    return m.no_worse.shown;
}

// One-sided, 95 %, with four degrees of freedom: 2.1318 deviations, where the interval has 2.7764.
TEST(Matching, NoWorseIsJudgedFromOneSide) {
    const auto c = [&] {
        Made made;
        made.choices.repeatability = {2000, 2000, 2000, 2000};
        return made.only();
    }();
    const auto& boost = of(c, "boost_redline");  // falls, which is worse
    ASSERT_LT(boost.change(), 0);
    const double worst = -boost.change() + 2.1318 * boost.scatter;
    EXPECT_TRUE(shown("boost_redline", worst * 1.001, false, 2000));
    EXPECT_FALSE(shown("boost_redline", worst * 0.999, false, 2000));
    Made kelvin;
    kelvin.choices.repeatability.temperature = 20;
    const auto intake = of(kelvin.only(), "intake_redline");  // falls, which is better
    ASSERT_LT(intake.change(), 0);
    const double hotter = intake.change() + 2.1318 * intake.scatter;
    ASSERT_GT(hotter, 0);
    EXPECT_TRUE(shown("intake_redline", hotter * 1.001, false, 20));
    EXPECT_FALSE(shown("intake_redline", hotter * 0.999, false, 20));
    // A share of the base's figure, of one that is not among the asked ones.
    Made share;
    share.choices.repeatability.power = 0.05;
    share.choices.figures = {&figure_of("crank_power")};
    const auto power = of(share.only(), "crank_power");
    const double lost = (-power.change() + 2.1318 * power.scatter) / power.from;
    ASSERT_GT(lost, 0);
    EXPECT_TRUE(shown("crank_power", lost * 1.001, true, 0.05));
    EXPECT_FALSE(shown("crank_power", lost * 0.999, true, 0.05));
}

TEST(Matching, AFigureThatMustNotGetWorseIsJudgedThoughNotAsked) {
    Made made;
    made.choices.figures = {&figure_of("intake_redline")};
    made.choices.no_worse = {{&figure_of("crank_power"), 0.01, true}};
    const auto c = made.only();
    ASSERT_EQ(c.figures.size(), 2u);
    EXPECT_GT(of(c, "crank_power").no_worse.limit, 0);
    EXPECT_EQ(of(c, "intake_redline").no_worse.limit, 0);
}

/// Figures of the later variant with its core at a factor, turned until the held figure is what it is at factor 1.
double figure_with(const Made& made, double factor, Question question, double target, const char* key) {
    MeasuredFit fit = made.fit;
    fit.result.solution.estimates[0].value = factor;
    const ReferenceRuns runs(made.study, {&figure_of("boost_redline"), &figure_of("knock_margin"), &figure_of(key)},
                             fit, 2, nullptr);
    const auto* held = held_by(question);
    return (held ? runs.run(1, *held, target) : runs.run(1)).figures[2];
}

// A difference of two searches, each with another core, against the slope along what is held.
TEST(Matching, TheFitsPartFollowsWhatIsHeld) {
    constexpr double deviation = 0.1;
    Made made;
    made.choices.questions = {Question::same_pulley, Question::same_manifold_pressure, Question::same_knock_margin};
    made.know(deviation, Belongs::variant);
    std::map<Question, double> parts;
    for (const auto& c : made.all()) {
        const auto at = [&](double factor) { return figure_with(made, factor, c.question, c.held, "crank_power"); };
        const double by_search = std::fabs(at(1 + deviation) - at(1 - deviation)) / 2;
        parts[c.question] = of(c, "crank_power").fit;
        EXPECT_NEAR(parts[c.question], by_search, 0.03 * by_search) << in_words(c.question);
    }
    ASSERT_EQ(parts.size(), 3u);
    EXPECT_GT(parts[Question::same_manifold_pressure], 1.05 * parts[Question::same_pulley]);
    // What both cores have in common moves the change less than what is one's alone.
    Made both;
    both.know(deviation, Belongs::rig);
    const double common = of(both.only(), "intake_redline").fit;
    EXPECT_GT(common, 0);
    EXPECT_LT(common, 0.8 * of(made.all()[0], "intake_redline").fit);
}

TEST(Matching, WhatIsHeldComesAsNearAsAsked) {
    Made made;
    const ReferenceRuns runs(made.study, {&figure_of("boost_redline"), &figure_of("knock_margin")}, made.fit, 2,
                             nullptr);
    for (const auto q : {Question::same_manifold_pressure, Question::same_knock_margin}) {
        const auto& held = *held_by(q);
        const auto at = runs.place(held.figure);
        const double target = runs.run(0).figures[at];
        EXPECT_GT(std::fabs(runs.run(1).figures[at] - target), 10 * held.near) << held.figure;
        const auto there = runs.run(1, held, target);
        EXPECT_NEAR(there.figures[at], target, held.near) << held.figure;
        EXPECT_NE(there.turned, runs.run(1).turned) << held.figure;
    }
}

std::string impossible(const std::vector<std::string>& changes, Question question) {
    Made made(changes);
    made.choices.questions = {question};
    const auto c = made.only();
    EXPECT_EQ(c.figures.empty(), !c.impossible.empty());
    return c.impossible;
}

TEST(Matching, WhatCannotBeKeptAlikeIsSaid) {
    const auto margin = Question::same_knock_margin;
    // Methanol allows more spark than the 5 degrees that a table may be shifted by.
    EXPECT_EQ(impossible({"\"common.parts.fuel\" = \"methanol\""}, margin),
              "spark does not bring it there within its range");
    EXPECT_EQ(impossible({"\"common.spark_mode\" = \"at_limit\""}, margin), "spark does not move it");
    EXPECT_EQ(impossible({"\"knock.parts.model\" = \"no-knock\""}, margin), "there is no smallest margin (knock)");
    EXPECT_EQ(impossible({"\"common.parts.fuel\" = \"pump-95\""}, margin), "");
    EXPECT_EQ(impossible({"\"drive.parts.pulley\" = \"pulley-74\""}, Question::same_manifold_pressure), "");
}

}  // namespace matching_tests

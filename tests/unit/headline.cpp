// What a reader should take away, from figures written by hand: every branch of the sentences.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <pullcast/study/headline.hpp>

namespace headline_tests {

using namespace pullcast;

constexpr double psi = 6894.757293168, hp = 745.6998715822702, deg = 0.017453292519943295;

using Figures = std::map<std::string, double>;

VariantResult result(const Figures& set) {
    VariantResult r;
    for (const auto& f : figures()) r.figures.push_back(set.contains(f.key) ? set.at(f.key) : std::nan(""));
    return r;
}
VariantResult failed() {
    auto r = result({});
    r.failure = "stopped";
    return r;
}

/// psi, hp, K at the sensor, degrees of margin.
Figures pull(double boost, double power, double intake, double margin) {
    return {{"boost_redline", boost * psi},
            {"crank_power", power * hp},
            {"intake_redline", intake},
            {"knock_margin", margin * deg}};
}

/// The same with a second knock model that is so many degrees away at the worst point and nowhere lower.
Figures pull(double boost, double power, double intake, double margin, double away) {
    Figures f = pull(boost, power, intake, margin);
    f["knock_doubt"] = std::fabs(away) * deg;
    f["knock_margin_second"] = f["knock_smallest_second"] = (margin + away) * deg;
    return f;
}

class Headline : public testing::Test {
protected:
    Study study;
    std::vector<VariantResult> results;

    void add(const char* name, VariantResult r) {
        auto& v = study.variants.emplace_back();
        v.name = name, v.title = std::string("the ") + name;
        if (study.base.empty()) study.base = name;
        results.push_back(std::move(r));
    }
    std::string said(std::size_t variant, UnitSystem system = UnitSystem::us) {
        return headline_of(study, results, variant, system);
    }
    std::string all(UnitSystem system = UnitSystem::us) { return headline(study, results, system); }
};

TEST_F(Headline, SaysWhatASmallerPulleyAddsAndCosts) {
    add("stock", result(pull(9, 300, 330, 3)));
    add("small", result(pull(12.1, 341, 330 + 38 / 1.8, 1.2)));
    EXPECT_EQ(said(1),
              "'the small' adds 3.1 psi of boost and 41.0 hp, the intake ends 38.0 degF hotter, the knock margin falls "
              "to 1.2 deg.");
    EXPECT_EQ(
        said(1, UnitSystem::metric),
        "'the small' adds 21.4 kPa of boost and 30.6 kW, the intake ends 21.1 K hotter, the knock margin falls to "
        "1.2 deg.");
    EXPECT_EQ(all(), said(1)) << "with one variant beside the base, its sentence is the study's";
    EXPECT_EQ(said(0), "");
}

TEST_F(Headline, TellsPowerAgainstBoost) {
    add("stock", result(pull(9, 300, 330, 3)));
    add("core", result(pull(8.5, 310, 320, 3)));
    add("leak", result(pull(9.5, 290, 330, 3)));
    add("less", result(pull(8, 290, 330, 3)));
    add("same", result(pull(9, 300, 330, 3)));
    add("boost", result(pull(9.5, 300, 330, 3)));
    add("power", result(pull(9, 305, 330, 3)));
    const auto starts = [&](std::size_t k) { return said(k).substr(0, said(k).find(',')); };
    EXPECT_EQ(starts(1), "'the core' adds 10.0 hp with 0.5 psi less boost");
    EXPECT_EQ(starts(2), "'the leak' takes away 10.0 hp with 0.5 psi more boost");
    EXPECT_EQ(starts(3), "'the less' takes away 1.0 psi of boost and 10.0 hp");
    EXPECT_EQ(
        said(4),
        "'the same' changes neither boost nor power, the intake ends as warm as before, the knock margin stays at "
        "3.0 deg.");
    EXPECT_EQ(starts(5), "'the boost' adds 0.5 psi of boost at the same power");
    EXPECT_EQ(starts(6), "'the power' adds 5.0 hp at the same boost");
}

TEST_F(Headline, LeavesOutWhatTheRigDoesNotHave) {
    add("stock", result({{"crank_power", 300 * hp}, {"charge_redline", 330}}));
    add("other", result({{"crank_power", 310 * hp}, {"charge_redline", 320}}));
    EXPECT_EQ(said(1), "'the other' adds 10.0 hp, the charge ends 18.0 degF cooler.");
    EXPECT_EQ(all(), said(1));
}

TEST_F(Headline, WarnsWhereTheMarginIsUsedUp) {
    add("stock", result(pull(9, 300, 330, 1)));
    add("small", result(pull(12, 340, 340, -0.5)));
    EXPECT_TRUE(said(1).ends_with("the knock margin falls to -0.5 deg: knock is to be expected.")) << said(1);
    results[0] = result(pull(9, 300, 330, -2));
    EXPECT_TRUE(said(1).ends_with("the knock margin stays below zero (-0.5 deg, from -2.0 deg).")) << said(1);
}

TEST_F(Headline, CarriesTheDoubtOfTwoModels) {
    add("stock", result(pull(9, 300, 330, 4, 0.5)));
    const auto ends = [&](double margin, double away) {
        results.resize(1), study.variants.resize(1);
        add("small", result(pull(12, 340, 340, margin, away)));
        return said(1).substr(said(1).find("the knock margin"));
    };
    EXPECT_EQ(ends(3, 2.5), "the knock margin falls to 3.0 deg (two models differ by 2.5 deg).");
    EXPECT_EQ(ends(4, -1), "the knock margin stays at 4.0 deg (two models differ by 1.0 deg).");
    EXPECT_EQ(
        ends(1.2, -2.5),
        "the knock margin falls to 1.2 deg (two models differ by 2.5 deg): on which side of the limit is not known.");
    EXPECT_EQ(
        ends(-1, 2.5),
        "the knock margin falls to -1.0 deg (two models differ by 2.5 deg): on which side of the limit is not known.")
        << "only one model says that it would knock";
    EXPECT_EQ(ends(-1, -2.5),
              "the knock margin falls to -1.0 deg (two models differ by 2.5 deg): knock is to be expected.");
    results[0] = result(pull(9, 300, 330, -2, -1));
    EXPECT_EQ(ends(-1, -2.5),
              "the knock margin stays below zero (-1.0 deg, from -2.0 deg; two models differ by 2.5 deg).");
}

TEST_F(Headline, PicksOnlyWhereBothModelsLeaveAMargin) {
    add("stock", result(pull(9, 300, 330, 3, 1)));
    add("small", result(pull(12, 340, 340, 1.5, -2)));
    add("core", result(pull(8.5, 310, 320, 3, 1)));
    EXPECT_EQ(all(), "Most power with knock margin left by both models: " + said(2));
    results[2] = result(pull(8.5, 310, 320, 2, -3));
    EXPECT_EQ(all(),
              "No variant makes more power than 'the stock' with knock margin left by both models. Without regard to "
              "knock: " +
                  said(1));
    results[0] = result(pull(9, 300, 330, 1, -2));
    EXPECT_EQ(all(),
              "No variant leaves a knock margin by both models; 'the core' comes nearest (2.0 deg; two "
              "models differ by 3.0 deg). Without regard to knock: " +
                  said(1));
}

TEST_F(Headline, PicksTheMostPowerThatLeavesAMargin) {
    add("stock", result(pull(9, 300, 330, 3)));
    add("small", result(pull(12, 340, 340, -0.5)));
    add("core", result(pull(8.5, 310, 320, 3)));
    EXPECT_EQ(all(), "Most power with knock margin left: " + said(2));
    results[2] = result(pull(8.5, 290, 320, 3));
    EXPECT_EQ(all(), "No variant makes more power than 'the stock' with knock margin left. Without regard to knock: " +
                         said(1));
    results[1] = result(pull(8, 280, 340, 5));
    EXPECT_EQ(all(), "No variant makes more power than 'the stock' with knock margin left.");
}

TEST_F(Headline, SaysWhenNothingLeavesAMargin) {
    add("stock", result(pull(9, 300, 330, -3)));
    add("small", result(pull(12, 340, 340, -5)));
    add("core", result(pull(8.5, 310, 320, -1)));
    EXPECT_EQ(all(), "No variant leaves a knock margin here; 'the core' comes nearest (-1.0 deg).");
}

TEST_F(Headline, DoesNotCompareWithWhatDidNotFinish) {
    add("stock", result(pull(9, 300, 330, 3)));
    add("small", failed());
    add("core", result(pull(8.5, 310, 320, 3)));
    EXPECT_EQ(said(1), "'the small' did not finish.");
    EXPECT_EQ(all(), "Most power with knock margin left: " + said(2));
    study.base = "small";
    EXPECT_EQ(all(), "");
}

TEST_F(Headline, HasNothingToSayAboutOnePull) {
    add("stock", result(pull(9, 300, 330, 3)));
    EXPECT_EQ(all(), "");
}

}  // namespace headline_tests

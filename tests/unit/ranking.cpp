// Ranking of combinations by wishes, on numbers that can be checked by hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/ranking.hpp>
#include <stdexcept>

namespace ranking_tests {

using namespace pullcast;
using namespace pullcast::choose;

/// Three conditions (met half, a third, a sixth of the time) and columns "power" and "margin".
class Made {
public:
    Made() {
        static const Knob weather = [] {
            Knob k;
            k.name = "weather", k.choices = {{"cool", "cool"}, {"mild", "mild"}, {"hot", "hot"}};
            return k;
        }();
        choices.meet = {{&weather, false, {0.5, 1 / 3.0, 1 / 6.0}, 0, {}}};
        const auto* octane = std::find_if(figures().data(), figures().data() + figures().size(), [](const Figure& f) {
            return std::string_view(f.key) == "knock_margin_octane";  // shown to 0.1
        });
        choices.columns = {{octane, 0}, {octane, 0}};
        plan.conditions = {{{0}, 0.5}, {{1}, 1 / 3.0}, {{2}, 1 / 6.0}};
    }
    void add(double price, std::vector<double> power, std::vector<double> margin) {
        plan.combinations.push_back({{0}, price});
        for (std::size_t k = 0; k < 3; ++k) {
            const auto index = runs.size();
            runs[index] = {index, {power[k], margin[k]}, {}};
        }
    }
    Wish power_wish() const {
        Wish w;
        w.name = w.title = "power", w.column = 0, w.prefer = Better::more;
        return w;
    }
    Wish margin_wish(double least) const {
        Wish w;
        w.name = w.title = "margin", w.column = 1, w.at_least = least;
        return w;
    }
    Wish price_wish() const {
        Wish w;
        w.name = w.title = "price", w.prefer = Better::less;
        return w;
    }
    Ranking rank() const { return choose::rank(choices, plan, runs); }

    SweepChoices choices;
    SweepPlan plan;
    std::map<std::size_t, Run> runs;
};

TEST(SureValue, IsWhatAShareOfTheWeightReachesOrBetters) {
    const std::vector<std::pair<double, double>> v{{3, 0.5}, {1, 0.25}, {2, 0.25}};
    EXPECT_EQ(sure_value(v, 0.5, Better::more), 3);
    EXPECT_EQ(sure_value(v, 0.51, Better::more), 2);
    EXPECT_EQ(sure_value(v, 0.75, Better::more), 2);
    EXPECT_EQ(sure_value(v, 1, Better::more), 1);
    EXPECT_EQ(sure_value(v, 0.25, Better::less), 1);
    EXPECT_EQ(sure_value(v, 0.9, Better::less), 3);
    EXPECT_TRUE(std::isnan(sure_value({{1, 0.9}, {std::nan(""), 0.1}}, 0.5, Better::more)));
}

TEST(Ranking, AMeanWeighsConditionsByHowOftenTheyAreMet) {
    Made m;
    m.choices.wishes = {m.power_wish()};
    m.add(0, {100, 90, 60}, {0, 0, 0});
    const auto r = m.rank();
    EXPECT_DOUBLE_EQ(r.standings[0].wishes[0].mean, 90);
    EXPECT_EQ(r.standings[0].wishes[0].sure, 60);
    EXPECT_EQ(r.standings[0].wishes[0].compared(m.choices.wishes[0]), r.standings[0].wishes[0].mean);
}

TEST(Ranking, ALimitHoldsWithItsConfidenceAndWithoutOneEverywhere) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.margin_wish(2)};
    m.add(0, {1, 1, 1}, {3, 2, 1.9});  // holds in 5/6 of what is met
    m.add(0, {1, 1, 1}, {3, 2, 2});
    EXPECT_FALSE(m.rank().standings[0].eligible);
    EXPECT_TRUE(m.rank().standings[1].eligible);
    m.choices.wishes[1].confidence = 0.8;
    EXPECT_TRUE(m.rank().standings[0].eligible);
    EXPECT_NEAR(m.rank().standings[0].wishes[1].share, 5 / 6.0, 1e-12);
    EXPECT_EQ(m.rank().standings[0].wishes[1].sure, 2);
    m.choices.wishes[1].confidence = 5 / 6.0 + 1e-6;
    EXPECT_FALSE(m.rank().standings[0].eligible);
}

TEST(Ranking, AWishThatIsAboutSomeConditionsLooksAtThoseAlone) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.margin_wish(2)};
    m.choices.wishes[1].on[0] = {1, 2};
    m.add(0, {1, 1, 1}, {-9, 2, 5});
    const auto g = m.rank().standings[0].wishes[1];
    EXPECT_TRUE(g.holds);
    EXPECT_NEAR(g.mean, (2 / 3.0 + 5 / 6.0) / 0.5, 1e-12);
}

TEST(Ranking, WhatIsMissingKeepsNoLimit) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.margin_wish(-100)};
    m.add(0, {1, 1, 1}, {3, std::nan(""), 1});
    EXPECT_FALSE(m.rank().standings[0].eligible);
}

TEST(Ranking, TheShortlistIsTheFrontWithTheForemostFirst) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.price_wish()};
    m.add(0, {10, 10, 10}, {0, 0, 0});
    m.add(100, {12, 12, 12}, {0, 0, 0});
    m.add(150, {11, 11, 11}, {0, 0, 0});  // dearer and weaker than the one before
    m.add(200, {15, 15, 15}, {0, 0, 0});
    const auto r = m.rank();
    EXPECT_EQ(r.front, (std::vector<std::size_t>{3, 1, 0}));
    EXPECT_EQ(r.shortlist, r.front);
    m.choices.shortlist = 2;
    EXPECT_EQ(m.rank().shortlist, (std::vector<std::size_t>{3, 1}));
}

TEST(Ranking, WhatIsNotShownIsNoDifference) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.price_wish()};
    m.add(0, {10, 10, 10}, {0, 0, 0});
    m.add(100, {12, 12, 12}, {0, 0, 0});
    m.add(110, {12.04, 12.04, 12.04}, {0, 0, 0});  // dearer, and no better to the digit that is shown
    m.add(120, {12.1, 12.1, 12.1}, {0, 0, 0});
    const auto r = m.rank();
    EXPECT_EQ(r.front, (std::vector<std::size_t>{3, 1, 0}));
    ASSERT_EQ(r.money.size(), 2u);
    EXPECT_EQ(r.money[1].to, 3u);
}

TEST(Ranking, EveryStepOfMoneyBringsMoreAndIsComparedConditionByCondition) {
    Made m;
    m.choices.wishes = {m.power_wish()};
    m.add(0, {10, 10, 10}, {0, 0, 0});
    m.add(100, {13, 11, 9.4}, {0, 0, 0});
    m.add(150, {11, 11, 11}, {0, 0, 0});
    m.add(300, {14, 14, 14}, {0, 0, 0});
    m.plan.combinations.push_back({{0}, std::nan("")});  // no price known: no step
    for (int k = 0; k < 3; ++k) m.runs[m.runs.size()] = {m.runs.size(), {99, 0}, {}};
    const auto r = m.rank();
    ASSERT_EQ(r.money.size(), 2u);
    EXPECT_EQ(r.money[0].from, 0u);
    EXPECT_EQ(r.money[0].to, 1u);
    EXPECT_EQ(r.money[0].price, 100);
    EXPECT_NEAR(r.money[0].gain, 3 * 0.5 + 1 / 3.0 - 0.1, 1e-12);
    EXPECT_NEAR(r.money[0].lowest, -0.6, 1e-12);
    EXPECT_NEAR(r.money[0].highest, 3, 1e-12);
    EXPECT_NEAR(r.money[0].better, 5 / 6.0, 1e-12);
    EXPECT_EQ(r.money[1].from, 1u);
    EXPECT_EQ(r.money[1].to, 3u);
    EXPECT_EQ(r.money[1].price, 200);
}

TEST(Ranking, LessIsBetterWhereAWishSaysSo) {
    Made m;
    m.choices.wishes = {m.power_wish()};
    m.choices.wishes[0].prefer = Better::less;
    m.add(0, {10, 10, 10}, {0, 0, 0});
    m.add(50, {9, 9, 8}, {0, 0, 0});
    const auto r = m.rank();
    EXPECT_EQ(r.front[0], 1u);
    ASSERT_EQ(r.money.size(), 1u);
    EXPECT_GT(r.money[0].gain, 0);
    EXPECT_EQ(r.money[0].highest, 2);
}

TEST(Ranking, RefusalsAreCountedAndThoseOfOneWishAlone) {
    Made m;
    m.choices.wishes = {m.power_wish(), m.margin_wish(2), m.price_wish()};
    m.choices.wishes[2].at_most = 100;
    m.add(0, {1, 1, 1}, {9, 9, 9});    // the car as it stands is not counted
    m.add(50, {1, 1, 1}, {9, 9, 9});   // good
    m.add(50, {1, 1, 1}, {0, 9, 9});   // margin alone
    m.add(500, {1, 1, 1}, {0, 9, 9});  // margin and price
    const auto r = m.rank();
    EXPECT_EQ(r.eligible, 1u);
    EXPECT_EQ(r.refused, (std::vector<std::size_t>{0, 2, 1}));
    EXPECT_EQ(r.refused_alone, (std::vector<std::size_t>{0, 1, 0}));
}

TEST(Ranking, ACombinationWithAFailedRunIsOutAndSaysWhy) {
    Made m;
    m.choices.wishes = {m.power_wish()};
    m.add(0, {1, 1, 1}, {0, 0, 0});
    m.add(0, {9, 9, 9}, {0, 0, 0});
    m.runs[4] = {4, {}, "the belt came off"};
    const auto r = m.rank();
    EXPECT_EQ(r.failed, 1u);
    EXPECT_EQ(r.standings[1].failed, 1u);
    EXPECT_EQ(r.standings[1].failure, "the belt came off");
    EXPECT_EQ(r.front, (std::vector<std::size_t>{0}));
}

TEST(Ranking, MissingRunsAreRefused) {
    Made m;
    m.choices.wishes = {m.power_wish()};
    m.add(0, {1, 1, 1}, {0, 0, 0});
    m.runs.erase(1);
    EXPECT_THROW(m.rank(), std::invalid_argument);
}

}  // namespace ranking_tests

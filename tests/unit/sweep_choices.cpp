// What a study asks of a sweep, and the values of an axis.
#include <cmath>
#include <limits>
#include <pullcast/scenario/units.hpp>

#include "sweep_study.hpp"

namespace sweep_choices_tests {

using namespace pullcast;
using namespace pullcast::choose;

class Choices : public sweep::Sweep {
protected:
    /// The first axis that is met.
    Axis met(const std::string& table) { return load("[buy.core]\n[meet." + table + sweep::power).meet.at(0); }
    Axis bought(const std::string& table) { return load("[buy." + table + sweep::power).buy.at(0); }
};

TEST_F(Choices, WhatIsLeftOutHasUsualValues) {
    const auto& c = load(std::string("[buy.core]\n[meet.weather]\n") + sweep::power);
    ASSERT_EQ(c.buy.size(), 1u);
    EXPECT_EQ(c.buy[0].knob->name, "core");
    EXPECT_TRUE(c.buy[0].bought);
    EXPECT_EQ(c.buy[0].levels(), 4u);
    ASSERT_EQ(c.meet.size(), 1u);
    EXPECT_FALSE(c.meet[0].bought);
    EXPECT_EQ(c.meet[0].shares, std::vector<double>(8, 0.125));
    EXPECT_FALSE(c.combinations);
    EXPECT_FALSE(c.met);
    EXPECT_EQ(c.sampling, Sampling::sobol);
    EXPECT_EQ(c.seed, 1u);
    EXPECT_EQ(c.shortlist, 10u);
    EXPECT_EQ(c.sensitivity, 64u);
    EXPECT_EQ(c.pulls, 0u);
    ASSERT_EQ(c.wishes.size(), 1u);
    const auto& w = c.wishes[0];
    EXPECT_EQ(w.name, "power");
    EXPECT_EQ(w.title, "peak power, crank");  // the figure's
    EXPECT_EQ(c.columns.at(*w.column).name(), "crank_power");
    EXPECT_EQ(w.prefer, Better::more);
    EXPECT_FALSE(w.at_least || w.at_most || w.confidence);
}

TEST_F(Choices, EveryKeyOfTheTableIsRead) {
    const auto& c = load(std::string(R"([choose]
combinations = 300
met = 20
sampling = "Latin hypercube"
seed = 7
figures = ["boost_redline", "belt_slip"]
shortlist = 3
sensitivity = 0
[buy.core]
[meet.weather]
)") + sweep::power);
    EXPECT_EQ(c.combinations, 300u);
    EXPECT_EQ(c.met, 20u);
    EXPECT_EQ(c.sampling, Sampling::latin_hypercube);
    EXPECT_EQ(c.seed, 7u);
    EXPECT_EQ(c.shortlist, 3u);
    EXPECT_EQ(c.sensitivity, 0u);
    std::vector<std::string> names;
    for (const auto& column : c.columns) names.push_back(column.name());
    EXPECT_EQ(names, (std::vector<std::string>{"crank_power", "boost_redline", "belt_slip"}));
}

TEST_F(Choices, ConditionsAreSampledByThemselvesOnlyWhereARangeIsMet) {
    EXPECT_EQ(load(std::string("[buy.core]\n[meet.charge]\n") + sweep::power).met, 16u);
    EXPECT_FALSE(load(std::string("[buy.core]\n[meet.charge]\ncount = 3\n") + sweep::power).met);
    EXPECT_FALSE(load(std::string("[choose]\nmet = \"all\"\n[buy.core]\n[meet.weather]\n") + sweep::power).met);
}

TEST_F(Choices, EveryKeyOfAWishIsRead) {
    const auto& c = load(R"([buy.core]
[meet.charge]
count = 2
[meet.weather]
[wish.margin]
title = "margin"
figure = "knock_margin"
at_least = "2 deg"
confidence = "90 %"
on = { weather = ["weather-8", "weather-2"] }
prefer = "more"
[wish.intake]
figure = "intake_redline"
at_most = "60 degC"
on = { weather = "weather-1" }
[wish.rise]
figure = "charge_rise"
at_most = "20 K"
[wish.octane]
figure = "knock_margin_octane"
at_least = 2
[wish.budget]
figure = "price"
at_most = "900 EUR"
prefer = "less"
[wish.plain]
figure = "price"
at_least = 100
)");
    ASSERT_EQ(c.wishes.size(), 6u);
    const auto& margin = c.wishes[0];
    EXPECT_EQ(margin.title, "margin");
    EXPECT_NEAR(*margin.at_least, 2 * std::acos(-1) / 180, 1e-15);
    EXPECT_FALSE(margin.at_most);
    EXPECT_DOUBLE_EQ(*margin.confidence, 0.9);
    EXPECT_EQ(margin.on, (std::map<std::size_t, std::vector<double>>{{1, {7, 1}}}));
    EXPECT_EQ(margin.place.line, 33u);
    EXPECT_DOUBLE_EQ(*c.wishes[1].at_most, 333.15);
    EXPECT_EQ(c.wishes[1].on.at(1), std::vector<double>{0});
    EXPECT_FALSE(c.wishes[1].prefer);
    EXPECT_DOUBLE_EQ(*c.wishes[2].at_most, 20);  // a difference
    EXPECT_DOUBLE_EQ(*c.wishes[3].at_least, 2);
    EXPECT_EQ(c.wishes[3].title, "in octane numbers (knock)");
    const auto& budget = c.wishes[4];
    EXPECT_FALSE(budget.column);
    EXPECT_EQ(budget.title, "price");
    EXPECT_EQ(*budget.at_most, 900);
    EXPECT_EQ(budget.currency, "EUR");
    EXPECT_EQ(budget.prefer, Better::less);
    EXPECT_EQ(*c.wishes[5].at_least, 100);
    EXPECT_EQ(c.wishes[5].currency, "");
}

TEST_F(Choices, AWishCountsWhereItsChoicesAreMet) {
    Wish w;
    EXPECT_TRUE(w.counts({3, 0.5}));
    w.on = {{0, {1, 3}}, {2, {0}}};
    EXPECT_TRUE(w.counts({3, 0.5, 0}));
    EXPECT_FALSE(w.counts({2, 0.5, 0}));
    EXPECT_FALSE(w.counts({3, 0.5, 1}));
}

TEST_F(Choices, ColumnsAreTheSameInWhateverOrderWishesStand) {
    const std::string start = "[buy.core]\n",
                      intake = "[wish.intake]\nfigure = \"intake_redline\"\nat_most = \"60 degC\"\n",
                      again = "[wish.again]\nfigure = \"crank_power\"\nat_least = \"300 kW\"\n";
    const auto names = [&](const std::string& wishes) {
        std::string text;
        load(start + wishes);
        for (const auto& c : choices.columns) text += c.name() + " ";
        for (const auto& w : choices.wishes) text += w.name + "=" + choices.columns.at(*w.column).name() + " ";
        return text;
    };
    EXPECT_EQ(names(sweep::power + intake + again),
              "crank_power intake_redline power=crank_power intake=intake_redline again=crank_power ");
    EXPECT_EQ(names(intake + again + sweep::power),
              "crank_power intake_redline intake=intake_redline again=crank_power power=crank_power ");
}

TEST_F(Choices, FiguresOfASessionAreOfItsFirstPullUnlessAWishNamesOne) {
    const auto& c = load(R"([choose]
figures = ["charge_start", "intake_redline"]
[buy.core]
[session]
steps = [{ repeat = ["pull"], times = 3 }]
[step.pull]
kind = "pull"
[wish.second]
figure = "intake_redline"
pull = 2
prefer = "less"
[wish.first]
figure = "intake_redline"
pull = 1
at_most = "90 degC"
)",
                         {});
    EXPECT_EQ(c.pulls, 2u);
    std::string names;
    for (const auto& column : c.columns) names += column.name() + " ";
    EXPECT_EQ(names, "charge_start:1 intake_redline:1 intake_redline:2 ");
    EXPECT_EQ(c.columns[*c.wishes[0].column].pull, 2u);
    EXPECT_EQ(c.columns[*c.wishes[1].column].pull, 1u);
}

// ---- axes
TEST_F(Choices, LevelsOfABoughtRangeReachFromEndToEnd) {
    const auto a = bought("pressure]\ncount = 4\n");
    EXPECT_EQ(a.level(0), a.knob->from);
    EXPECT_NEAR(a.level(1), 94000, 1e-9);
    EXPECT_NEAR(a.level(2), 98000, 1e-9);
    EXPECT_EQ(a.level(3), a.knob->to);
    EXPECT_NEAR(bought("pressure]\ncount = 1\n").level(0), 96000, 1e-9);
    const auto rows = bought("rows]\ncount = 3\n");  // 1, 2.5, 4
    EXPECT_EQ(rows.level(0), 1);
    EXPECT_EQ(rows.level(1), 3);
    EXPECT_EQ(rows.level(2), 4);
}

TEST_F(Choices, LevelsOfAMetRangeStandForEqualShares) {
    const auto a = met("pressure]\ncount = 3\n");
    EXPECT_NEAR(a.level(0), 92000, 1e-9);
    EXPECT_NEAR(a.level(1), 96000, 1e-9);
    EXPECT_NEAR(a.level(2), 100000, 1e-9);
    EXPECT_DOUBLE_EQ(a.share(1), 1 / 3.0);
    const auto w = met("weather]\n");
    EXPECT_EQ(w.level(5), 5);
}

/// scipy.stats.truncnorm.ppf(u, (278.15 - 297.15) / 10, (313.15 - 297.15) / 10, 297.15, 10)
TEST_F(Choices, ANormalRangeIsCutAtItsEnds) {
    const auto a = met("charge]\nmean = \"24 degC\"\ndeviation = \"10 K\"\ncount = 5\n");
    ASSERT_TRUE(a.normal);
    EXPECT_NEAR(a.normal->mean, 297.15, 1e-9);
    EXPECT_DOUBLE_EQ(a.normal->deviation, 10);
    EXPECT_NEAR(a.quantile(0.001), 278.2878574195516, 1e-9);
    EXPECT_NEAR(a.quantile(0.1), 285.4183576008415, 1e-9);
    EXPECT_NEAR(a.quantile(0.5), 296.82304319002833, 1e-9);
    EXPECT_NEAR(a.quantile(0.9), 307.66791078536426, 1e-9);
    EXPECT_NEAR(a.quantile(0.999), 313.0679153993901, 1e-9);
    EXPECT_NEAR(a.level(0), a.quantile(0.1), 1e-12);
    EXPECT_NEAR(a.level(4), a.quantile(0.9), 1e-12);
}

TEST_F(Choices, EveryWholeNumberOfARangeIsMetAlike) {
    const auto a = met("rows]\ncount = 4\n");
    std::map<double, int> met;
    for (int k = 0; k < 4000; ++k) ++met[a.quantile((k + 0.5) / 4000)];
    EXPECT_EQ(met, (std::map<double, int>{{1, 1000}, {2, 1000}, {3, 1000}, {4, 1000}}));
    for (std::size_t k = 0; k < 4; ++k) EXPECT_EQ(a.level(k), static_cast<double>(k + 1));
}

/// scipy.stats.truncnorm.cdf(k, (0.5 - 2) / 1, (4.5 - 2) / 1, 2, 1) for k = 1.5, 2.5, 3.5
TEST_F(Choices, ANormalRangeOfWholeNumbersIsCutHalfwayBeyondItsEnds) {
    const auto a = met("rows]\nmean = 2\ndeviation = 1\n");
    double last = 1;
    for (const double share : {0.2607710202548217, 0.6738582801506011, 0.9346293004054229}) {
        EXPECT_EQ(a.quantile(share - 1e-9), last);
        EXPECT_EQ(a.quantile(share + 1e-9), ++last);
    }
}

TEST_F(Choices, ChoicesAreMetByTheirShares) {
    const auto a = met("fin]\nshares = [3, 1]\n");
    EXPECT_EQ(a.shares, (std::vector<double>{0.75, 0.25}));
    EXPECT_EQ(a.quantile(0.7499), 0);
    EXPECT_EQ(a.quantile(0.75), 1);
    EXPECT_EQ(a.quantile(0.9999), 1);
    EXPECT_EQ(met("fin]\nshares = [0, 1]\n").quantile(1e-300), 1);  // what is never met
    EXPECT_EQ(met("fin]\nshares = [1.5, 0]\n").quantile(1 - 0x1p-53), 0);
}

TEST_F(Choices, TheEndsOfARangeAreNeverLeft) {
    for (const char* table :
         {"charge]\n", "charge]\nmean = \"24 degC\"\ndeviation = \"10 K\"\n",
          "charge]\nmean = \"5 degC\"\ndeviation = \"0.001 K\"\n", "charge]\nmean = \"24 degC\"\ndeviation = \"2 K\"\n",
          "charge]\nmean = \"40 degC\"\ndeviation = \"1e6 K\"\n", "rows]\n", "rows]\nmean = 4\ndeviation = 0.1\n",
          "glycol]\n"}) {
        const auto a = met(table);
        double last = a.knob->from;
        for (const double u :
             {std::numeric_limits<double>::denorm_min(), 0x1p-53, 1e-9, 0.25, 0.5, 0.75, 1 - 1e-9, 1 - 0x1p-53}) {
            const double value = a.quantile(u);
            EXPECT_GE(value, last) << table << u;
            EXPECT_LE(value, a.knob->to) << table << u;
            last = value;
        }
    }
}

TEST_F(Choices, WhatStandsInAFileReadsBackToTheSameValue) {
    const auto& c =
        load(std::string("[buy.core]\n[meet.charge]\n[meet.pressure]\n[meet.glycol]\n[meet.rows]\n") + sweep::power);
    for (const std::size_t axis : {0, 1})
        for (int k = 1; k < 1000; ++k) {
            const auto& a = c.meet[axis];
            const double value = a.quantile(k / 1000.0);
            const auto text = a.text(value);
            ASSERT_TRUE(text.text());
            const auto back = parse_quantity(*text.text(), a.knob->unit);
            ASSERT_TRUE(std::holds_alternative<double>(back)) << *text.text();
            EXPECT_EQ(std::get<double>(back), value) << *text.text();
        }
    EXPECT_EQ(*c.meet[2].text(0.3).as<double>(), 0.3);
    EXPECT_EQ(*c.meet[3].text(3).as<std::int64_t>(), 3);
    EXPECT_EQ(*c.buy[0].text(2).text(), "core-c");
    EXPECT_EQ(c.buy[0].text(2).place.line, c.buy[0].knob->place.line);
}

// A difference ("dK") is written as one; and units of any form that a model uses read back.
TEST_F(Choices, ValuesOfEveryUnitReadBack) {
    for (const char* unit : {"K", "dK", "Pa", "m", "m^3", "kg/s", "rad/s", "W", "W/K", "J/kg", "rad", "s", "m/s", "N m",
                             "kg/m^3", "W/(m^2 K)", "m^2", "kg m^2"}) {
        Knob knob;
        knob.unit = unit;
        const Axis axis{&knob, true, {}, 2, {}};
        for (const double value : {1.2345678901234567e-9, 0.1, 293.15, 1e22}) {
            const auto text = axis.text(value);
            const auto back = parse_quantity(*text.text(), unit);
            ASSERT_TRUE(std::holds_alternative<double>(back)) << *text.text();
            EXPECT_EQ(std::get<double>(back), value) << *text.text();
        }
    }
    Knob rise;
    rise.unit = "dK";
    const Axis axis{&rise, true, {}, 2, {}};
    EXPECT_EQ(*axis.text(5).text(), "5 K");
}

}  // namespace sweep_choices_tests

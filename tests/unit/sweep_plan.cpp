// Combinations, conditions, prices and the hash of a sweep's plan.
#include <cmath>
#include <set>

#include "sweep_study.hpp"

namespace sweep_plan_tests {

using namespace pullcast;
using namespace pullcast::choose;

using Rows = std::vector<std::vector<double>>;
const std::string wish = sweep::power;

class Plan : public sweep::Sweep {
protected:
    template <class T> static Rows values(const std::vector<T>& all) {
        Rows rows;
        for (const auto& one : all) rows.push_back(one.values);
        return rows;
    }
    /// Prices of the combinations, in their order; -1: none is known.
    std::vector<double> prices(const std::string& tables, const sweep::Files& further = {}) {
        std::vector<double> out;
        for (const auto& c : plan(tables, further).combinations) out.push_back(std::isnan(c.price) ? -1 : c.price);
        return out;
    }
};

TEST_F(Plan, EveryLevelIsTriedAndTheFirstCombinationIsTheCarAsItStands) {
    const auto p =
        plan("[buy.core]\n[buy.rows]\ncount = 2\n[meet.fin]\nshares = [3, 1]\n[meet.charge]\ncount = 2\n" + wish);
    EXPECT_EQ(values(p.combinations), (Rows{{}, {0, 1}, {0, 4}, {1, 1}, {1, 4}, {2, 1}, {2, 4}, {3, 1}, {3, 4}}));
    ASSERT_EQ(p.conditions.size(), 4u);
    EXPECT_EQ(p.conditions[0].values[0], 0);
    EXPECT_NEAR(p.conditions[0].values[1], 278.15 + 35 / 4.0, 1e-9);
    EXPECT_NEAR(p.conditions[1].values[1], 278.15 + 35 * 3 / 4.0, 1e-9);
    EXPECT_EQ(p.conditions[3].values[0], 1);
    EXPECT_DOUBLE_EQ(p.conditions[0].share, 0.375);
    EXPECT_DOUBLE_EQ(p.conditions[3].share, 0.125);
    EXPECT_EQ(p.runs(), 36u);
    EXPECT_EQ(&p.combination_of(7), &p.combinations[1]);
    EXPECT_EQ(&p.condition_of(7), &p.conditions[3]);
}

TEST_F(Plan, WithoutAnythingMetThereIsOneCondition) {
    const auto p = plan("[buy.fin]\n" + wish);
    EXPECT_EQ(values(p.conditions), Rows{{}});
    EXPECT_EQ(p.conditions[0].share, 1);
    EXPECT_EQ(values(plan("[choose]\nmet = 5\n[buy.fin]\n" + wish).conditions), Rows{{}});
}

TEST_F(Plan, EachOfEightChoicesIsMetOnceAtEightSobolPoints) {
    for (const char* seed : {"1", "2", "3", "4"}) {
        const auto p = plan(std::string("[choose]\nmet = 8\nseed = ") + seed +
                            "\n[buy.fin]\n[meet.weather]\n[meet.charge]\n" + wish);
        ASSERT_EQ(p.conditions.size(), 8u);
        std::set<double> weathers, eighths;
        double sum = 0;
        for (const auto& c : p.conditions) {
            weathers.insert(c.values[0]);
            eighths.insert(std::floor((c.values[1] - 278.15) / 35 * 8));
            sum += c.share;
        }
        EXPECT_EQ(weathers.size(), 8u);
        EXPECT_EQ(eighths.size(), 8u);
        EXPECT_DOUBLE_EQ(sum, 1);
    }
}

TEST_F(Plan, ALatinHypercubeMeetsEachChoiceOnceToo) {
    const auto p = plan("[choose]\nmet = 8\nsampling = \"Latin hypercube\"\n[buy.fin]\n[meet.weather]\n" + wish);
    std::set<double> weathers;
    for (const auto& c : p.conditions) weathers.insert(c.values[0]);
    EXPECT_EQ(weathers.size(), 8u);
    EXPECT_NE(values(p.conditions), values(plan("[choose]\nmet = 8\n[buy.fin]\n[meet.weather]\n" + wish).conditions));
}

TEST_F(Plan, SampledCombinationsThatAreTheSameAreOneAndWhatTheCarHasIsNone) {
    // 64 points over 4 cores and 2 fins: every one of the eight, but core-a and louver, which the car has.
    const auto p = plan("[choose]\ncombinations = 64\n[buy.core]\n[buy.fin]\n" + wish);
    EXPECT_EQ(values(p.combinations), (Rows{{}, {0, 1}, {1, 0}, {1, 1}, {2, 0}, {2, 1}, {3, 0}, {3, 1}}));
}

TEST_F(Plan, WhatTheCarHasAlreadyIsNoPurchaseButAPartOfItMayBe) {
    EXPECT_EQ(values(plan("[buy.core]\n" + wish).combinations), (Rows{{}, {1}, {2}, {3}}));
    EXPECT_EQ(values(plan("[buy.core]\n[buy.fin]\n" + wish).combinations),
              (Rows{{}, {0, 1}, {1, 0}, {1, 1}, {2, 0}, {2, 1}, {3, 0}, {3, 1}}));
    EXPECT_EQ(values(plan("[buy.rows]\ncount = 4\n" + wish).combinations), (Rows{{}, {1}, {3}, {4}}));  // it has 2
}

TEST_F(Plan, LevelsOfWholeNumbersThatAreTheSameAreOne) {
    EXPECT_EQ(values(plan("[buy.rows]\ncount = 9\n" + wish).combinations), (Rows{{}, {1}, {3}, {4}}));
}

TEST_F(Plan, TheBaseIsTheCarAsItStands) {
    const std::string b = "[variant.b.set]\n\"cooler.parts.core\" = \"core-b\"\n";
    EXPECT_EQ(values(plan(b + "[buy.core]\n" + wish).combinations), (Rows{{}, {1}, {2}, {3}}));
    auto files = sweep::parts();
    files["studies/s.toml"] =
        "rig = \"../rigs/demo.toml\"\nbase = \"b\"\n[variant.a]\n" + b + sweep::knobs + "[buy.core]\n" + wish;
    write(files);
    study = read("studies/s.toml");
    Diagnostics d;
    choices = read_sweep_choices(study, d);
    const auto p = plan_sweep(study, choices, fake::registry());
    EXPECT_EQ(values(p.combinations), (Rows{{}, {0}, {2}, {3}}));
    EXPECT_EQ(p.combinations[1].price, 420);
}

TEST_F(Plan, ACombinationCostsThePartsThatTheCarHasNot) {
    EXPECT_EQ(prices("[buy.core]\n[buy.fin]\n" + wish),
              (std::vector<double>{0, 0, 650, 650, -1, -1, 900.5, 900.5}));  // core-c has no price
    EXPECT_EQ(plan("[buy.core]\n" + wish).currency, "EUR");
    EXPECT_EQ(prices("[buy.rows]\ncount = 2\n" + wish), (std::vector<double>{0, 0, 0}));
    EXPECT_EQ(plan("[buy.fin]\n" + wish).currency, "");
}

TEST_F(Plan, WhatIsMetCostsNothing) {
    EXPECT_EQ(prices("[buy.fin]\n[meet.core]\n" + wish), (std::vector<double>{0, 0}));
}

TEST_F(Plan, PricesOfTwoAxesAddUp) {
    const sweep::Files priced{{"parts/weather-2.toml", sweep::part("Weather 2", "30 EUR", "")},
                              {"parts/weather-3.toml", sweep::part("Weather 3", "40 EUR", "")}};
    const auto p = plan("[buy.core]\n[buy.weather]\n" + wish, priced);
    ASSERT_EQ(p.combinations[9].values, (std::vector<double>{1, 1}));
    EXPECT_EQ(p.combinations[9].price, 680);
    ASSERT_EQ(p.combinations[1].values, (std::vector<double>{0, 1}));
    EXPECT_EQ(p.combinations[1].price, 30);
}

TEST_F(Plan, TwoCurrenciesAreRefused) {
    EXPECT_EQ(refused("[buy.core]\n" + wish, {{"parts/core-d.toml", sweep::part("D", "900 USD", "width = \"1 m\"\n")}}),
              R"(studies/s.toml:4:7: error: the choices of 'core' have prices in USD, others in EUR
    4 | [knob.core]
      |       ^^^^ one currency for all parts of a sweep
)");
}

TEST_F(Plan, AWishInAnotherCurrencyThanThePartsIsRefused) {
    const std::string budget = "[wish.budget]\nfigure = \"price\"\nat_most = \"900 USD\"\n";
    EXPECT_EQ(refused("[buy.core]\n" + wish + budget),
              R"(studies/s.toml:33:7: error: [wish.budget] is in USD, the prices of the parts in EUR
   33 | [wish.budget]
      |       ^^^^^^ the currency of the parts
)");
    EXPECT_EQ(refused("[buy.fin]\n" + wish + budget), "");  // nothing has a price
    EXPECT_EQ(refused("[buy.core]\n" + wish + "[wish.budget]\nfigure = \"price\"\nat_most = 900\n"), "");
}

TEST_F(Plan, AWishAboutWhatIsNeverMetIsRefused) {
    const std::string tables = "[buy.core]\n[meet.weather]\n" + wish +
                               "[wish.cool]\nfigure = \"intake_redline\"\nat_most = \"80 degC\"\n"
                               "on = { weather = \"weather-1\" }\n[choose]\nmet = ";
    EXPECT_EQ(refused(tables + "8\n"), "");
    EXPECT_EQ(refused(tables + "1\nseed = 1\n"),
              R"(studies/s.toml:34:7: error: [wish.cool] is about choices that none of the 1 sampled conditions meets
   34 | [wish.cool]
      |       ^^^^ more conditions: met in [choose]
)");
}

TEST_F(Plan, SettingsAreThePathsOfTheKnobsWithWhatWouldStandInAFile) {
    load("[buy.core]\n[buy.rows]\n[meet.glycol]\n[choose]\ncombinations = 3\n" + wish);
    const auto settings = settings_of(choices.buy, {2, 3});
    ASSERT_EQ(settings.size(), 2u);
    EXPECT_EQ(settings[0].key, "cooler.parts.core");
    EXPECT_EQ(*settings[0].value.text(), "core-c");
    EXPECT_EQ(settings[1].key, "cooler.rows");
    EXPECT_EQ(*settings[1].value.as<std::int64_t>(), 3);
    EXPECT_TRUE(settings_of(choices.buy, {}).empty());
}

// ---- what asks for new runs, and what does not
TEST_F(Plan, WordsAndWishesDoNotChangeTheHash) {
    const std::string tables = "[buy.core]\n[meet.weather]\n[meet.charge]\n[choose]\nmet = 4\n";
    const auto hash = plan(tables + wish).hash;
    EXPECT_EQ(plan(tables + wish).hash, hash);
    EXPECT_EQ(plan("# a remark\n" + tables + "shortlist = 2\nsensitivity = 0\nfigures = [\"belt_slip\"]\n" + wish).hash,
              hash);
    EXPECT_EQ(plan(tables + "[wish.x]\ntitle = \"x\"\nfigure = \"intake_redline\"\nprefer = \"less\"\n").hash, hash);
    EXPECT_EQ(plan("[variant.a.set]\n" + tables + wish).hash, plan("[variant.a.set]\n" + tables + wish).hash);
    auto files = sweep::parts();
    auto text = "title = \"another\"\nquestion = \"?\"\nnote = \"n\"\nrig = \"../rigs/demo.toml\"\n[variant.a]\n" +
                std::string(sweep::knobs) + tables + wish;
    text.insert(text.find("[variant.a]\n") + 12, "title = \"as it stands\"\n");
    text.insert(text.find("[knob.core]\n") + 12, "title = \"charge cooler\"\nnote = \"in the lid\"\n");
    files["studies/s.toml"] = text;
    write(files);
    study = read("studies/s.toml");
    Diagnostics d;
    choices = read_sweep_choices(study, d);
    EXPECT_EQ(plan_sweep(study, choices, fake::registry()).hash, hash);
}

TEST_F(Plan, WhatMovesResultsChangesTheHash) {
    const std::string buy = "[buy.core]\n", meet = "[meet.weather]\n[meet.charge]\n", choose = "[choose]\nmet = 4\n";
    std::set<std::string> hashes{plan(buy + meet + choose + wish).hash};
    const auto another = [&](const std::string& tables, const sweep::Files& further = {}) {
        return hashes.insert(plan(tables + wish, further).hash).second;
    };
    EXPECT_FALSE(another(buy + meet + choose));
    EXPECT_TRUE(another(buy + meet + choose + "seed = 2\n"));
    EXPECT_TRUE(another(buy + meet + "[choose]\nmet = 5\n"));
    EXPECT_TRUE(another(buy + meet + choose + "sampling = \"Latin hypercube\"\n"));
    EXPECT_TRUE(another("[buy.core]\n[buy.fin]\n" + meet + choose));
    EXPECT_TRUE(another(buy + "[meet.weather]\n[meet.pressure]\n" + choose));
    EXPECT_TRUE(another(buy + meet + "mean = \"20 degC\"\ndeviation = \"5 K\"\n" + choose));
    EXPECT_TRUE(another(buy + meet + choose + "[conditions]\n\"cooler.width\" = \"250 mm\"\n"));
    EXPECT_TRUE(another(buy + meet + choose + "[procedure]\ntolerance = 1e-6\n"));
    EXPECT_TRUE(another(buy + meet + choose,
                        {{"parts/core-d.toml", sweep::part("Core D", "900.50 EUR", "width = \"451 mm\"\n")}}));
    EXPECT_TRUE(another(buy + meet + choose,
                        {{"parts/weather-5.toml", sweep::part("Weather 5", "", "temperature = \"26 degC\"\n")}}));
    auto rig = sweep::rig();
    rig.replace(rig.find("3 L"), 3, "5 L");
    EXPECT_TRUE(another(buy + meet + choose, {{"rigs/demo.toml", rig}}));
}

TEST_F(Plan, TheFolderOfAStudyDoesNotChangeTheHash) {
    const std::string tables = "[buy.core]\n[meet.weather]\n" + wish;
    const auto hash = plan(tables).hash;
    auto files = sweep::parts();
    sweep::Files moved;
    for (const auto& [path, text] : files) moved["elsewhere/" + path] = text;
    moved["elsewhere/studies/s.toml"] =
        "title = \"made\"\nrig = \"../rigs/demo.toml\"\n[variant.a]\n" + std::string(sweep::knobs) + tables;
    write(moved);
    study = read("elsewhere/studies/s.toml");
    Diagnostics d;
    choices = read_sweep_choices(study, d);
    EXPECT_EQ(plan_sweep(study, choices, fake::registry()).hash, hash);
}

}  // namespace sweep_plan_tests

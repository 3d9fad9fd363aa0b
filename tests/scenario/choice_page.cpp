// The document of the page of a choice of parts: its numbers are those of the ranking.
#include "choice_page.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <pullcast/choose/sweep_run.hpp>

#include "shipped.hpp"

namespace choice_page_tests {

using namespace shipped;
using namespace pullcast::choose;
using Json = nlohmann::ordered_json;

constexpr const char* few = R"(
title = "A <b>choice</b> & </script>"
[procedure]
output_step = "100 ms"
[variant.car]
[knob.pulley]
sets = "drive.parts.pulley"
choices = ["pulley-92", "pulley-86", "pulley-80"]
[buy.pulley]
[knob.pump]
sets = "pump.parts.unit"
choices = ["small-pump", "large-pump"]
[buy.pump]
[knob.weather]
sets = "ambient.parts.weather"
choices = ["pass-cool", "valley-hot"]
[meet.weather]
[choose]
sensitivity = 0
[wish.power]
title = "peak power"
figure = "crank_power"
prefer = "more"
[wish.margin]
title = "margin"
figure = "knock_margin"
at_least = "{} deg"
[wish.money]
title = "price"
figure = "price"
prefer = "less"
)";

/// A sweep that was run.
struct Sweep {
    Study study;
    Chosen chosen;

    explicit Sweep(const std::string& margin)
        : study(read_study(
              std::make_shared<const SourceFile>(SourceFile{
                  (scenarios() / "studies" / "made.toml").string(),
                  "rig = \"" + rig_file + "\"\n" + std::string(few).replace(std::string(few).find("{}"), 2, margin)}),
              registry())) {
        Diagnostics d;
        chosen.study = &study;
        chosen.choices = read_sweep_choices(study, d);
        d.throw_if_failed();
        chosen.plan = plan_sweep(study, chosen.choices, registry());
        Runner runner(study, chosen.choices, registry());
        for (std::size_t k = 0; k < chosen.plan.runs(); ++k)
            chosen.runs[k] = runner.run(k, chosen.plan.combination_of(k), chosen.plan.condition_of(k));
        chosen.ranking = rank(chosen.choices, chosen.plan, chosen.runs);
        chosen.sensitivity.left_out = no_sensitivity(chosen.choices, chosen.ranking);
    }
};
const Sweep& made() {
    static const Sweep run("-90");
    return run;
}

TEST(ChoicePage, HasEveryCombinationWithTheNumbersOfTheRanking) {
    const auto page = choice_json(made().chosen, UnitSystem::metric);
    const auto& all = page["combinations"];
    const auto& ranking = made().chosen.ranking;
    ASSERT_EQ(all["price"].size(), 6u);  // 3 pulleys by 2 pumps, what the car has among them
    for (std::size_t k = 0; k < 6; ++k) {
        EXPECT_EQ(all["price"][k].get<double>(), made().chosen.plan.combinations[k].price);
        EXPECT_EQ(all["eligible"][k].get<int>(), int(ranking.standings[k].eligible));
        for (std::size_t w = 0; w < 3; ++w) {
            const auto& g = ranking.standings[k].wishes[w];
            EXPECT_NEAR(all["wishes"][w]["mean"][k].get<double>(), g.mean, 1e-5 * std::fabs(g.mean));
            EXPECT_NEAR(all["wishes"][w]["sure"][k].get<double>(), g.sure, 1e-5 * std::fabs(g.sure));
            EXPECT_EQ(all["wishes"][w]["holds"][k].get<int>(), int(g.holds));
        }
    }
    for (const auto k : ranking.front) {  // in full where a table shows them
        EXPECT_EQ(all["wishes"][0]["mean"][k].get<double>(), ranking.standings[k].wishes[0].mean);
    }
    EXPECT_EQ(page["shortlist"].size(), ranking.shortlist.size());
    EXPECT_EQ(page["units"]["money"]["us"]["unit"], "EUR");
}

TEST(ChoicePage, NamesTheCarsOwnPartsAndWhatIsBoughtWithoutPrices) {
    const auto& c = made().chosen;
    const auto page = choice_json(c, UnitSystem::metric);
    EXPECT_EQ(page["bought"][0]["own"].get<int>(), 0);
    EXPECT_EQ(page["bought"][0]["choices"][2], "80 mm rotor pulley");
    EXPECT_EQ(page["combinations"]["bought"][0][0].get<int>(), 0);
    EXPECT_EQ(name_of(c, 0), "as it stands");
    for (std::size_t k = 1; k < 6; ++k) {
        const auto& v = c.plan.combinations[k].values;
        const bool pulley = v[0] != 0, pump = v[1] != 0;
        const auto name = name_of(c, k);
        EXPECT_EQ(name.find("pulley") != name.npos, pulley) << name;
        EXPECT_EQ(name.find("pump") != name.npos, pump) << name;
        EXPECT_EQ(name.find(" + ") != name.npos, pulley && pump) << name;
        EXPECT_EQ(name.find("EUR"), name.npos) << name;
    }
}

TEST(ChoicePage, TheWayThatGoesFurthestGainsLessForItsMoneyFromStepToStep) {
    const auto& r = made().chosen.ranking;
    ASSERT_FALSE(r.furthest.empty());
    EXPECT_EQ(r.furthest.front().from, r.money.front().from);
    EXPECT_EQ(r.furthest.back().to, r.money.back().to);
    double gain = 0, price = 0;
    for (std::size_t k = 0; k < r.furthest.size(); ++k) {
        const auto& s = r.furthest[k];
        gain += s.gain, price += s.price;
        if (k == 0) continue;
        EXPECT_EQ(s.from, r.furthest[k - 1].to);
        EXPECT_LT(s.gain / s.price, r.furthest[k - 1].gain / r.furthest[k - 1].price);
    }
    double all_gain = 0, all_price = 0, reached = 0, paid = 0;
    for (const auto& s : r.money) all_gain += s.gain, all_price += s.price;
    EXPECT_NEAR(gain, all_gain, 1e-9 * all_gain);
    EXPECT_NEAR(price, all_price, 1e-9);
    std::size_t at = 0;  // no step of the whole way lies above it
    for (const auto& s : r.money) {
        reached += s.gain, paid += s.price;
        double gained = 0, spent = 0;
        for (at = 0; at < r.furthest.size() && spent + r.furthest[at].price <= paid + 1e-9; ++at)
            gained += r.furthest[at].gain, spent += r.furthest[at].price;
        if (at < r.furthest.size()) gained += (paid - spent) / r.furthest[at].price * r.furthest[at].gain;
        EXPECT_LE(reached, gained * (1 + 1e-9));
    }
}

TEST(ChoicePage, AnswersInBothSystemsOfUnits) {
    const auto page = choice_json(made().chosen, UnitSystem::us);
    EXPECT_EQ(page["system"], "us");
    const auto metric = page["headline"]["metric"].get<std::string>(), us = page["headline"]["us"].get<std::string>();
    EXPECT_TRUE(metric.starts_with("Most for the money: ")) << metric;
    EXPECT_NE(metric.find(" kW"), metric.npos) << metric;
    EXPECT_NE(us.find(" hp"), us.npos) << us;
    EXPECT_EQ(page["sensitivity"]["words"]["metric"][0], "Not computed: not asked for.");
}

TEST(ChoicePage, SaysSoWhereNothingGrantsEveryWish) {
    const Sweep none("89");
    const auto page = choice_json(none.chosen, UnitSystem::metric);
    const auto text = page["headline"]["metric"].get<std::string>();
    EXPECT_TRUE(text.starts_with("Buy nothing yet: none of 5 combinations")) << text;
    EXPECT_NE(text.find("margin (at least 89.0 deg"), text.npos) << text;
    EXPECT_TRUE(page["shortlist"].empty());
    EXPECT_TRUE(page["furthest"].empty());
}

TEST(ChoicePage, FailedRunsAreToldAndHaveNoNumbers) {
    Sweep run("-90");
    run.chosen.runs[2 * 2].values.clear();  // combination 2, the first of two conditions
    run.chosen.runs[2 * 2].failure = "the belt came off";
    run.chosen.ranking = rank(run.chosen.choices, run.chosen.plan, run.chosen.runs);
    const auto page = choice_json(run.chosen, UnitSystem::metric);
    ASSERT_EQ(page["failed"].size(), 1u);
    EXPECT_EQ(page["failed"][0]["combination"], 2);
    EXPECT_EQ(page["failed"][0]["conditions"], 1);
    EXPECT_EQ(page["failed"][0]["failure"], "the belt came off");
    EXPECT_TRUE(page["combinations"]["wishes"][0]["mean"][2].is_null());
    EXPECT_EQ(page["combinations"]["eligible"][2], 0);
}

TEST(ChoicePage, NoTextOfItEndsTheElementThatItStandsIn) {
    const auto html = choice_html(made().chosen, UnitSystem::metric);
    EXPECT_EQ(html.find("<b>choice"), html.npos);
    EXPECT_NE(html.find("<title>A &lt;b>choice&lt;/b> &amp; &lt;/script></title>"), html.npos);
}

}  // namespace choice_page_tests

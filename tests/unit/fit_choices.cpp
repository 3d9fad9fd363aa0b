// What a study wants to be fitted and told: [fit.NAME] and [match], and where a path stands in a rig.
#include <fake_rig.hpp>
#include <pullcast/measure/fit_choices.hpp>
#include <pullcast/measure/match_choices.hpp>

namespace fit_choices_tests {

using namespace fake;
using namespace pullcast::measure;
using measure::Question;

class FitChoices : public Folder {
protected:
    static Study study(const std::string& text, const std::string& volume = "volume = \"3 L\"") {
        std::string rig = good_rig;
        rig.replace(rig.find("volume = \"3 L\""), 14, volume);
        write({{"rigs/demo.toml", rig},
               {"parts/core-a.toml", core_a},
               {"s.toml",
                "rig = \"rigs/demo.toml\"\n[variant.a]\n[variant.b]\n"
                "[pull.one]\nvariant = \"a\"\nlog = \"1.csv\"\n[pull.two]\nvariant = \"b\"\nlog = \"2.csv\"\n" +
                    text}});
        return read("s.toml");
    }
    static std::vector<FitChoice> choices(const std::string& text) {
        Diagnostics d;
        auto all = read_fit_choices(study(text), d);
        EXPECT_FALSE(d.failed()) << render(d.all());
        return all;
    }
    static MatchChoices match(const std::string& text) {
        Diagnostics d;
        auto choices = read_match_choices(study(text), d);
        EXPECT_FALSE(d.failed()) << render(d.all());
        return choices;
    }
};

TEST_F(FitChoices, AreInSiWithTheUnitOfWhatTheyMove) {
    const auto all = choices(R"([fit.air]
title = "air of the day"
moves = "ambient.temperature"
per = "pull"
pulls = ["two"]
measured = "ambient_temperature"
reading_deviation = "3 K"
lowest = "-10 degC"
highest = "80 degC"
expected = "20 degC"
deviation = "9 degF"
[fit.map]
scales = ["blower.efficiency", "cooler.width"]
per = "variant"
lowest = "50 %"
)");
    ASSERT_EQ(all.size(), 2u);
    const auto &air = all[0], &map = all[1];
    EXPECT_EQ(air.name, "air");
    EXPECT_EQ(air.title, "air of the day");
    EXPECT_EQ(air.kind, Parameter::Kind::number);
    EXPECT_EQ(air.belongs, Belongs::pull);
    EXPECT_EQ(air.pulls, std::vector<std::string>{"two"});
    EXPECT_EQ(air.unit, "K");
    EXPECT_EQ(air.quantity, "temperature");
    EXPECT_EQ(air.measured->name, "ambient_temperature");
    EXPECT_DOUBLE_EQ(air.reading_deviation, 3);
    EXPECT_DOUBLE_EQ(air.lowest, 263.15);
    EXPECT_DOUBLE_EQ(air.highest, 353.15);
    EXPECT_DOUBLE_EQ(*air.expected, 293.15);
    EXPECT_DOUBLE_EQ(*air.deviation, 5);
    EXPECT_EQ(map.title, "map");
    EXPECT_EQ(map.kind, Parameter::Kind::factor);
    EXPECT_EQ(map.belongs, Belongs::variant);
    EXPECT_TRUE(map.pulls.empty());
    EXPECT_EQ(map.unit, "1");
    EXPECT_EQ(map.quantity, "factor");
    EXPECT_DOUBLE_EQ(map.lowest, 0.5);
    EXPECT_TRUE(std::isinf(map.highest));
    EXPECT_FALSE(map.expected || map.deviation || map.measured);
    EXPECT_TRUE(choices("").empty());
}

// Of the rig's two volumes one has a start temperature of its own: the shared one is not its.
TEST_F(FitChoices, SharedValuesStandWhereTheyAreTaken) {
    using Places = std::vector<std::pair<std::string, std::string>>;
    const auto places = [](const Study& s, const std::string& path) {
        Places all;
        for (const auto& p : places_of(path, s.variants[0])) all.emplace_back(p.component, p.key);
        return all;
    };
    const auto shared = study("");
    EXPECT_EQ(places(shared, "common.start_temperature"),
              (Places{{"duct", "start_temperature"}, {"manifold", "start_temperature"}}));
    const auto own = study("", "volume = \"3 L\"\nstart_temperature = \"40 degC\"");
    EXPECT_EQ(places(own, "common.start_temperature"), (Places{{"duct", "start_temperature"}}));
    EXPECT_EQ(places(own, "manifold.start_temperature"), (Places{{"manifold", "start_temperature"}}));
    for (const char* nowhere : {"common.glycool", "coler.width", "cooler.from", "cooler", "cooler.parts.core", ""})
        EXPECT_TRUE(places(own, nowhere).empty()) << nowhere;
}

TEST_F(FitChoices, OfAMatchHavePresets) {
    const auto m = match("[reference]\n\"ambient.temperature\" = \"20 degC\"\n");
    EXPECT_TRUE(m.asked);
    EXPECT_EQ(m.questions, std::vector{Question::same_pulley});
    ASSERT_EQ(m.figures.size(), 6u);
    EXPECT_STREQ(m.figures[0]->key, "intake_redline");
    EXPECT_STREQ(m.figures[5]->key, "knock_margin");
    EXPECT_EQ(m.explain, (std::vector<std::string>{"one", "two"}));
    EXPECT_TRUE(m.no_worse.empty());
    EXPECT_FALSE(match("").asked);
}

TEST_F(FitChoices, OfAMatchAreInSi) {
    const auto m = match(R"([reference]
"ambient.temperature" = "20 degC"
[match]
questions = ["same knock margin", "same pulley"]
figures = ["crank_power"]
repeatability = { power = "2 %", temperature = "3 K", pressure = "4 kPa", spark = "1 deg" }
no_worse = { crank_power = "1 %", intake_redline = "2 K", wheel_power = "5 kW" }
explain = ["two", "one"]
)");
    EXPECT_EQ(m.questions, (std::vector{Question::same_knock_margin, Question::same_pulley}));
    ASSERT_EQ(m.figures.size(), 1u);
    EXPECT_STREQ(m.figures[0]->key, "crank_power");
    EXPECT_DOUBLE_EQ(m.repeatability.power, 0.02);
    EXPECT_DOUBLE_EQ(m.repeatability.temperature, 3);
    EXPECT_DOUBLE_EQ(m.repeatability.pressure, 4000);
    EXPECT_NEAR(m.repeatability.spark, std::acos(-1) / 180, 1e-12);
    ASSERT_EQ(m.no_worse.size(), 3u);
    EXPECT_STREQ(m.no_worse[0].figure->key, "crank_power");
    EXPECT_TRUE(m.no_worse[0].share);
    EXPECT_DOUBLE_EQ(m.no_worse[0].limit, 0.01);
    EXPECT_FALSE(m.no_worse[1].share);
    EXPECT_DOUBLE_EQ(m.no_worse[1].limit, 2);
    EXPECT_DOUBLE_EQ(m.no_worse[2].limit, 5000);
    EXPECT_EQ(m.explain, (std::vector<std::string>{"two", "one"}));
}

}  // namespace fit_choices_tests

// Explanations over real pulls of the shipped rig: shares that add up, causes that a person would name.
#include <pullcast/study/explain_words.hpp>
#include <pullcast/study/study_run.hpp>

#include "shipped.hpp"

namespace explain_tests {

using namespace pullcast;

const std::vector<std::string> hot = {"\"ambient.temperature\" = \"33 degC\"",
                                      "\"common.start_coolant_temperature\" = \"45 degC\""};
const std::vector<std::string> pulley = {"\"drive.parts.pulley\" = \"pulley-80\""};
const std::vector<std::string> by_the_sea = {"\"ambient.parts.weather\" = \"coast-heat\"",
                                             "\"common.start_pressure\" = \"100.9 kPa\""};

std::vector<std::string> all_of(std::initializer_list<std::vector<std::string>> lists) {
    std::vector<std::string> all;
    for (const auto& list : lists) all.insert(all.end(), list.begin(), list.end());
    return all;
}
Study study_with(const std::vector<std::string>& changes) { return shipped::study_of({{"a", {}}, {"b", changes}}); }

std::vector<std::string> titles(const std::vector<Cause>& causes) {
    std::vector<std::string> all;
    for (const auto& c : causes) all.push_back(c.title);
    return all;
}
using Titles = std::vector<std::string>;

std::vector<Cause> causes_of(const Study& s) { return causes_between(s.variants[0], s.variants[1]); }

Explanation explained(const Study& s, std::size_t from, std::size_t to, unsigned threads = 2) {
    const auto &a = s.variants[from], &b = s.variants[to];
    return explain(a, b, causes_between(a, b), usual_figures(), threads);
}

TEST(Explain, SharesOfRealPullsAddUpToWhatTheRunsDiffer) {
    const auto study = study_with(all_of({hot, pulley}));
    const auto runs = run_study(study, 2);
    const auto e = explained(study, 0, 1);
    EXPECT_EQ(titles(e.causes), (Titles{"ambient temperature", "coolant at start", "pulley"}));
    EXPECT_EQ(e.pulls, 8u);
    ASSERT_EQ(e.figures.size(), 6u);
    for (const auto& f : e.figures) {
        EXPECT_EQ(f.from, figure(runs[0], f.figure->key)) << f.figure->key;
        EXPECT_EQ(f.to, figure(runs[1], f.figure->key)) << f.figure->key;
        double sum = 0;
        for (const auto& s : f.shares) sum += s.value;
        EXPECT_NEAR(sum, f.to - f.from, 1e-9 * std::fabs(f.to - f.from)) << f.figure->key;
        EXPECT_GT(std::fabs(f.to - f.from), 0) << f.figure->key;
    }
}

TEST(Explain, OneChangeGetsAll) {
    const auto e = explained(study_with(pulley), 0, 1);
    ASSERT_EQ(titles(e.causes), Titles{"pulley"});
    for (const auto& f : e.figures)
        for (const double v : {f.shares[0].value, f.shares[0].first, f.shares[0].last}) EXPECT_EQ(v, f.to - f.from);
}

// Backwards every step is the same one the other way, and the first becomes the last.
TEST(Explain, BackwardsEverySignTurns) {
    const auto study = study_with(all_of({hot, pulley}));
    const auto there = explained(study, 0, 1), back = explained(study, 1, 0);
    ASSERT_EQ(titles(there.causes), titles(back.causes));
    for (std::size_t f = 0; f < there.figures.size(); ++f)
        for (std::size_t k = 0; k < there.causes.size(); ++k) {
            const auto &a = there.figures[f].shares[k], &b = back.figures[f].shares[k];
            const double size = 1e-9 * (std::fabs(a.value) + std::fabs(a.first));
            EXPECT_NEAR(a.value, -b.value, size);
            EXPECT_NEAR(a.first, -b.last, size);
            EXPECT_NEAR(a.last, -b.first, size);
        }
}

TEST(Explain, FiguresThatNeedNoReviewAreTheSameWithoutOne) {
    const auto v = study_with(pulley).variants[1];
    const Network network(v.rig);
    auto plan = pull_plan(v.procedure);
    const auto whole = run_pull(network, plan);
    plan.review = false;
    const auto quick = run_pull(network, plan);
    const PullView a(network, whole), b(network, quick);
    bool any_reviewed = false;
    for (const auto& f : figures()) {
        const double x = f.compute(a), y = f.compute(b);
        if (is_reviewed(f)) any_reviewed = any_reviewed || !(x == y);
        else EXPECT_TRUE(x == y || (std::isnan(x) && std::isnan(y))) << f.key;
    }
    EXPECT_TRUE(any_reviewed);
}

// Least margin, everything else at that point and the second model's own: the same bits as from a review in full.
TEST(Explain, FiguresOfKnockNeedTheWorstPointAlone) {
    for (const auto& v : study_with(all_of({hot, pulley})).variants) {
        const Network network(v.rig);
        auto plan = pull_plan(v.procedure);
        const auto whole = run_pull(network, plan);
        plan.worst_from = boost_settles;
        const auto quick = run_pull(network, plan);
        const PullView a(network, whole), b(network, quick);
        for (const auto& f : figures()) {
            const double x = f.compute(a), y = f.compute(b);
            EXPECT_TRUE(x == y || (std::isnan(x) && std::isnan(y))) << v.name << ": " << f.key;
        }
        const auto headroom = *a.find("knock", "headroom");
        std::size_t left_out = 0;
        for (std::size_t k = 0; k < b.points(); ++k) {
            const double x = whole.at(k, headroom), y = quick.at(k, headroom);
            EXPECT_TRUE(x == y || std::isnan(y)) << k;
            left_out += std::isnan(y);
        }
        EXPECT_GT(left_out, b.points() / 2);
    }
}

TEST(Explain, NumberOfThreadsChangesNothing) {
    const auto study = study_with(all_of({hot, pulley}));
    const auto one = explained(study, 0, 1, 1), three = explained(study, 0, 1, 3);
    for (std::size_t f = 0; f < one.figures.size(); ++f)
        for (std::size_t k = 0; k < one.causes.size(); ++k)
            EXPECT_EQ(one.figures[f].shares[k].value, three.figures[f].shares[k].value);
}

TEST(Explain, VariantsThatDifferInNoEffectHaveNoCause) {
    // The same weather in numbers, the same pulley by its path.
    const auto s =
        shipped::study_of({{"a", by_the_sea},
                           {"b",
                            {"\"ambient.model\" = \"gas.ambient\"", "\"ambient.temperature\" = \"33 degC\"",
                             "\"ambient.pressure\" = \"1009 hPa\"", "\"ambient.humidity\" = 0.55",
                             "\"common.start_pressure\" = \"100900 Pa\"", "\"common.spark_mode\" = \"table\""}}});
    EXPECT_EQ(titles(causes_of(s)), Titles{});
    EXPECT_EQ(explain(s.variants[0], s.variants[1], {}, usual_figures(), 1).figures.at(0).shares.size(), 0u);
}

// The rig's own weather is a model with an altitude, the other one has a barometer.
TEST(Explain, WeatherIsTemperatureHumidityAndPressureWithTheStartPressure) {
    const auto s = study_with(by_the_sea);
    const auto causes = causes_of(s);
    ASSERT_EQ(titles(causes), (Titles{"ambient temperature", "relative humidity", "ambient pressure"}));
    const auto ambient = [&](Coalition taken) {
        const Network network(between(s.variants[0], s.variants[1], causes, taken).rig);
        Workspace<double> w(network);
        network.start(w.x.data());
        EXPECT_TRUE(network.publish(w));
        std::map<std::string, double> values;
        for (std::size_t k = 0; k < network.channels().size(); ++k)
            if (network.channels()[k].component == "ambient" && network.channels()[k].field->kind == Kind::node)
                values[network.channels()[k].item] = network.channel(w, k);
        return values;
    };
    auto none = ambient(0), all = ambient(7), warm = ambient(1), pressed = ambient(4);
    EXPECT_NEAR(all["air.p"], 100900, 1e-6);
    EXPECT_NEAR(all["air.T"], 306.15, 1e-9);
    EXPECT_EQ(warm["air.T"], all["air.T"]);
    EXPECT_EQ(warm["air.p"], none["air.p"]);
    EXPECT_EQ(pressed["air.T"], none["air.T"]);
    EXPECT_EQ(pressed["air.p"], all["air.p"]);
    const auto words = change_in_words(causes[2], s.variants[0], s.variants[1], UnitSystem::metric);
    EXPECT_EQ(words,
              (Titles{"paddock at 900 m, 22 degC -> by the sea on a hot day", "start pressure 91 kPa -> 100.9 kPa"}));
}

TEST(Explain, PressureAtStartAloneIsNotTheWeather) {
    EXPECT_EQ(titles(causes_of(study_with({"\"common.start_pressure\" = \"95 kPa\""}))), Titles{"pressure at start"});
}

struct Named {
    const char *change, *title;
};
TEST(Explain, ChangesAreNamedAsPeopleNameThem) {
    const Named all[] = {
        {"\"common.parts.fuel\" = \"pump-95\"", "fuel"},
        {"\"calibration.parts.coolant\" = \"two-degrees-less\"", "spark"},
        {"\"calibration.spark_offset\" = \"-2 deg\"", "spark"},
        {"\"common.spark_mode\" = \"at_limit\"", "spark"},
        {"\"drive.parts.belt\" = \"worn-belt\"", "belt"},
        {"\"drive.parts.belt\" = \"toothed-belt\"", "belt"},
        {"\"drive.parts.pulley\" = \"pulley-74\"", "pulley"},
        {"\"cooler.parts.core\" = \"deep-core\"", "core"},
        {"\"cooler.parts.core\" = \"air-to-air-core\"", "core"},
        {"\"pump.parts.unit\" = \"large-pump\"", "pump"},
        {"\"pump.parts.unit\" = \"regulated-pump\"", "pump"},
        {"\"front.parts.exchanger\" = \"double-row\"", "front exchanger"},
        {"\"load.tyre_friction\" = 0.7", "tyre"},
        {"\"load.parts.dyno\" = \"brake-600\"", "dyno and car"},
        {"\"common.start_temperature\" = \"40 degC\"", "charge at start"},
        {"\"manifold.start_wall_temperature\" = \"60 degC\"", "charge at start"},
        {"\"common.engine_temperature\" = \"80 degC\"", "engine at start"},
        {"\"filter.rated_pressure_drop\" = \"9 kPa\"", "filter"},
        {"\"supply_hose.length\" = \"3 m\"", "supply hose"},
        {"\"procedure.settle\" = \"20 s\"", "wait before the pull"},
        {"\"procedure.stop_speed\" = \"6000 rpm\"", "procedure"},
        {"\"ambient.altitude\" = \"400 m\"", "ambient pressure"},
    };
    for (const auto& [change, title] : all) EXPECT_EQ(titles(causes_of(study_with({change}))), Titles{title}) << change;
}

TEST(Explain, LambdaIsTakenApartFromSpark) {
    const std::vector<std::string> fixed = {"\"calibration.parts.file\" = \"bench-spark\""};
    auto other = fixed;
    other.insert(other.end(), {"\"calibration.constant_lambda\" = 0.95", "\"calibration.constant_spark\" = \"9 deg\""});
    const auto s = shipped::study_of({{"a", fixed}, {"b", other}});
    EXPECT_EQ(titles(causes_of(s)), (Titles{"spark", "lambda"}));
    const auto shifted =
        study_with({"\"calibration.lambda_offset\" = -0.03", "\"calibration.spark_offset\" = \"-2 deg\""});
    EXPECT_EQ(titles(causes_of(shifted)), (Titles{"spark", "lambda"}));
}

// Models, parts and values swapped at once: any of the 1024 mixtures is a rig, and each takes what it should.
TEST(Explain, EveryMixtureOfSwappedModelsIsARig) {
    const auto s =
        study_with({"\"cooler.parts.core\" = \"air-to-air-core\"", "\"pump.parts.unit\" = \"regulated-pump\"",
                    "\"front.parts.exchanger\" = \"rated-front\"", "\"load.parts.dyno\" = \"brake-600\"",
                    "\"drive.parts.belt\" = \"toothed-belt\"", "\"drive.parts.pulley\" = \"pulley-80\"",
                    "\"throttle.parts.unit\" = \"slide-45\"", "\"knock.parts.rules\" = \"careful-rules\"",
                    "\"blower.parts.unit\" = \"lobe-19-map\"", "\"common.glycol\" = \"20 %\""});
    const auto &a = s.variants[0], &b = s.variants[1];
    const auto causes = causes_between(a, b);
    ASSERT_EQ(causes.size(), 10u) << listed(titles(causes));
    for (Coalition c = 0; c < 1024; ++c) {
        const auto v = between(a, b, causes, c);
        ASSERT_NO_THROW(Network(v.rig)) << c;
        std::vector<Cause> rest, taken;
        for (std::size_t k = 0; k < causes.size(); ++k) (c >> k & 1 ? taken : rest).push_back(causes[k]);
        ASSERT_EQ(titles(causes_between(v, b)), titles(rest)) << c;
        ASSERT_EQ(titles(causes_between(a, v)), titles(taken)) << c;
    }
}

TEST(Explain, CausesTakenTogetherCountAsOne) {
    const auto s = study_with(all_of({by_the_sea, pulley}));
    const auto joined = together(causes_of(s), {"relative humidity", "ambient temperature"});
    EXPECT_EQ(titles(joined), (Titles{"relative humidity and ambient temperature", "ambient pressure", "pulley"}));
    EXPECT_EQ(joined[0].differences.size(), 2u);
    try {
        together(joined, {"puley"});
        FAIL();
    } catch (const ScenarioError& e) {
        EXPECT_STREQ(e.what(), "error: no cause is called 'puley'\n      did you mean 'pulley'?\n");
    }
}

TEST(Explain, CausesThatAreTooManyCountAsOneAtTheEnd) {
    const auto all = causes_of(study_with(all_of({by_the_sea, pulley})));
    ASSERT_EQ(titles(all), (Titles{"ambient temperature", "relative humidity", "ambient pressure", "pulley"}));
    EXPECT_EQ(titles(at_most(all, 4)), titles(all));
    const auto few = at_most(all, 3);
    EXPECT_EQ(titles(few), (Titles{"ambient temperature", "relative humidity", "ambient pressure and pulley"}));
    EXPECT_EQ(few[2].differences.size(), all[2].differences.size() + all[3].differences.size());
}

TEST(Explain, FigureThatTheRigHasNotIsSaidToBeMissing) {
    const Titles silent = {"\"knock.model\" = \"knock.none\"", "\"knock_rules.model\" = \"knock.none\""};
    const auto s = shipped::study_of({{"a", silent}, {"b", all_of({silent, pulley})}});
    const auto e = explained(s, 0, 1);
    ASSERT_EQ(e.not_there.size(), 1u);
    EXPECT_STREQ(e.not_there[0]->key, "knock_margin");
    EXPECT_EQ(e.figures.size(), 5u);
}

}  // namespace explain_tests

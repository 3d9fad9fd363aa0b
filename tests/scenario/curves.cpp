// What pages plot: every curve stands in one chart, and is what the channels say.
#include <pullcast/study/curves.hpp>

#include "shipped.hpp"

namespace curves_tests {

using namespace shipped;

TEST(Curves, StandInOneChartEachOrAreTheOtherEdgeOfABand) {
    std::vector<std::string> known, shown;
    for (const auto& c : curves()) {
        known.emplace_back(c.key);
        if (c.band) shown.emplace_back(c.band);
    }
    for (const auto& chart : charts())
        for (const char* key : chart.curves) shown.emplace_back(key);
    std::sort(known.begin(), known.end());
    std::sort(shown.begin(), shown.end());
    EXPECT_EQ(known, shown);
    EXPECT_EQ(std::unique(known.begin(), known.end()), known.end());
}

TEST(Curves, OfTheShippedRigAreThereAtEveryReportPoint) {
    const auto results = run_study(read("rigs/hillclimb-v6.toml"), 1);
    const PullView view(*results[0].network, results[0].pull);
    for (const auto& c : curves()) {
        const auto values = c.compute(view);
        const bool knock = std::string_view(c.key).starts_with("knock_");
        if (std::string_view(c.key) == "knock_margin_second" && !view.part("knock", 1)) continue;
        ASSERT_EQ(values.size(), view.points()) << c.key;
        for (std::size_t k = knock ? view.after(boost_settles) : 0; k < values.size(); ++k)
            ASSERT_TRUE(std::isfinite(values[k])) << c.key;
    }
}

TEST(Curves, AreWhatTheChannelsSay) {
    const auto results = run_study(read("rigs/hillclimb-v6.toml"), 1);
    const PullView view(*results[0].network, results[0].pull);
    const auto values = [&](std::string_view key) {
        for (const auto& c : curves())
            if (key == c.key) return c.compute(view);
        throw std::out_of_range("no curve " + std::string(key));
    };
    EXPECT_EQ(values("crank_power"), channel(results[0], "load", "crank_power"));
    EXPECT_EQ(values("spark"), channel(results[0], "calibration", "spark"));
    EXPECT_EQ(values("boost").back(), figure(results[0], "boost_redline"));
    EXPECT_EQ(values("charge_temperature").front(), figure(results[0], "charge_start"));
    EXPECT_EQ(values("intake_temperature").back(), figure(results[0], "intake_redline"));
}

TEST(Curves, AreEmptyWhereTheRigHasNoSuchThing) {
    const auto study =
        study_of({{"air", {"\"cooler.parts.core\" = \"air-to-air-core\"", "\"knock.model\" = \"knock.none\""}}});
    const auto results = run_study(study, 1);
    ASSERT_EQ(results[0].failure, "");
    const PullView view(*results[0].network, results[0].pull);
    for (const auto& c : curves()) {
        const bool none = std::string_view(c.key).starts_with("knock_");
        EXPECT_EQ(c.compute(view).empty(), none) << c.key;
    }
}

}  // namespace curves_tests

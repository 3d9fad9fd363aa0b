// The document of a day's page: its numbers are those of the results, and its thinned curves are nowhere off by more
// than what is shown.
#include "day_page.hpp"

#include <nlohmann/json.hpp>
#include <pullcast/study/session_words.hpp>

#include "day_curves.hpp"
#include "shipped.hpp"

namespace day_page_tests {

using namespace shipped;
using Json = nlohmann::ordered_json;

constexpr const char* two_pulls = R"(
title = "A <b>day</b> & </script>"
[variant.car]
[variant.other]
[variant.other.set]
"cooler.parts.core" = "deep-core"
[session]
steps = ["pull", "wait", "cool", "pull"]
[step.pull]
kind = "pull"
[step.wait]
title = "stands"
kind = "held"
lasts = "40 s"
[step.cool]
kind = "held"
lasts = "20 min"
until = { channel = "reservoir.coolant.T", below = "27.5 degC" }
)";

Study day_of(const std::string& text) {
    return read_study(std::make_shared<const SourceFile>(SourceFile{(scenarios() / "studies" / "made.toml").string(),
                                                                    "rig = \"" + rig_file + "\"\n" + text}),
                      registry());
}

/// A day, run once for all tests.
struct Run {
    Study study = day_of(two_pulls);
    std::vector<SessionResult> results = run_sessions(study, 2);
    std::vector<std::vector<double>> steady{steady_figures(study, 0, *pulls_of(study, results[0])[0]), {}};
    Json page = day_json(study, results, steady, UnitSystem::metric);
};
const Run& day() {
    static const Run run;
    return run;
}

const Json& variant(std::size_t v) { return day().page["variants"][v]; }

void expect_same(const Json& shown, double wanted, const std::string& what) {
    if (std::isfinite(wanted)) EXPECT_EQ(shown.get<double>(), wanted) << what;
    else EXPECT_TRUE(shown.is_null()) << what;
}

TEST(DayPage, StepsAreThoseThatWereRun) {
    for (std::size_t v = 0; v < 2; ++v) {
        const auto& parts = day().results[v].parts;
        const auto& steps = variant(v)["steps"];
        ASSERT_EQ(steps.size(), parts.size());
        double before = 0;
        for (std::size_t k = 0; k < parts.size(); ++k) {
            const auto& step = day().study.session->steps[parts[k].step];
            EXPECT_EQ(steps[k]["name"], step.name);
            EXPECT_EQ(steps[k]["title"], step.title);
            EXPECT_EQ(steps[k]["from"].get<double>(), before);
            EXPECT_EQ(steps[k]["begin"].get<double>(), parts[k].begin);
            EXPECT_EQ(steps[k]["end"].get<double>(), parts[k].end());
            EXPECT_EQ(steps[k]["early"].get<bool>(), parts[k].ended_early);
            before = parts[k].end();
        }
        EXPECT_EQ(steps[0]["ended"]["metric"], "stop speed");
        EXPECT_EQ(steps[1]["ended"]["metric"], "time");
        EXPECT_TRUE(parts[2].ended_early);
        EXPECT_EQ(steps[2]["ended"]["metric"], "reservoir.coolant.T fell to 27.5 degC");
        EXPECT_EQ(steps[2]["ended"]["us"], "reservoir.coolant.T fell to 81.5 degF");  // 27.5 * 1.8 + 32
    }
}

TEST(DayPage, FiguresHeatAndRecoveryAreThoseOfTheResults) {
    for (std::size_t v = 0; v < 2; ++v) {
        const auto& r = day().results[v];
        const auto pulls = pulls_of(day().study, r);
        ASSERT_EQ(variant(v)["pulls"].size(), pulls.size());
        for (std::size_t p = 0; p < pulls.size(); ++p) {
            const auto& shown = variant(v)["pulls"][p];
            EXPECT_EQ(&r.parts[shown["step"].get<std::size_t>()], pulls[p]);
            for (std::size_t k = 0; k < figures().size(); ++k)
                expect_same(shown["figures"][figures()[k].key], pulls[p]->figures[k], figures()[k].key);
            const auto heat = heat_of(*pulls[p]);
            ASSERT_TRUE(heat);
            double in = 0, out = 0;
            for (const auto& item : day().page["heat"])
                (item["side"] == "in" ? in : out) += shown["heat"][item["key"].get<std::string>()].get<double>();
            EXPECT_NEAR(in, heat->in(), 1e-9 * heat->in());
            EXPECT_NEAR(out, heat->in(), 1e-9 * heat->in());
            EXPECT_EQ(shown["heat"]["core"].get<double>(), heat->core);
            EXPECT_EQ(shown["heat"]["cylinders"].get<double>(), heat->cylinders);
            EXPECT_EQ(shown["residual"].get<double>(), pulls[p]->pull.energy.relative());
            const auto back = recovery(day().study, r, p);
            EXPECT_EQ(shown["recovery"]["after"].is_null(), !back.after);
            EXPECT_EQ(shown["recovery"]["watched"].get<double>(), back.watched);
            expect_same(shown["recovery"]["intake_left"], back.intake_left, "intake");
        }
        EXPECT_EQ(variant(v)["ledger"]["energy"]["into"].get<double>(), ledger_of(r).energy.into);
    }
    EXPECT_TRUE(variant(1)["steady"].is_null());
    for (std::size_t k = 0; k < figures().size(); ++k)
        expect_same(variant(0)["steady"][figures()[k].key], day().steady[0][k], figures()[k].key);
}

/// The value of a kept line at a time between two of its rows.
double line_at(const Json& time, const Json& values, std::size_t first, std::size_t last, double t) {
    std::size_t k = first;
    while (k + 1 < last && time[k + 1].get<double>() < t) ++k;
    if (values[k].is_null() || (k < last && values[k + 1].is_null())) return std::nan("");
    if (k == last) return values[k].get<double>();
    const double a = time[k].get<double>(), b = time[k + 1].get<double>(), share = (t - a) / (b - a);
    return values[k].get<double>() + share * (values[k + 1].get<double>() - values[k].get<double>());
}

TEST(DayPage, ThinnedCurvesAreWithinHalfOfTheirLastDecimalEverywhere) {
    std::size_t kept = 0, all = 0;
    for (const auto& c : day_curves()) {
        const auto display = display_unit(c.unit, UnitSystem::metric, c.quantity);
        const double half = 0.5 * std::pow(10.0, -c.decimals) / display.scale;
        const auto& values = variant(0)["curves"][c.key];
        if (values.is_null()) {  // the rig has no engine bay
            for (const auto& part : day().results[0].parts)
                EXPECT_TRUE(c.compute(PullView(*part.network, part.pull)).empty()) << c.key;
            continue;
        }
        for (std::size_t p = 0; p < day().results[0].parts.size(); ++p) {
            const auto& part = day().results[0].parts[p];
            const auto wanted = c.compute(PullView(*part.network, part.pull));
            const auto& rows = variant(0)["steps"][p]["rows"];
            for (std::size_t k = 0; k < wanted.size(); ++k) {
                const double t = part.begin + part.pull.time[k];
                const double shown = line_at(variant(0)["time"], values, rows[0], rows[1], t);
                if (std::isnan(shown) || std::isnan(wanted[k])) continue;  // beside a stretch without values
                EXPECT_NEAR(shown, wanted[k], half + 1e-5 * std::fabs(wanted[k])) << c.key << " at " << t;
            }
            if (&c == &day_curves()[0])
                kept += rows[1].get<std::size_t>() - rows[0].get<std::size_t>() + 1, all += wanted.size();
        }
    }
    EXPECT_LT(kept, all / 2);
}

TEST(DayPage, LinesAreBrokenWhereAPullSettles) {
    const auto& steps = variant(0)["steps"];
    const std::size_t row = steps[2]["rows"][1].get<std::size_t>() + 1;
    EXPECT_EQ(row + 1, steps[3]["rows"][0].get<std::size_t>());
    for (const auto& [key, values] : variant(0)["curves"].items())
        EXPECT_TRUE(values.is_null() || values[row].is_null()) << key;
}

TEST(DayPage, PointsOfAStraightLineAreItsEndsAndACornerStays) {
    const PullCurve curve{"", "", "K", "temperature", 1, "", nullptr};
    const std::vector<double> time{0, 1, 2, 3, 4}, straight{0, 1, 2, 3, 4}, corner{0, 0.04, 0, 1, 2};
    const auto kept = [&](const std::vector<double>& y) { return points_to_draw(time, {&curve, 1}, {y}); };
    EXPECT_EQ(kept(straight), (std::vector<std::size_t>{0, 4}));
    EXPECT_EQ(kept(corner), (std::vector<std::size_t>{0, 2, 4}));  // 0.04 K is less than half of 0.1 K
    const double none = std::nan("");
    EXPECT_EQ(kept({none, none, 2, 3, 4}), (std::vector<std::size_t>{0, 1, 2, 4}));
}

TEST(DayPage, SaysThatAVariantFailedAndKeepsTheOthers) {
    auto results = day().results;
    results[1] = {{}, "the belt came off at 3 s"};
    const auto page = day_json(day().study, results, {{}, {}}, UnitSystem::us);
    EXPECT_EQ(page["system"], "us");
    EXPECT_EQ(page["variants"][1]["failure"], "the belt came off at 3 s");
    EXPECT_TRUE(page["variants"][1]["steps"].empty());
    EXPECT_EQ(page["variants"][1]["headline"]["metric"], "");
    EXPECT_EQ(page["variants"][0]["steps"], variant(0)["steps"]);
    EXPECT_NE(day_html(day().study, results, {{}, {}}, UnitSystem::us).find("the belt came off"), std::string::npos);
}

TEST(DayPage, IsMadeOfADayWithoutPullsToo) {
    const auto study =
        day_of("[variant.car]\n[session]\nsteps = [\"wait\"]\n[step.wait]\nkind = \"held\"\nlasts = \"5 s\"\n");
    const auto page = day_json(study, run_sessions(study, 1), {{}}, UnitSystem::metric);
    EXPECT_EQ(page["headline"]["metric"], "");
    EXPECT_TRUE(page["variants"][0]["pulls"].empty());
    EXPECT_TRUE(page["variants"][0]["start"]["intake"].is_null());
    EXPECT_EQ(page["variants"][0]["steps"].size(), 1u);
}

TEST(DayPage, NoTextOfItEndsTheElementThatItStandsIn) {
    const auto html = day_html(day().study, day().results, day().steady, UnitSystem::metric);
    EXPECT_EQ(html.find("<b>day"), std::string::npos);
    EXPECT_NE(html.find("<title>A &lt;b>day&lt;/b> &amp; &lt;/script></title>"), std::string::npos);
}

}  // namespace day_page_tests

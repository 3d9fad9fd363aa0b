// What people who do this work see, as trends of the shipped rig. All bands: common practice, no source. Nothing here
// is fitted: a band that the physics misses is told in the comment beside it.
#include <pullcast/study/words.hpp>

#include "shipped.hpp"

namespace common_practice_tests {

using namespace shipped;

/// Pulls of the shipped rig with changes, each with its own name.
struct Pulls {
    Study study;
    std::vector<VariantResult> results;

    explicit Pulls(const std::vector<VariantText>& variants) : study(study_of(variants)), results(run_study(study, 2)) {
        for (const auto& r : results) EXPECT_EQ(r.failure, "");
    }
    const VariantResult& operator[](std::string_view name) const { return results[index(name)]; }
    std::size_t index(std::string_view name) const {
        for (std::size_t k = 0; k < results.size(); ++k)
            if (study.variants[k].name == name) return k;
        throw std::out_of_range("no variant " + std::string(name));
    }
};
const std::string pulley_80 = R"("drive.parts.pulley" = "pulley-80")",
                  pulley_74 = R"("drive.parts.pulley" = "pulley-74")";
const std::string deep_core = R"("cooler.parts.core" = "deep-core")";

/// What the sensor reads at redline less what it read at the start: the trade's "rise".
double intake_rise(const VariantResult& r) { return figure(r, "intake_redline") - figure(r, "intake_start"); }

// A strongly over-driven blower over a slim core: intake temperature rises by 60 to 110 degF (33 to 61 K) from 2000 rpm
// to redline, and a markedly larger core cuts that by more than a third.
TEST(CommonPractice, IntakeTemperatureRisesAndALargerCoreCutsTheRise) {
    const Pulls p({{"p80", {pulley_80}},
                   {"p80-deep", {pulley_80, deep_core}},
                   {"p74", {pulley_74}},
                   {"p74-deep", {pulley_74, deep_core}}});
    for (const std::string pulley : {"p80", "p74"}) {
        const double rise = intake_rise(p[pulley]);
        EXPECT_GE(rise, 33) << pulley;
        EXPECT_LE(rise, 61) << pulley;
        EXPECT_LT(intake_rise(p[pulley + "-deep"]), rise * 2 / 3) << pulley;
    }
    EXPECT_GT(intake_rise(p["p74"]), intake_rise(p["p80"]));
}

// At the same pulley the larger core lowers boost and hardly changes air flow; the words say so, and say it is no leak.
TEST(CommonPractice, ALargerCoreLowersBoostAtTheSamePulley) {
    for (const auto& pulley : {pulley_80, pulley_74}) {
        const Pulls p({{"slim", {pulley}}, {"deep", {pulley, deep_core}}});
        EXPECT_LT(figure(p["deep"], "boost_redline"), figure(p["slim"], "boost_redline") - 1e3);
        EXPECT_NEAR(figure(p["deep"], "air_flow_redline") / figure(p["slim"], "air_flow_redline"), 1, 0.03);
        EXPECT_GT(figure(p["deep"], "crank_power"), figure(p["slim"], "crank_power"));
        std::string words;
        for (const auto& line : compare_in_words(p.study, p.results, p.index("deep"), UnitSystem::us))
            words += line + "\n";
        EXPECT_NE(words.find("although nothing leaks"), words.npos) << words;
        EXPECT_NE(words.find("expected"), words.npos) << words;
    }
}

// A boost that really leaks away is not excused.
TEST(CommonPractice, ALeakIsNotCalledExpected) {
    const Pulls p({{"sound", {pulley_80}}, {"leak", {pulley_80, R"("bypass.leak_area" = "90 mm^2")"}}});
    EXPECT_LT(figure(p["leak"], "boost_redline"), figure(p["sound"], "boost_redline") - 5e3);
    for (const auto& line : compare_in_words(p.study, p.results, p.index("leak"), UnitSystem::metric))
        EXPECT_EQ(line.find("expected"), line.npos) << line;
}

// Belt slip looks like boost that fades as speed rises: it climbs, peaks before redline, and falls while the rotor
// falls behind the crank; the warning tells of the belt.
TEST(CommonPractice, ASlippingBeltFadesBoostWithSpeed) {
    const Pulls p({{"sound", {pulley_80}}, {"worn", {pulley_80, R"("drive.parts.belt" = "worn-belt")"}}});
    const auto sound = channel(p["sound"], "breathing", "air_flow"), worn = channel(p["worn"], "breathing", "air_flow");
    const PullView view(*p["worn"].network, p["worn"].pull);
    std::size_t peak = 0;
    for (std::size_t k = 0; k < view.points(); ++k)
        if (view.boost(k) > view.boost(peak)) peak = k;
    EXPECT_LT(view.speed(peak), 0.95 * view.speed(view.last()));
    EXPECT_GT(view.speed(peak), 0.6 * view.speed(view.last()));
    EXPECT_LT(view.boost(view.last()), 0.85 * view.boost(peak));
    EXPECT_LT(worn.back(), 0.95 * sound.back());
    EXPECT_LT(figure(p["worn"], "charge_redline"), figure(p["sound"], "charge_redline"));
    EXPECT_GT(figure(p["worn"], "belt_slip"), 0.05);
    EXPECT_LT(figure(p["sound"], "belt_slip"), 0.02);
    const auto warned = [](const VariantResult& r) {
        return std::any_of(r.warnings.begin(), r.warnings.end(),
                           [](const Warning& w) { return w.channel == "drive.slip_margin"; });
    };
    EXPECT_TRUE(warned(p["worn"]));
    EXPECT_FALSE(warned(p["sound"]));
}

}  // namespace common_practice_tests

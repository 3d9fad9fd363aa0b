// Pulls: monotone climbs at full throttle, whatever the noise; never a sample after lift-off.
#include <cmath>
#include <numbers>
#include <random>

#include "made_log.hpp"

namespace log_pulls_tests {

using namespace made_log;

constexpr double rpm = std::numbers::pi / 30;

const std::string time_and_speed = "[time]\ncolumn = \"t\"\n[channel.speed]\ncolumn = \"n\"\nunit = \"rpm\"\n";
const std::string throttle = "[channel.throttle]\ncolumn = \"a\"\nunit = \"%\"\n";
const std::string manifold = "[channel.manifold_pressure]\ncolumn = \"p\"\nunit = \"kPa\"\nreference = \"absolute\"\n";
const std::string temperature = "[channel.intake_temperature]\ncolumn = \"T\"\nunit = \"degC\"\n";

/// A brake holds 2000 rpm; full throttle at 4.5 s, release at 5, lift-off at 12 s at 6200 rpm.
double engine_speed(double t) {
    return t < 5 ? 2000 : t <= 12 ? 2000 + 600 * (t - 5) : std::max(900.0, 6200 - 1200 * (t - 12));
}
double opening(double t) {
    return t < 4.4 ? 12 : t < 4.5 ? 12 + 880 * (t - 4.4) : t <= 12 ? 100 : std::max(0.0, 100 - 500 * (t - 12));
}
double pressure(double t) {
    return t < 4.4 ? 50 : t <= 12 ? std::min(50 + 800 * (t - 4.4), 130 + 5 * t) : std::max(28.0, 190 - 700 * (t - 12));
}
double intake(double t) { return 31 + std::max(0.0, std::min(t, 12.0) - 5) * 3; }

std::vector<measure::Pull> pulls(const std::string& map, const Course& n = engine_speed, const Course& a = opening,
                        const Course& p = pressure, double length = 20) {
    return measure_log(text_of("t,n,a,p,T", length, 50, {n, a, p, intake}), time_and_speed + map).pulls;
}
void expect_the_pull(const std::vector<measure::Pull>& found, double start_tolerance, Evidence evidence) {
    ASSERT_EQ(found.size(), 1u);
    EXPECT_NEAR(found[0].start, 5, start_tolerance);
    EXPECT_LE(found[0].end, 12 + 1e-9);  // never a sample after lift-off
    EXPECT_GE(found[0].end, 12 - 0.1);
    EXPECT_NEAR(found[0].low_speed / rpm, 2000, 100);
    EXPECT_NEAR(found[0].high_speed / rpm, 6200, 70);
    EXPECT_EQ(found[0].evidence, evidence);
}

TEST(LogPulls, AreFoundByThrottleByPressureAndBySpeedAlone) {
    expect_the_pull(pulls(throttle + manifold), 0.1, Evidence::throttle);
    expect_the_pull(pulls(manifold), 0.1, Evidence::manifold_pressure);
    expect_the_pull(pulls(""), 0.1, Evidence::speed_alone);
}

TEST(LogPulls, SpeedAndDurationAreThoseOfTheLog) {
    const auto found = pulls(throttle + temperature);
    ASSERT_EQ(found.size(), 1u);
    EXPECT_NEAR(found[0].duration(), 7, 0.15);
    ASSERT_EQ(found[0].temperatures.size(), 1u);
    EXPECT_NEAR(found[0].temperatures[0].value, 304.15, 0.2);
}

TEST(LogPulls, NoiseDoesNotBreakThemNorCarryThemPastLiftOff) {
    std::mt19937 random(11);
    std::normal_distribution<double> noise;
    for (int k = 0; k < 20; ++k) {
        const Course n = [&](double t) { return engine_speed(t) + 25 * noise(random); };
        const Course a = [&](double t) { return opening(t) + 0.7 * noise(random); };
        expect_the_pull(pulls(throttle, n, a), 0.4, Evidence::throttle);
    }
}

TEST(LogPulls, LiftOffEndsThemThoughTheSpeedStillClimbs) {
    // A slipping clutch or a heavy roller: the speed climbs on for 0.4 s after the throttle began to close.
    const Course late = [](double t) {
        return t < 12.4 ? 2000 + 600 * (std::max(t, 5.0) - 5) : 6440 - 1200 * (t - 12.4);
    };
    const auto by_throttle = pulls(throttle, late);
    ASSERT_EQ(by_throttle.size(), 1u);
    EXPECT_LE(by_throttle[0].end, 12.02);
    const auto by_pressure = pulls(manifold, late);
    ASSERT_EQ(by_pressure.size(), 1u);
    EXPECT_LE(by_pressure[0].end, 12.02);
}

TEST(LogPulls, PartThrottleShortAndSlowClimbsAreNone) {
    EXPECT_TRUE(pulls(throttle, engine_speed, [](double t) { return std::min(opening(t), 70.0); }).empty());
    EXPECT_TRUE(pulls(throttle + "[pulls]\nleast_climb = \"4500 rpm\"\n").empty());
    EXPECT_TRUE(pulls(throttle + "[pulls]\nleast_duration = \"8 s\"\n").empty());
    EXPECT_TRUE(pulls(throttle + "[pulls]\nleast_rate = \"700 rpm/s\"\n").empty());
    EXPECT_EQ(pulls(throttle + "[pulls]\nfull_throttle = \"60 %\"\n", engine_speed,
                    [](double t) { return std::min(opening(t), 70.0); })
                  .size(),
              1u);
}

TEST(LogPulls, AShiftAtFullThrottleMakesTwo) {
    const Course shift = [](double t) {
        return t < 5     ? 2000
               : t < 9   ? 2000 + 1000 * (t - 5)
               : t < 9.2 ? 6000 - 8000 * (t - 9)
               : t < 12  ? 4400 + 700 * (t - 9.2)
                         : 1000;
    };
    const auto found = pulls(throttle, shift);
    ASSERT_EQ(found.size(), 2u);
    EXPECT_LE(found[0].end, 9.01);
    EXPECT_GE(found[1].start, 9.19);
}

TEST(LogPulls, ASpeedLimiterEndsTheClimbAtItsFirstPeak) {
    const Course bouncing = [](double t) {
        return t < 10 ? engine_speed(t) : t < 12 ? 5000 + 120 * std::sin(12 * (t - 10)) : engine_speed(t) - 1200;
    };
    const auto found = pulls(throttle, bouncing);
    ASSERT_EQ(found.size(), 1u);
    EXPECT_LE(found[0].end, 10.3);
}

TEST(LogPulls, AGapInTimeEndsThem) {
    auto text = text_of("t,n,a,p,T", 20, 50, {engine_speed, opening, pressure, intake});
    const auto from = text.find("\n7.9800"), to = text.find("\n9.0000");
    text.erase(from, to - from);
    const auto found = measure_log(text, time_and_speed + throttle).pulls;
    ASSERT_EQ(found.size(), 2u);
    EXPECT_LE(found[0].end, 7.97);
    EXPECT_GE(found[1].start, 9.0);
}

TEST(LogPulls, MaskedReadingsAreNotTheirEnds) {
    const Course spiky = [](double t) { return std::fabs(t - 11.9) < 0.009 ? 9000 : engine_speed(t); };
    const auto found = pulls(throttle, spiky);
    expect_the_pull(found, 0.1, Evidence::throttle);
}

}  // namespace log_pulls_tests

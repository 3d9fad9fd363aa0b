// Faults of channels: what is masked, and what must not be.
#include <algorithm>
#include <cmath>
#include <random>

#include "made_log.hpp"

namespace log_faults_tests {

using namespace made_log;

const std::string mapping =
    "[time]\ncolumn = \"t\"\n[channel.speed]\ncolumn = \"n\"\nunit = \"rpm\"\n[channel.manifold_pressure]\n"
    "column = \"p\"\nunit = \"kPa\"\nreference = \"absolute\"\n[channel.intake_temperature]\ncolumn = \"T\"\nunit = "
    "\"C\"\n"
    "[channel.vehicle_speed]\ncolumn = \"v\"\nunit = \"km/h\"\n";

/// Idle, a pull from 5 to 11 s, a lift-off; 50 rows a second.
double engine_speed(double t) {
    return t < 5 ? 2000 : t < 11 ? 2000 + 750 * (t - 5) : std::max(900.0, 6500 - 1500 * (t - 11));
}
double pressure(double t) {
    return t < 5    ? 45
           : t < 11 ? std::min(45 + 900 * (t - 5), 150 + 5 * (t - 5))
                    : std::max(28 + 0.2 * std::sin(9 * t), 180 - 2000 * (t - 11));
}
double intake(double t) { return t < 5 ? 30 : t < 11 ? 30 + 4 * (t - 5) : 54 - 0.3 * (t - 11); }
double road_speed(double t) { return engine_speed(t) / 50; }

MeasuredLog logged(const Course& n = engine_speed, const Course& p = pressure, const Course& T = intake,
                   const Course& v = road_speed, const std::string& more = "") {
    return measure_log(text_of("t,n,p,T,v", 16, 50, {n, p, T, v}), mapping + more);
}
/// "spike 12-14, stuck 20": of lines.
std::string faults_of(const MeasuredLog& log, const char* channel) {
    std::string text;
    for (const auto& f : log.find(channel)->faults)
        text +=
            fmt::format("{}{} {}", text.empty() ? "" : ", ", in_words(f.fault), to_text({log.lines(f.first, f.last)}));
    return text;
}
/// The line of a time.
int line(double t) { return static_cast<int>(std::lround(t * 50)) + 2; }
/// A course with one value put in from one time to another.
Course with(const Course& c, double from, double to, double value) {
    return [=](double t) { return t >= from - 1e-9 && t <= to + 1e-9 ? value : c(t); };
}

TEST(LogFaults, AGoodLogHasNone) {
    for (const auto& c : logged().channels) EXPECT_EQ(c.faults.size(), 0u) << c.kind->name;
}

TEST(LogFaults, NoiseAndCoarseDigitsAreNone) {
    std::mt19937 random(7);
    std::normal_distribution<double> noise;
    for (const double digit : {0.0, 1.0, 5.0}) {
        const auto shaky = [&](const Course& c, double sigma) -> Course {
            return [&, c, sigma](double t) {
                const double v = c(t) + sigma * noise(random);
                return digit > 0 ? digit * std::round(v / digit) : v;
            };
        };
        const auto log =
            logged(shaky(engine_speed, 30), shaky(pressure, 2), shaky(intake, 0.5), shaky(road_speed, 0.5));
        for (const auto& c : log.channels) EXPECT_EQ(c.faults.size(), 0u) << c.kind->name << " " << digit;
    }
}

TEST(LogFaults, AShiftOfGearAndABlipAreNoSpikes) {
    const Course shift = [](double t) {
        return t < 8 ? 2000 + 500 * t : t < 8.2 ? 6000 - 9000 * (t - 8) : 4200 + 300 * (t - 8.2);
    };
    EXPECT_EQ(faults_of(logged(shift), "speed"), "");
    const Course blip = [](double t) {
        return 1000 + 5 * std::sin(9 * t) + std::max(0.0, 3000 - 15000 * std::fabs(t - 8.2));
    };
    EXPECT_EQ(faults_of(logged(blip), "speed"), "");
}

TEST(LogFaults, SpikesOfOneToThreeReadingsAreMaskedAndNothingElse) {
    for (const int width : {1, 2, 3}) {
        const double end = 8 + 0.02 * (width - 1);
        const auto log = logged(with(engine_speed, 8, end, 8000), with(pressure, 8, end, 60), with(intake, 8, end, 90));
        const auto lines = width == 1 ? std::to_string(line(8)) : fmt::format("{}-{}", line(8), line(8) + width - 1);
        EXPECT_EQ(faults_of(log, "speed"), "spike " + lines);
        EXPECT_EQ(faults_of(log, "manifold_pressure"), "spike " + lines);
        EXPECT_EQ(faults_of(log, "intake_temperature"), "spike " + lines);
        const auto& c = *log.find("speed");
        EXPECT_EQ(c.masked_count(), static_cast<std::size_t>(width));
        EXPECT_TRUE(std::isnan(c.at(400)));
        EXPECT_NEAR(c.reading[400], 8000 * M_PI / 30, 1e-9);  // kept
    }
}

TEST(LogFaults, AnOpenSensorIsOutOfRange) {
    const auto log = logged(engine_speed, pressure, with(intake, 3, 4, -40), road_speed);
    EXPECT_EQ(faults_of(log, "intake_temperature"), fmt::format("out of range {}-{}", line(3), line(4)));
    const auto narrow = measure_log(text_of("t,n,p,T,v", 16, 50, {engine_speed, pressure, intake, road_speed}),
                                    mapping.substr(0, mapping.find("[channel.vehicle")) + "highest = \"40 degC\"\n");
    EXPECT_EQ(faults_of(narrow, "intake_temperature").substr(0, 12), "out of range");
}

TEST(LogFaults, AStuckChannelIsMaskedWhileTheEngineMoves) {
    const auto log = logged(engine_speed, with(pressure, 6, 9, 151.3), intake, with(road_speed, 6, 9, 77));
    EXPECT_EQ(faults_of(log, "manifold_pressure"), fmt::format("stuck {}-{}", line(6), line(9)));
    EXPECT_EQ(faults_of(log, "vehicle_speed"), fmt::format("stuck {}-{}", line(6), line(9)));
    // Long enough for a pressure, not for a temperature, which moves less.
    EXPECT_EQ(faults_of(logged(engine_speed, pressure, with(intake, 6, 9, 34)), "intake_temperature"), "");
    EXPECT_EQ(faults_of(logged(engine_speed, pressure, with(intake, 6, 10.5, 34)), "intake_temperature"),
              fmt::format("stuck {}-{}", line(6), line(10.5)));
    // At a steady speed nothing has to move, and a car may stand.
    EXPECT_EQ(faults_of(logged(engine_speed, with(pressure, 0, 4, 45)), "manifold_pressure"), "");
    EXPECT_EQ(faults_of(logged(engine_speed, pressure, intake, with(road_speed, 5, 10, 0)), "vehicle_speed"), "");
    EXPECT_EQ(faults_of(logged(engine_speed, with(pressure, 6, 9, 151.3), intake, road_speed,
                               "[faults]\nstuck_samples = 200\n"),
                        "manifold_pressure"),
              "");
}

TEST(LogFaults, TheSpeedItselfIsJudgedByTheCar) {
    EXPECT_EQ(faults_of(logged(with(engine_speed, 6, 9, 3000)), "speed"), fmt::format("stuck {}-{}", line(6), line(9)));
}

TEST(LogFaults, AClippedSensorIsAtTheEndOfItsRange) {
    const Course clipped = [](double t) { return std::min(pressure(t), 170.0); };
    EXPECT_EQ(faults_of(logged(engine_speed, clipped), "manifold_pressure"),
              fmt::format("at the end of the sensor's range {}-{}", line(9), line(11)));
    // A peak that is only flat by its digits, and the top of a temperature with few digits.
    const Course peak = [](double t) {
        return std::max(30 + std::round(3 * std::sin(5 * t)), std::round(180 - 8 * (t - 8) * (t - 8)));
    };
    EXPECT_EQ(faults_of(logged(engine_speed, peak), "manifold_pressure"), "");
    EXPECT_EQ(
        faults_of(logged(engine_speed, pressure, [](double t) { return std::round(intake(t)); }), "intake_temperature"),
        "");
}

}  // namespace log_faults_tests

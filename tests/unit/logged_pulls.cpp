// Logs of a study made ready for a fit: bins over speed, conditions, channels left aside. The logs are straight lines,
// so that what each bin must hold is known.
#include <cmath>
#include <fake_rig.hpp>
#include <numbers>
#include <pullcast/measure/logged_pull.hpp>
#include <scenario/shipped.hpp>

#include "made_log.hpp"

namespace logged_pulls_tests {

using namespace made_log;

constexpr double rpm = std::numbers::pi / 30;
constexpr double opens = 2, shuts = 12;  // s

/// 2000 rpm, from 2 s on 400 rpm/s more, to 6000 rpm at 12 s.
double engine_speed(double t) {
    return t < opens ? 2000 : t <= shuts ? 2000 + 400 * (t - opens) : 6000 - 900 * (t - shuts);
}
double throttle(double t) { return t >= opens && t <= shuts ? 100 : 10; }
double intake(double t) { return 30 + 3 * std::max(0.0, t - opens); }

class LoggedPulls : public fake::Folder {
protected:
    /// A log of those lines. Lambda is read five times a second; power only between 8 and 9 s; speed jitters by
    /// `jitter`.
    static void write_log(const char* file, double jitter = 0) {
        std::string text = "t,n,a,T,p,l,P\n";
        for (int k = 0; k <= 50 * 14; ++k) {
            const double t = k / 50.0, n = engine_speed(t) + (k % 2 ? jitter : -jitter);
            text += fmt::format("{:.2f},{:.3f},{:.0f},{:.4f},{:.4f},", t, n, throttle(t), intake(t), 150 + t);
            if (k % 10 == 0) text += fmt::format("{:.5f}", 0.8 + 1e-5 * engine_speed(t));
            text += t > 8 && t < 9 ? ",120\n" : ",\n";
        }
        write({{file, text}});
    }
    void SetUp() override {
        Folder::SetUp();
        write_log("log.csv");
        write({{"map.toml", R"([time]
column = "t"
[channel.speed]
column = "n"
unit = "rpm"
[channel.throttle]
column = "a"
unit = "%"
[channel.intake_temperature]
column = "T"
unit = "degC"
[channel.manifold_pressure]
column = "p"
unit = "kPa"
reference = "absolute"
[channel.lambda]
column = "l"
unit = "1"
[channel.wheel_power]
column = "P"
unit = "kW"
[channel.barometer]
value = "94 kPa"
[channel.ambient_temperature]
value = "12 degC"
)"}});
    }
    /// The pull of the log with changes to the rig of that day.
    static LoggedPull load(const std::string& set = "", const std::vector<std::string>& without = {}) {
        write(
            {{"s.toml", "rig = \"" + shipped::rig_file +
                            "\"\n[conditions]\n\"ambient.parts.weather\" = \"reference-air\"\n[variant.a]\n[pull.one]\n"
                            "variant = \"a\"\nlog = \"log.csv\"\nmapping = \"map.toml\"\n[pull.one.set]\n" +
                            set}});
        Diagnostics d;
        auto all = load_pulls(read_study("s.toml", shipped::registry()), without, d);
        EXPECT_FALSE(d.failed()) << render(d.all());
        EXPECT_EQ(all.size(), 1u);
        return std::move(all.at(0));
    }
    static const Condition& condition(std::string_view label) {
        for (const auto& c : conditions())
            if (c.label == label) return c;
        throw std::out_of_range(std::string(label));
    }
    static void expect_rising(const BinnedChannel& c) {
        for (std::size_t k = 1; k < c.speed.size(); ++k) EXPECT_GT(c.speed[k], c.speed[k - 1]) << c.what->kind;
    }
};

TEST_F(LoggedPulls, BinsHoldMeansOverRisingSpeeds) {
    const auto pull = load();
    const auto* T = pull.find("intake_temperature");
    ASSERT_TRUE(T);
    EXPECT_EQ(T->channel, "sensor.reading");
    EXPECT_EQ(T->value.size(), most_bins);
    expect_rising(*T);
    // Temperature is a line over speed, and so are the means.
    for (std::size_t k = 0; k < T->speed.size(); ++k)
        EXPECT_NEAR(T->value[k], 303.15 + 3 * (T->speed[k] / rpm - 2000) / 400, 2e-4);
    // Readings before 0.5 s after the pull's start do not count, and bins are equally wide up to its end.
    const double from = engine_speed(pull.range.start + 0.5), width = (6000 - from) / most_bins;
    EXPECT_NEAR(pull.range.start, opens, 0.15);
    EXPECT_GT(T->speed.front() / rpm, from);
    EXPECT_LT(T->speed.front() / rpm, from + width);
    EXPECT_GT(T->speed.back() / rpm, 6000 - 1.5 * width);
    EXPECT_LT(T->speed.back() / rpm, 6000);
    // Lambda is a line as well, and stands at the speeds of its own few readings.
    const auto* lambda = pull.find("lambda");
    ASSERT_TRUE(lambda);
    EXPECT_FALSE(lambda->what->fitted);
    for (std::size_t k = 0; k < lambda->speed.size(); ++k)
        EXPECT_NEAR(lambda->value[k], 0.8 + 1e-5 * lambda->speed[k] / rpm, 1e-5);
    // Power was read in three bins: too few.
    EXPECT_FALSE(pull.find("wheel_power"));
}

// A crank whose readings jump by 30 rpm up and down goes backwards 25 times a second. Speeds rise all the same, and
// lambda, which is read whenever the crank reads 30 rpm too little, stands where it belongs.
TEST_F(LoggedPulls, SpeedsAreMadeRising) {
    write_log("log.csv", 30);
    const auto pull = load();
    const auto* lambda = pull.find("lambda");
    ASSERT_TRUE(lambda);
    EXPECT_GT(lambda->value.size(), most_bins - 3);
    expect_rising(*lambda);
    for (std::size_t k = 0; k < lambda->speed.size(); ++k)
        EXPECT_NEAR(1e5 * (lambda->value[k] - 0.8), lambda->speed[k] / rpm, 10);
}

TEST_F(LoggedPulls, ReadingsBelowTheRigsStartSpeedAreLeftOut) {
    const auto pull = load("\"common.start_speed\" = \"3000 rpm\"\n");
    const auto* T = pull.find("intake_temperature");
    ASSERT_TRUE(T);
    EXPECT_GT(T->speed.front() / rpm, 1.02 * 3000);
    EXPECT_LT(T->speed.front() / rpm, 1.02 * 3000 + (6000 - 1.02 * 3000) / most_bins);
}

TEST_F(LoggedPulls, ConditionsAreThoseOfLogAndMapping) {
    const auto pull = load("\"ambient.humidity\" = \"33 %\"\n");
    EXPECT_NEAR(pull.condition("ambient_temperature"), 285.15, 1e-9);
    EXPECT_NEAR(pull.condition("barometer"), 94e3, 1e-6);
    EXPECT_TRUE(std::isnan(pull.condition("humidity")));
    EXPECT_NEAR(pull.condition("intake_temperature"), 303.15, 0.2);  // the half second up to the start
    EXPECT_TRUE(std::isnan(pull.condition("coolant_in_temperature")));
    // The rig has what the log knows, and keeps what it does not.
    const auto of_rig = [&](const char* label) { return condition_of(pull.variant, condition(label)); };
    EXPECT_NEAR(of_rig("ambient temperature"), 285.15, 1e-9);
    EXPECT_NEAR(of_rig("ambient pressure"), 94e3, 1e-6);
    EXPECT_NEAR(of_rig("relative humidity"), 0.33, 1e-12);
    EXPECT_NEAR(of_rig("coolant at the start"), 300.15, 1e-9);  // what the rig file says
}

TEST_F(LoggedPulls, ChannelsLeftAsideAreAsIfTheyHadNotBeenLogged) {
    const auto pull = load("", {"intake_temperature", "barometer"});
    EXPECT_FALSE(pull.find("intake_temperature"));
    EXPECT_TRUE(pull.find("manifold_pressure"));
    EXPECT_TRUE(std::isnan(pull.condition("intake_temperature")));
    EXPECT_TRUE(std::isnan(pull.condition("barometer")));
    EXPECT_NEAR(condition_of(pull.variant, condition("ambient pressure")), 95e3, 1e-6);  // of the study's weather
}

// The belt-driven rig on a brake that knows no drum: the drum's speed is not compared, as nothing computes it.
TEST_F(LoggedPulls, ChannelsThatTheRigLacksAreNotCompared) {
    const auto drum = [](const std::string& set) {
        const auto pull = load(set);
        const Network network(pull.variant.rig);
        const auto all = compared_channels();
        return channel_in(network, *std::find_if(all.begin(), all.end(), [](const ComparedChannel& c) {
                              return c.kind == std::string_view("drum_speed");
                          }));
    };
    EXPECT_EQ(drum(""), "load.drum_speed");
    EXPECT_EQ(drum("\"load.model\" = \"load.locked\"\n"), std::nullopt);
}

}  // namespace logged_pulls_tests

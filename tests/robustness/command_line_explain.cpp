// What 'explain' prints, writes and refuses.
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>

#include "command_line.hpp"

namespace command_line_explain_tests {

using namespace command_line;
using Json = nlohmann::json;

/// The small rig with two variants: other air in a larger box.
const char* const study = R"(title = "Box by the sea"
rig = "box.toml"
[variant.inland]
[variant.sea]
title = "by the sea, larger box"
[variant.sea.set]
"ambient.temperature" = "35 degC"
"ambient.pressure" = "90 kPa"
"box.volume" = "5 L"
[variant.same]
)";

/// What an explanation says last.
std::string explained_in(const std::string& folder) {
    return "results: " + folder + "\npage:    " + folder + "/explain.html (opens in a browser, needs no network)\n";
}

class Explains : public CommandLine {
protected:
    Explains() {
        write("box.toml", small_rig);
        write("s.toml", study);
    }
    Ended explain(std::vector<std::string> args, std::vector<std::string> env = {}) const {
        args.insert(args.begin(), {"explain", "s.toml"});
        return run(std::move(args), std::move(env));
    }
};

/// The demo's rig, warmer and with a smaller pulley.
const char* const car_study = R"(rig = "scenarios/rigs/hillclimb-v6.toml"
title = "Warm day"
[variant.cool]
[variant.warm]
title = "warm day, 80 mm pulley"
[variant.warm.set]
"ambient.temperature" = "33 degC"
"drive.parts.pulley" = "pulley-80"
"common.start_coolant_temperature" = "45 degC"
)";

TEST_F(Explains, TableSentencesAndJsonSayTheSame) {
    write("s.toml", car_study);
    const auto ended = explain({"warm", "--figures", "crank_power, charge_redline"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(ended.err, explained_in("results/s-warm-from-cool"));
    EXPECT_TRUE(
        ended.out.starts_with("Warm day\nfrom cool to warm (warm day, 80 mm pulley)\n\ncauses\n"
                              "  ambient temperature: temperature 22 degC -> 33 degC\n"
                              "  coolant at start: start coolant temperature 27 degC -> 45 degC\n"
                              "  pulley: pulley diameter 92 mm -> 80 mm\n\n"))
        << ended.out;
    const auto all = Json::parse(read("results/s-warm-from-cool/explain.json"));
    EXPECT_EQ(all["schema"], "pullcast.explanation");
    EXPECT_EQ(all["pulls"], 8);
    ASSERT_EQ(all["figures"].size(), 2u);
    for (const auto& f : all["figures"]) {
        const bool power = f["key"] == "crank_power";
        EXPECT_EQ(f["difference_unit"], power ? "W" : "dK");
        double sum = 0;
        for (const auto& s : f["shares"]) {
            const double share = s["share"];
            sum += share;
            const auto shown = fmt::format("{:+.1f}", power ? share / 1000 : share);  // kW, K
            EXPECT_TRUE(std::regex_search(
                ended.out,
                std::regex(fmt::format("    {} +[{}]{} ", s["cause"].get<std::string>(), shown[0], shown.substr(1)))))
                << shown << ended.out;
            const auto words = f["in_words"].get<std::string>();
            EXPECT_NE(words.find(shown.substr(1)), std::string::npos) << words;
        }
        EXPECT_NEAR(sum, f["to"].get<double>() - f["from"].get<double>(), 1e-9 * std::fabs(sum));
    }
}

TEST_F(Explains, SentencesFollowTheUnits) {
    write("s.toml", car_study);
    const auto metric = explain({"warm", "--figures", "charge_redline"});
    const auto us = explain({"warm", "--figures", "charge_redline", "--units", "us", "--out", "us"});
    std::smatch kelvin, fahrenheit;
    ASSERT_TRUE(std::regex_search(metric.out, kelvin, std::regex("up by ([0-9.]+) K;"))) << metric.out;
    ASSERT_TRUE(std::regex_search(us.out, fahrenheit, std::regex("up by ([0-9.]+) degF;"))) << us.out;
    EXPECT_NEAR(std::stod(fahrenheit[1]), 1.8 * std::stod(kelvin[1]), 0.15);
}

TEST_F(Explains, JsonOnStdoutIsTheFile) {
    const auto ended = explain({"sea", "--json", "--out", "mine", "--figures", "pull_time"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(ended.out, read("mine/explain.json"));
}

TEST_F(Explains, AgainstStartsFromAnotherVariant) {
    EXPECT_EQ(explain({"inland", "--against", "sea"}).err, explained_in("results/s-inland-from-sea"));
    EXPECT_EQ(names(), "box.toml results s.toml");
}

TEST_F(Explains, WhatIsThereIsReplacedOnlyWhenForced) {
    ASSERT_EQ(explain({"sea", "--out", "mine"}).code, 0);
    const auto ended = explain({"sea", "--out", "mine"});
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.err, "error: mine: is there already; give another folder by --out, or --force to replace it\n");
    EXPECT_EQ(explain({"sea", "--out", "mine", "--force"}).code, 0);
}

TEST_F(Explains, WrongUse) {
    const std::string see = "\nsee 'pullcast --help'\n";
    const struct {
        std::vector<std::string> args;
        int code;
        std::string err;
    } all[] = {
        {{}, 2, "error: 'explain' needs a variant to explain" + see},
        {{"see"}, 3, "s.toml: error: no variant 'see'\n      did you mean 'sea'?\n"},
        {{"sea", "--against", "inlnd"}, 3, "s.toml: error: no variant 'inlnd'\n      did you mean 'inland'?\n"},
        {{"sea", "--figures", "crank_pwer"},
         2,
         "error: --figures: no figure 'crank_pwer'; did you mean 'crank_power'?" + see},
        {{"sea", "--together", "ambient pressure,bx"},
         3,
         "error: no cause is called 'bx'\n      did you mean 'box'?\n"},
        {{"same"},
         3,
         "s.toml: error: 'inland' and 'same' differ in nothing\n      name two variants: the one to explain, and "
         "--against the other\n"},
    };
    for (const auto& w : all) {
        const auto ended = explain(w.args);
        EXPECT_EQ(ended.err, w.err);
        EXPECT_EQ(ended.code, w.code);
        EXPECT_EQ(ended.out, "");
    }
    EXPECT_EQ(names(), "box.toml s.toml");
}

TEST_F(Explains, TooManyCausesAreNamed) {
    write("s.toml", R"(rig = "scenarios/rigs/hillclimb-v6.toml"
[variant.a]
[variant.b.set]
"ambient.temperature" = "30 degC"
"ambient.humidity" = "60 %"
"ambient.altitude" = "400 m"
"common.start_temperature" = "40 degC"
"common.start_coolant_temperature" = "40 degC"
"common.engine_temperature" = "95 degC"
"common.parts.fuel" = "pump-95"
"calibration.spark_offset" = "-1 deg"
"drive.parts.pulley" = "pulley-86"
"cooler.parts.core" = "deep-core"
"pump.parts.unit" = "large-pump"
)");
    const auto ended = explain({"b"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_EQ(ended.err,
              "error: 11 causes need 2048 pulls; at most 10 causes: ambient temperature, relative humidity, ambient "
              "pressure, charge at start, coolant at start, engine at start, fuel, spark, pulley, core, pump\n"
              "      explain over a variant in between, or let causes count as one: --together \"core, pump\"\n");
    EXPECT_EQ(names(), "box.toml s.toml");
}

TEST_F(Explains, MixtureThatCannotRunIsNamed) {
    write_nan_study([&](auto... a) { write(a...); }, "base = \"good\"\n");
    std::string text = read("s.toml");
    write("s.toml", text + "\"box.volume\" = \"5 L\"\n");
    const auto ended = explain({"bad", "--plugin", "bad/makes_nan.so"});
    EXPECT_EQ(ended.code, 4);
    EXPECT_TRUE(
        ended.err.ends_with("error: 'good' with filter of 'bad': run stopped at t = 0.5 s: step size fell below "
                            "1e-12 s\n   filter: a gas flow is not a number\n   try: keep the named value "
                            "within its limits, or a model that covers it\n"))
        << ended.err;
    EXPECT_FALSE(fs::exists(folder / "results"));
}

TEST_F(Explains, CtrlCWritesNothing) {
    write("s.toml", std::string(long_study) + "\"common.glycol\" = \"20 %\"\n");
    const pid_t child = start({"explain", "s.toml", "b"});
    ASSERT_TRUE(listens(child));
    kill(child, SIGINT);
    const auto ended = wait(child);
    EXPECT_EQ(ended.err, "error: interrupted; nothing was written\n");
    EXPECT_EQ(ended.code, 130);
    EXPECT_EQ(names(), "box.toml s.toml");
}

// No line is wider than the terminal, at the narrowest that people use and at a wide one.
TEST_F(Explains, TableFitsTheTerminal) {
    write("s.toml", car_study);
    for (const std::size_t width : {62u, 120u}) {
        const auto ended =
            explain({"warm", "--out", "w" + std::to_string(width)}, {"COLUMNS=" + std::to_string(width)});
        ASSERT_EQ(ended.code, 0);
        std::istringstream lines(ended.out);
        for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), width) << line;
    }
}

}  // namespace command_line_explain_tests

// What 'fit' and 'match' print, write and refuse.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "command_line.hpp"

namespace command_line_match_tests {

using namespace command_line;
using Json = nlohmann::json;

/// What a run says last.
std::string measured_in(const std::string& folder) {
    return "results: " + folder + "\npage:    " + folder + "/measured.html (opens in a browser, needs no network)\n";
}

const std::string see_help = "\nsee 'pullcast --help'\n";

const char* const head = R"(title = "What did the core do?"
rig = "scenarios/rigs/hillclimb-v6.toml"
[conditions]
"ambient.parts.weather" = "reference-air"
[variant.before]
[variant.after]
title = "another core"
)";
const char* const two_pulls = R"([pull.one]
variant = "before"
log = "before.csv"
mapping = "map.toml"
[pull.two]
variant = "after"
log = "after.csv"
mapping = "map.toml"
)";
const char* const core = R"([fit.core]
scales = "cooler.ua_scale"
per = "variant"
)";
const char* const others = R"([fit.charge]
moves = "common.start_temperature"
per = "pull"
pulls = ["two"]
measured = "intake_temperature"
reading_deviation = "3 K"
expected = "28 degC"
deviation = "5 K"
[fit.spark]
moves = "calibration.spark_offset"
expected = "0 deg"
deviation = "2 deg"
)";
const char* const reference = R"([reference]
"ambient.temperature" = "22 degC"
[match]
figures = ["intake_redline", "crank_power"]
)";

/// The columns of a simulated pull as those of a log.
const char* const mapping = R"([time]
column = "time [s]"
[channel.speed]
column = "load.speed [rpm]"
[channel.manifold_pressure]
column = "manifold.pressure [kPa]"
reference = "absolute"
[channel.intake_temperature]
column = "sensor.reading [degC]"
[channel.wheel_power]
column = "load.wheel_power [kW]"
[channel.ambient_temperature]
column = "ambient.temperature [degC]"
)";

/// A climb that no car made, for what ends before it is looked at.
std::string straight_log() {
    std::string text =
        "time [s],load.speed [rpm],manifold.pressure [kPa],sensor.reading [degC],load.wheel_power [kW],"
        "ambient.temperature [degC],barometer [kPa],humidity [%]\n";
    for (int k = 0; k <= 100; ++k)
        text += fmt::format("{:.1f},{},150,40,{},22,26,100\n", k / 10.0, 2000 + 40 * k, 100 + k % 50);
    return text;
}

class Measures : public CommandLine {
protected:
    Measures() {
        write("map.toml", mapping);
        write("before.csv", straight_log());
        write("after.csv", straight_log());
        write("s.toml", std::string(head) + two_pulls + core + others + reference);
    }
};

/// The program's own pulls are the logs, so that what must be found is known: a core half as good again on a day that
/// is 4 K hotter.
TEST_F(Measures, FindsWhatTheLogsWereMadeOf) {
    write("truth.toml", std::string(head) +
                            "[variant.before.set]\n\"cooler.ua_scale\" = 1\n[variant.after.set]\n\"cooler.ua_scale\" = "
                            "1.5\n[variant.hot]\nlike = \"after\"\n[variant.hot.set]\n\"ambient.temperature\" = \"26 "
                            "degC\"\n");
    ASSERT_EQ(run({"run", "truth.toml", "--out", "truth"}).code, 0);
    fs::copy_file(folder / "truth" / "before.csv", folder / "before.csv", fs::copy_options::overwrite_existing);
    fs::copy_file(folder / "truth" / "hot.csv", folder / "after.csv", fs::copy_options::overwrite_existing);
    const auto ended = run({"match", "s.toml", "--json"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(ended.err, measured_in("results/s-match"));
    EXPECT_EQ(ended.out, read("results/s-match/measured.json"));
    const auto all = Json::parse(ended.out);
    EXPECT_EQ(all["schema"], "pullcast.measured");
    EXPECT_EQ(all["schema_version"], 1);
    const auto& unknowns = all["fit"]["unknowns"];
    ASSERT_EQ(unknowns.size(), 4u);
    EXPECT_EQ(unknowns[0]["of"], "before");
    EXPECT_NEAR(unknowns[0]["value"].get<double>(), 1, 0.005);
    EXPECT_NEAR(unknowns[1]["value"].get<double>(), 1.5, 0.005);
    // The reading when the pull began stands for what is expected: a thermometer of 2 K, 19 times in 20, and 3 K.
    const auto& prior = unknowns[2]["expected"];
    EXPECT_EQ(unknowns[2]["of"], "two");
    EXPECT_EQ(prior["value"], all["pulls"][1]["conditions"]["intake_temperature_at_start"]);
    EXPECT_NEAR(prior["deviation"].get<double>(), std::hypot(2 / 1.959964, 3), 1e-9);
    EXPECT_NEAR(unknowns[2]["value"].get<double>(), 301.15, 0.5);  // the rig file's
    EXPECT_NEAR(unknowns[3]["value"].get<double>(), 0, 2e-3);      // a number that is 0 can be fitted: 0.1 deg
    EXPECT_EQ(all["pulls"][1]["channels"].size(), 3u);
    const auto truth = Json::parse(read("truth/summary.json"));
    const auto change = [&](const std::string& figure) {
        const auto of = [&](int variant) {
            return truth["variants"][variant]["figures"][figure]["value"].get<double>();
        };
        return of(1) - of(0);
    };
    const auto& figures = all["comparisons"][0]["figures"];
    ASSERT_EQ(figures.size(), 2u);
    for (const auto& f : figures)
        EXPECT_NEAR(f["change"].get<double>(), change(f["key"]), 0.02 * std::fabs(change(f["key"]))) << f;
    EXPECT_EQ(figures[0]["verdict"], "falls");

    // The folder is there: nothing is fitted without --force, and with it the other command's results go.
    const auto again = run({"fit", "s.toml", "--out", "results/s-match"});
    EXPECT_EQ(again.code, 7);
    EXPECT_EQ(again.err,
              "error: results/s-match: is there already; give another folder by --out, or --force to replace it\n");
    const auto forced =
        run({"fit", "s.toml", "--out", "results/s-match", "--force", "--without", "wheel_power, intake_temperature"});
    ASSERT_EQ(forced.code, 0) << forced.err;
    EXPECT_EQ(forced.err, measured_in("results/s-match"));
    EXPECT_NE(forced.out.find("4 unknowns and 1 shared errors of sensors were fitted to 80 points of 2 pulls"),
              std::string::npos)
        << forced.out;
    const auto fitted = Json::parse(read("results/s-match/measured.json"));
    EXPECT_EQ(fitted["comparisons"].size(), 0u);
    ASSERT_EQ(fitted["pulls"][0]["channels"].size(), 1u);
    EXPECT_EQ(fitted["pulls"][0]["channels"][0]["channel"], "manifold_pressure");
    EXPECT_TRUE(fitted["pulls"][1]["conditions"]["intake_temperature_at_start"].is_null());
    EXPECT_EQ(fitted["fit"]["unknowns"][2]["expected"], (Json{{"deviation", 5.0}, {"value", 301.15}}));  // as stated
    EXPECT_EQ(names(), "after.csv before.csv map.toml results s.toml truth truth.toml");
}

TEST_F(Measures, WrongUse) {
    write("bare.toml", head);
    write("only-fit.toml", std::string(head) + two_pulls + core);
    write("time.toml", std::string(head) + two_pulls + "[fit.x]\nmoves = \"throttle.pull_start\"\n");
    write("bad-start.toml", std::string(head) + two_pulls +
                                "[fit.x]\nmoves = \"cooler.height\"\nexpected = \"20 mm\"\ndeviation = \"1 mm\"\n");
    const std::string weather = std::string(mapping) + "[channel.barometer]\nvalue = \"91 kPa\"\n";
    write("map-91.toml", weather);
    const std::string other_day = std::string(head) +
                                  "[pull.one]\nvariant = \"before\"\nlog = \"before.csv\"\nmapping = "
                                  "\"map-91.toml\"\n[pull.one.set]\n";
    write("high.toml", other_day + "\"ambient.parts.weather\" = \"paddock-900\"\n");
    write("narrow.toml", other_day + "\"cooler.height\" = \"20 mm\"\n");
    write("kept/mine.txt", "mine");
    const auto before = names();
    const struct {
        std::vector<std::string> args;
        int code;
        std::string err;
    } all[] = {
        {{"fit"}, 2, "error: 'fit' needs a study with measured pulls" + see_help},
        {{"match"}, 2, "error: 'match' needs a study with measured pulls" + see_help},
        {{"fit", "nowhere.toml"}, 3, "nowhere.toml: error: no such file\n"},
        {{"fit", "s.toml", "--without", "intake_temperatur"},
         2,
         "error: --without: no channel 'intake_temperatur'; did you mean 'intake_temperature'?" + see_help},
        {{"match", "s.toml", "--without", "wheel_power,frobnication"},
         2,
         "error: --without: no channel 'frobnication'" + see_help},
        {{"fit", "s.toml", "--without"}, 2, "error: --without needs a value" + see_help},
        {{"fit", "s.toml", "more"}, 2, "error: 'more' is one argument too many for 'fit'" + see_help},
        {{"run", "s.toml", "--without", "speed"}, 2, "error: unknown option '--without'" + see_help},
        {{"fit", "bare.toml"},
         3,
         "bare.toml: error: no measured pulls\n      [pull.NAME] names a variant and the log of its pull\n"},
        {{"match", "only-fit.toml"},
         3,
         "only-fit.toml: error: nothing to match: there is no [match] and no [reference]\n      'pullcast fit' fits "
         "and compares only\n"},
        {{"fit", "s.toml", "--without", "wheel_power,intake_temperature,manifold_pressure"},
         3,
         "s.toml:10:7: error: pull 'one' has no channel that the rig could be compared with\n   10 | log = "
         "\"before.csv\"\n"
         "      |       ^^^^^^^^^^^^ intake temperature, manifold pressure or power at the wheels, say\n"
         "s.toml:14:7: error: pull 'two' has no channel that the rig could be compared with\n   14 | log = "
         "\"after.csv\"\n"
         "      |       ^^^^^^^^^^^ intake temperature, manifold pressure or power at the wheels, say\n"},
        {{"fit", "time.toml"},
         3,
         "time.toml:17:9: error: parameter 'x': throttle.pull_start is a time at which something jumps: no derivative "
         "is "
         "computed along it\n   17 | moves = \"throttle.pull_start\"\n      |         ^^^^^^^^^^^^^^^^^^^^^\n"},
        {{"fit", "bad-start.toml"},
         5,
         "error: the model cannot be computed at the start: cooler: no room for fins: height / tube_count - "
         "tube_height\n"},
        {{"fit", "high.toml"},
         3,
         "high.toml:8:7: error: the log of 'one' tells ambient pressure, and gas.ambient_altitude takes no pressure\n"
         "    8 | [pull.one]\n      |       ^^^ in [conditions]: \"ambient.model\" = \"gas.ambient\", with a "
         "pressure\n"},
        {{"fit", "narrow.toml"},
         3,
         "scenarios/parts/cores/slim-core.toml:12:14: error: cooler.tube_count: no room for fins: height / tube_count "
         "- "
         "tube_height\n   12 | tube_count = 11\n      |              ^^\n"},
        {{"match", "s.toml", "--out", "kept"},
         7,
         "error: kept: is there already; give another folder by --out, or --force to replace it\n"},
        {{"match", "s.toml", "--out", "kept", "--force"},
         7,
         "error: kept: is no results folder (no summary.json in it), so --force does not replace it\n"},
        {{"match", "s.toml", "--out", "map.toml/x"},
         7,
         "error: map.toml/x: cannot be made: " + folder.string() + "/map.toml is not a folder\n"},
    };
    for (const auto& w : all) {
        const auto ended = run(w.args);
        EXPECT_EQ(ended.err, w.err);
        EXPECT_EQ(ended.code, w.code);
        EXPECT_EQ(ended.out, "");
    }
    EXPECT_EQ(names(), before);
    EXPECT_EQ(read("kept/mine.txt"), "mine");
}

TEST_F(Measures, CtrlCWritesNothing) {
    write("s.toml", std::string(head) +
                        "[procedure]\nlongest = \"3600 s\"\n[variant.before.set]\n\"load.model\" = "
                        "\"load.locked\"\n[variant.after.set]\n\"load.model\" = \"load.locked\"\n" +
                        two_pulls + core + others + reference);
    const pid_t child = start({"match", "s.toml"});
    ASSERT_TRUE(listens(child));
    kill(child, SIGINT);
    const auto ended = wait(child);
    EXPECT_EQ(ended.err, "error: interrupted; nothing was written\n");
    EXPECT_EQ(ended.code, 130);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(names(), "after.csv before.csv map.toml s.toml");
}

TEST_F(Measures, HelpNamesWhatItTakes) {
    const std::string options = R"(
Positionals:
  file FILE                   study with measured pulls (TOML)

Options:
  -h,--help                   print this help
  --without LIST              channels of the logs to leave aside, as if they had not been logged
  --out FOLDER                results folder (default: results/NAME-)";
    const std::string rest = R"()
  --threads N                 pulls at a time (default: all cores); results do not depend on it
  --force                     replace the results folder if it is there
  --json                      print the results as JSON instead of the table

)";
    const auto fit = run({"fit", "--help"}), match = run({"match", "--help"});
    EXPECT_EQ(fit.code, 0);
    EXPECT_EQ(match.code, 0);
    EXPECT_EQ(
        fit.out.substr(0, fit.out.find("Examples:")),
        "fit a rig to measured pulls, and compare\nUsage: pullcast fit [OPTIONS] [file]\n" + options + "fit" + rest);
    EXPECT_EQ(match.out.substr(0, match.out.find("Examples:")),
              "bring measured pulls to the same conditions: what did the parts do?\nUsage: pullcast match [OPTIONS] "
              "[file]\n" +
                  options + "match" + rest);
}

}  // namespace command_line_match_tests

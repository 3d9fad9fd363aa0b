// Impossible calibrations and fuels: the whole text of what `pullcast check` says to a small rig with one edit, and how
// a run ends that asks a knock model for a limit which it does not give.
#include <regex>

#include "command_line.hpp"

namespace bad_inputs_calibrations_tests {

using namespace command_line;

// Not an engine: connected just far enough that the file is whole. Values invented.
const std::string rig = R"([common]
compression_ratio = 9
fuel_ron = 98
fuel_mon = 88

[component.ambient]
model = "gas.ambient"

[component.crank]
model = "load.locked"
start_speed = "4000 rpm"

[component.sensor]
model = "sensor.lag"
at = "ambient"

[component.calibration]
model = "engine.calibration"
manifold = "ambient"
crank = "crank"
intake = "sensor"
coolant = "ambient"
limit = "knock.limit"
best_spark = "torque.best_spark"

[component.calibration.spark_table]
"speed [rpm]" = [1000, 7000]
"manifold_pressure [kPa]" = [40, 200]
"spark_table [deg]" = [[30, 8], [40, 14]]

[component.calibration.lambda_table]
"speed [rpm]" = [1000, 7000]
"manifold_pressure [kPa]" = [40, 200]
"lambda_table" = [[1, 0.86], [1, 0.82]]

[component.calibration.intake_trim]
"intake_temperature [degC]" = [40, 100]
"intake_trim [deg]" = [0, -11]

[component.calibration.coolant_trim]
"coolant_temperature [degC]" = [95, 115]
"coolant_trim [deg]" = [0, -5]

[component.torque]
model = "engine.torque"
displacement = "3 L"
stroke = "86 mm"
crank = "crank"
metal = "ambient"
air = "sensor"
spark = "calibration.spark"
lambda = "calibration.lambda"
exhaust_pressure = "sensor"
manifold = "ambient"

[component.knock]
model = "knock.octane_rules"
manifold = "ambient"
spark = "calibration.spark"
lambda = "calibration.lambda"
exhaust_pressure = "sensor"
coolant = "ambient"
)";

struct Input {
    const char *name, *from, *to, *expected;
};
void PrintTo(const Input& in, std::ostream* out) { *out << in.name; }

class BadCalibration : public CommandLine, public testing::WithParamInterface<Input> {};

constexpr const char* limit_line = "limit = \"knock.limit\"\n";
constexpr const char* both_lines = "limit = \"knock.limit\"\nbest_spark = \"torque.best_spark\"\n";
constexpr const char* best_line = "best_spark = \"torque.best_spark\"\n";

const Input inputs[] = {
    {"spark_before_any_engine", "[40, 14]", "[75, 14]", R"(
rig.toml:29:34: error: calibration.spark_table: 75 must lie within -40 .. 70 deg (spark before top centre)
   29 | "spark_table [deg]" = [[30, 8], [75, 14]]
      |                                  ^^
)"},
    {"spark_long_after_top_centre", "[30, 8]", "[30, -41]", R"(
rig.toml:29:29: error: calibration.spark_table: -41 must lie within -40 .. 70 deg (spark before top centre)
   29 | "spark_table [deg]" = [[30, -41], [40, 14]]
      |                             ^^^
)"},
    {"lambda_of_zero", "0.86]", "0]", R"(
rig.toml:34:23: error: calibration.lambda_table: 0 must lie within 0.5 .. 1.5 (commanded lambda)
   34 | "lambda_table" = [[1, 0], [1, 0.82]]
      |                       ^
)"},
    {"lambda_that_does_not_burn", "0.82]", "1.6]", R"(
rig.toml:34:34: error: calibration.lambda_table: 1.6 must lie within 0.5 .. 1.5 (commanded lambda)
   34 | "lambda_table" = [[1, 0.86], [1, 1.6]]
      |                                  ^^^
)"},
    {"air_fuel_ratio_for_lambda", "0.82]", "12.1]", R"(
rig.toml:34:34: error: calibration.lambda_table: 12.1 must lie within 0.5 .. 1.5 (commanded lambda)
   34 | "lambda_table" = [[1, 0.86], [1, 12.1]]
      |                                  ^^^^
)"},
    {"trim_that_adds_too_much", "[0, -11]", "[0, 21]", R"(
rig.toml:38:27: error: calibration.intake_trim: 21 must lie within -40 .. 20 deg (spark added over the intake reading)
   38 | "intake_trim [deg]" = [0, 21]
      |                           ^^
)"},
    {"trim_that_takes_too_much", "[0, -5]", "[0, -50]", R"(
rig.toml:42:28: error: calibration.coolant_trim: -50 must lie within -40 .. 20 deg (spark added over engine coolant)
   42 | "coolant_trim [deg]" = [0, -50]
      |                            ^^^
)"},
    {"unknown_mode", limit_line, "limit = \"knock.limit\"\nspark_mode = \"held\"\n", R"(
rig.toml:24:14: error: calibration.spark_mode = "held" must be one of "table", "held_back", "at_limit" (table: table and trims; held_back: no more than the knock limit less its reserve; at_limit: there, or at best torque where that is less)
   24 | spark_mode = "held"
      |              ^^^^^^
)"},
    {"reserve_below_zero", limit_line, "limit = \"knock.limit\"\nknock_reserve = \"-1 deg\"\n", R"(
rig.toml:24:17: error: calibration.knock_reserve = "-1 deg" must lie within 0 .. 20 deg (spark kept below the knock limit)
   24 | knock_reserve = "-1 deg"
      |                 ^^^^^^^^
)"},
    {"lag_of_zero", limit_line, "limit = \"knock.limit\"\nlimit_lag = \"0 s\"\n", R"(
rig.toml:24:13: error: calibration.limit_lag = "0 s" must be greater than 0 (time to 63 % of a step of the knock limit)
   24 | limit_lag = "0 s"
      |             ^^^^^
)"},
    {"held_back_without_a_limit", both_lines, "spark_mode = \"held_back\"\n", R"(
rig.toml:23:14: error: calibration.spark_mode: needs the knock limit: connect limit = "knock.limit", or set spark_mode = "table"
   23 | spark_mode = "held_back"
      |              ^^^^^^^^^^^
)"},
    {"at_limit_without_a_limit", limit_line, "spark_mode = \"at_limit\"\n", R"(
rig.toml:23:14: error: calibration.spark_mode: needs the knock limit: connect limit = "knock.limit", or set spark_mode = "table"
   23 | spark_mode = "at_limit"
      |              ^^^^^^^^^^
)"},
    {"at_limit_without_best_spark", best_line, "spark_mode = \"at_limit\"\n", R"(
rig.toml:24:14: error: calibration.spark_mode: needs best-torque spark: connect best_spark = "torque.best_spark", or set spark_mode = "held_back"
   24 | spark_mode = "at_limit"
      |              ^^^^^^^^^^
)"},
    {"motor_number_above_research_number", "fuel_mon = 88", "fuel_mon = 99", R"(
rig.toml:4:12: error: knock.mon: mon = 99 is above ron = 98: no fuel class does that
    4 | fuel_mon = 99
      |            ^^
)"},
};

TEST_P(BadCalibration, IsTold) {
    const Input& in = GetParam();
    std::string text = rig;
    const auto at = text.find(in.from);
    ASSERT_NE(at, text.npos) << "the edit's text does not stand in the rig: " << in.from;
    write("rig.toml", text.replace(at, std::string(in.from).size(), in.to));
    const auto ended = run({"check", "rig.toml"});
    EXPECT_EQ("\n" + ended.err, in.expected);
    EXPECT_EQ(ended.code, 3);
}
INSTANTIATE_TEST_SUITE_P(Check, BadCalibration, testing::ValuesIn(inputs),
                         [](const auto& in) { return std::string(in.param.name); });

class Limits : public CommandLine {};

TEST_F(Limits, the_rig_that_the_edits_break_is_whole) {
    for (const char* mode : {"table", "held_back", "at_limit"}) {
        write("rig.toml", "[common]\nspark_mode = \"" + std::string(mode) + "\"\n" + rig.substr(rig.find('\n') + 1));
        const auto ended = run({"check", "rig.toml"});
        EXPECT_EQ(ended.err, "");
        EXPECT_EQ(ended.code, 0);
    }
}

TEST_F(Limits, bounds_themselves_are_allowed) {
    auto text = rig;
    for (const auto& [from, to] :
         {std::pair{"[30, 8]", "[70, -40]"}, {"[1, 0.86]", "[1.5, 0.5]"}, {"[0, -11]", "[20, -40]"}})
        text.replace(text.find(from), std::string(from).size(), to);
    write("rig.toml", text);
    EXPECT_EQ(run({"check", "rig.toml"}).err, "");
}

// The file is whole, but the model published that it knows no limit: the run stops at once and names the remedy.
TEST_F(Limits, run_without_a_limit_stops_with_its_remedy) {
    write("s.toml",
          "rig = \"scenarios/rigs/hillclimb-v6.toml\"\n[variant.a.set]\n\"knock.model\" = \"knock.none\"\n"
          "\"calibration.spark_mode\" = \"held_back\"\n");
    const auto ended = run({"run", "s.toml", "--out", "r"});
    const auto at = std::min(ended.err.find("error: "), ended.err.size());
    const std::regex times("rejected [0-9]+ times"), stopped("run stopped at .*\n");
    EXPECT_EQ(
        std::regex_replace(std::regex_replace(ended.err.substr(at), times, "rejected # times"), stopped,
                           "run stopped\n"),
        "error: a: run stopped\n"
        "   calibration: the knock model gives no limit: put in a model that does (pullcast models knock), or set "
        "spark_mode = \"table\"; limit 1.5708 is outside -1.5708 .. 1.55334 (rejected # times)\n"
        "   try: keep the named value within its limits, or a model that covers it\n" +
            written_to("r"));
    EXPECT_EQ(ended.code, 4);
}

}  // namespace bad_inputs_calibrations_tests

#include <robustness/bad_inputs.hpp>

namespace bad_inputs_tables_tests {

using namespace bad;

class BadTable : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Curves and maps.
const Input table_inputs[] = {
    {"not_rising", {{"[1, 2, 3]", "[1, 3, 2]"}}, {}, R"(
rigs/demo.toml:19:27: error: blower.efficiency: pressure_ratio must rise, and 2 does not
   19 | "pressure_ratio" = [1, 3, 2]
      |                           ^
)"},
    {"row_too_short", {{"[52, 64, 60]", "[52, 64]"}}, {}, R"(
rigs/demo.toml:20:35: error: blower.efficiency: 2 values of efficiency for 3 of pressure_ratio
   20 | "efficiency [%]" = [[50, 60, 55], [52, 64]]
      |                                   ^^^^^^^^
)"},
    {"row_missing", {{"[[50, 60, 55], [52, 64, 60]]", "[[50, 60, 55]]"}}, {}, R"(
rigs/demo.toml:17:1: error: blower.efficiency: efficiency has 1 rows, speed has 2 points
   17 | [component.blower.efficiency]
      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ one row for each of them
)"},
    {"row_is_no_array", {{"[[50, 60, 55], [52, 64, 60]]", "[50, 60]"}}, {}, R"(
rigs/demo.toml:20:21: error: blower.efficiency: 50 is not a row
   20 | "efficiency [%]" = [50, 60]
      |                     ^^ one array over pressure_ratio for each point of speed
)"},
    {"value_out_of_range", {{"[52, 64, 60]", "[52, 640, 60]"}}, {}, R"(
rigs/demo.toml:20:40: error: blower.efficiency: 640 must lie within 0 .. 100 % (isentropic efficiency)
   20 | "efficiency [%]" = [[50, 60, 55], [52, 640, 60]]
      |                                        ^^^
)"},
    {"one_point", {{"[4000, 12000]", "[4000]"}}, {}, R"(
rigs/demo.toml:17:1: error: blower.efficiency: speed needs at least 2 points
   17 | [component.blower.efficiency]
      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
)"},
    {"no_unit", {{R"("speed [rpm]")", R"("speed")"}}, {}, R"(
rigs/demo.toml:18:1: error: blower.efficiency: 'speed' has no unit
   18 | "speed" = [4000, 12000]
      | ^^^^^^^ write "speed [rpm]" = [...]
)"},
    {"unit_of_another_kind", {{R"("speed [rpm]")", R"("speed [kPa]")"}}, {}, R"(
rigs/demo.toml:18:1: error: blower.efficiency: 'kPa' is a pressure, 'speed' wants a rotational speed (rad/s)
   18 | "speed [kPa]" = [4000, 12000]
      | ^^^^^^^^^^^^^ for example "speed [rpm]" = [...]
)"},
    {"unknown_column", {{R"("pressure_ratio" =)", R"("presure_ratio" =)"}}, {}, R"(
rigs/demo.toml:19:1: error: blower.efficiency: unknown key 'presure_ratio'
   19 | "presure_ratio" = [1, 2, 3]
      | ^^^^^^^^^^^^^^^ did you mean 'pressure_ratio'?
)"},
    {"text_in_a_row", {{"[52, 64, 60]", R"([52, "64 %", 60])"}}, {}, R"(
rigs/demo.toml:20:40: error: blower.efficiency: "64 %" is not a number
   20 | "efficiency [%]" = [[50, 60, 55], [52, "64 %", 60]]
      |                                        ^^^^^^ the unit stands with the array's name
)"},
    {"number_for_a_table", second_blower("efficiency = 0.6"), {}, R"(
rigs/demo.toml:31:14: error: second.efficiency must be a table, not a decimal number (map over speed and pressure_ratio, isentropic efficiency)
   31 | efficiency = 0.6
      |              ^^^ its numbers, or { file = "name.csv" }
)"},
    {"no_such_file", second_blower(R"(efficiency = { file = "map.csv" })"), {}, R"(
rigs/demo.toml:31:23: error: no such file: rigs/map.csv
   31 | efficiency = { file = "map.csv" }
      |                       ^^^^^^^^^
)"},
    {"file_with_gap",
     second_blower(R"(efficiency = { file = "map.csv" })"),
     {{"rigs/map.csv", R"(speed [rpm],pressure_ratio,efficiency [%]
4000,1,50
4000,2,60
8000,1,52
)"}},
     R"(
rigs/map.csv:1:1: error: no row for speed = 8000 rpm, pressure_ratio = 2
    1 | speed [rpm],pressure_ratio,efficiency [%]
      | ^ the grid of 2 x 2 points wants 4 rows
)"},
    {"file_value_out_of_range",
     second_blower(R"(efficiency = { file = "map.csv" })"),
     {{"rigs/map.csv", R"(speed [rpm],pressure_ratio,efficiency [%]
4000,1,50
4000,2,60
8000,1,52
8000,2,640
)"}},
     R"(
rigs/map.csv:5:8: error: efficiency: 640 must lie within 0 .. 100 % (isentropic efficiency)
    5 | 8000,2,640
      |        ^^^
)"},
    {"file_and_numbers", second_blower(R"(efficiency = { file = "map.csv", "speed [rpm]" = [1, 2] })"), {}, R"(
rigs/demo.toml:31:23: error: no such file: rigs/map.csv
   31 | efficiency = { file = "map.csv", "speed [rpm]" = [1, 2] }
      |                       ^^^^^^^^^
rigs/demo.toml:31:34: error: unknown key 'speed [rpm]' in second.efficiency
   31 | efficiency = { file = "map.csv", "speed [rpm]" = [1, 2] }
      |                                  ^^^^^^^^^^^^^ one of: file
)"},
    {"missing_table", second_blower(""), {}, R"(
rigs/demo.toml:27:12: error: missing key 'efficiency' in [component.second] (map over speed and pressure_ratio, isentropic efficiency)
   27 | [component.second]
      |            ^^^^^^
)"},
};

TEST_P(BadTable, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadTable, testing::ValuesIn(table_inputs), name_of);

}  // namespace bad_inputs_tables_tests

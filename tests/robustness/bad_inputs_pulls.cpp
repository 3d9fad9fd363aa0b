#include <robustness/bad_measured.hpp>

namespace bad_inputs_pulls_tests {

using namespace bad;

class BadPull : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Measured pulls of a study, and the reference.
const Input pull_inputs[] = {
    {"pulls_are_no_table", {}, study(R"(pull = 3
[variant.a]
)"), R"(
studies/s.toml:2:8: error: 'pull' in a study file must be a table, not an integer
    2 | pull = 3
      |        ^
)"},
    {"pull_is_no_table", {}, pulls(R"([pull]
one = 3
)"), R"(
studies/s.toml:5:7: error: pull 'one' must be a table, not an integer
    5 | one = 3
      |       ^ write [pull.one]
)"},
    {"no_log_and_no_variant", {}, pulls(R"([pull.one]
)"), R"(
studies/s.toml:4:1: error: missing key 'log' in [pull.one] (path of the log)
    4 | [pull.one]
      | ^^^^^^^^^^
studies/s.toml:4:1: error: missing key 'variant' in [pull.one] (which variant was on the car)
    4 | [pull.one]
      | ^^^^^^^^^^
)"},
    {"texts_that_are_none", {}, pulls(R"([pull.one]
title = 1
log = 2
mapping = 3
variant = 4
)"), R"(
studies/s.toml:5:9: error: 'title' in [pull.one] must be a string, not an integer
    5 | title = 1
      |         ^
studies/s.toml:6:7: error: 'log' in [pull.one] must be a string, not an integer
    6 | log = 2
      |       ^
studies/s.toml:7:11: error: 'mapping' in [pull.one] must be a string, not an integer
    7 | mapping = 3
      |           ^
studies/s.toml:8:11: error: 'variant' in [pull.one] must be a string, not an integer
    8 | variant = 4
      |           ^
)"},
    {"set_is_no_table", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
set = 3
)"), R"(
studies/s.toml:7:7: error: 'set' in [pull.one] must be a table, not an integer
    7 | set = 3
      |       ^
)"},
    {"unknown_key", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
numbr = 1
)"), R"(
studies/s.toml:7:1: error: unknown key 'numbr' in [pull.one]
    7 | numbr = 1
      | ^^^^^ did you mean 'number'?
)"},
    {"number_is_no_number", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
number = "first"
)"), R"(
studies/s.toml:7:10: error: number = "first" in [pull.one] must be a whole number from 1 to 1000
    7 | number = "first"
      |          ^^^^^^^ which pull of the log it is, in their order
)"},
    {"number_below", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
number = 0
)"), R"(
studies/s.toml:7:10: error: number = 0 in [pull.one] must be a whole number from 1 to 1000
    7 | number = 0
      |          ^ which pull of the log it is, in their order
)"},
    {"number_above", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
number = 1001
)"), R"(
studies/s.toml:7:10: error: number = 1001 in [pull.one] must be a whole number from 1 to 1000
    7 | number = 1001
      |          ^^^^ which pull of the log it is, in their order
)"},
    {"unknown_variant", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "stock"
)"), R"(
studies/s.toml:6:11: error: variant = "stock" in [pull.one] names no variant
    6 | variant = "stock"
      |           ^^^^^^^ one of: a, b
)"},
    {"name_of_a_variant", {}, pulls(R"([pull.a]
log = "../log.csv"
variant = "a"
)"), R"(
studies/s.toml:4:7: error: 'a' names a variant and a pull
    4 | [pull.a]
      |       ^ give the pull a name of its own
)"},
    {"unknown_component_that_day", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
[pull.one.set]
"coler.rows" = 3
)"), R"(
studies/s.toml:8:1: error: unknown component 'coler' in [pull.one.set]
    8 | "coler.rows" = 3
      | ^^^^^^^^^^^^ did you mean 'cooler'?
)"},
    {"unknown_key_that_day", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
[pull.one.set]
"cooler.rowes" = 3
)"), R"(
studies/s.toml:8:1: error: unknown key 'cooler.rowes' in [pull.one.set]
    8 | "cooler.rowes" = 3
      | ^^^^^^^^^^^^^^ did you mean 'rows' (integer, rows of tubes)?
)"},
    {"value_beyond_its_limits_that_day", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "a"
[pull.one.set]
"cooler.rows" = 50
)"), R"(
studies/s.toml:8:17: error: cooler.rows = 50 must lie within 1 .. 20 (rows of tubes)
    8 | "cooler.rows" = 50
      |                 ^^
)"},
    {"reference_is_no_table", {}, study(R"(reference = 3
[variant.a]
)"), R"(
studies/s.toml:2:13: error: 'reference' in a study file must be a table, not an integer
    2 | reference = 3
      |             ^
)"},
    {"unknown_component_of_the_reference", {}, pulls(R"([reference]
"coler.rows" = 3
)"), R"(
studies/s.toml:5:1: error: unknown component 'coler' in [reference]
    5 | "coler.rows" = 3
      | ^^^^^^^^^^^^ did you mean 'cooler'?
)"},
    {"no_setting_of_the_reference", {}, pulls(R"([reference]
"cooler" = 3
)"), R"(
studies/s.toml:5:1: error: 'cooler' in [reference] is no setting
    5 | "cooler" = 3
      | ^^^^^^^^ write "cooler.key" or "cooler.parts.slot"
)"},
    {"value_of_the_reference_told_once_for_all_variants", {}, pulls(R"([reference]
"ambient.temperature" = "400 K"
)"), R"(
studies/s.toml:5:25: error: ambient.temperature = "400 K" must lie within 220 .. 340 K (air temperature)
    5 | "ambient.temperature" = "400 K"
      |                         ^^^^^^^
)"},
    {"fit_and_match_are_no_tables", {}, study(R"(fit = 3
match = 4
[variant.a]
)"), R"(
studies/s.toml:2:7: error: 'fit' in a study file must be a table, not an integer
    2 | fit = 3
      |       ^
studies/s.toml:3:9: error: 'match' in a study file must be a table, not an integer
    3 | match = 4
      |         ^
)"},
    {"every_mistake_at_once", {}, pulls(R"([pull.one]
log = "../log.csv"
variant = "c"
[pull.two]
variant = "a"
number = -1
[pull.two.set]
"cooler.row" = 3
[reference]
"ambient.temperature" = "20 m"
)"), R"(
studies/s.toml:6:11: error: variant = "c" in [pull.one] names no variant
    6 | variant = "c"
      |           ^^^ did you mean 'a'?
studies/s.toml:7:1: error: missing key 'log' in [pull.two] (path of the log)
    7 | [pull.two]
      | ^^^^^^^^^^
studies/s.toml:9:10: error: number = -1 in [pull.two] must be a whole number from 1 to 1000
    9 | number = -1
      |          ^^ which pull of the log it is, in their order
studies/s.toml:11:1: error: unknown key 'cooler.row' in [pull.two.set]
   11 | "cooler.row" = 3
      | ^^^^^^^^^^^^ did you mean 'rows' (integer, rows of tubes)?
studies/s.toml:13:29: error: ambient.temperature = "20 m": '20 m' is a length, 'temperature' wants a temperature (K)
   13 | "ambient.temperature" = "20 m"
      |                             ^ for example "20 degC"
)"},
};

TEST_P(BadPull, IsTold) { EXPECT_EQ("\n" + told_measured(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadPull, testing::ValuesIn(pull_inputs), name_of);

}  // namespace bad_inputs_pulls_tests

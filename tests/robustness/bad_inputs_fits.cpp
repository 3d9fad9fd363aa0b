#include <robustness/bad_measured.hpp>

namespace bad_inputs_fits_tests {

using namespace bad;

class BadFit : public fake::Folder, public testing::WithParamInterface<Input> {};

/// What is to be fitted.
const Input fit_inputs[] = {
    {"no_table", {}, measured(R"([fit]
x = 3
)"), R"(
studies/s.toml:11:5: error: 'x' in [fit] must be a table, not an integer
   11 | x = 3
      |     ^ write [fit.x]
)"},
    {"neither_scales_nor_moves", {}, measured(R"([fit.x]
per = "pull"
)"), R"(
studies/s.toml:10:6: error: [fit.x] needs either 'scales' or 'moves'
   10 | [fit.x]
      |      ^ scales = ["component.key"] for a factor, moves = [...] for a number with its unit
)"},
    {"both_scales_and_moves", {}, measured(R"([fit.x]
scales = "cooler.width"
moves = "cooler.width"
)"), R"(
studies/s.toml:10:6: error: [fit.x] needs either 'scales' or 'moves'
   10 | [fit.x]
      |      ^ scales = ["component.key"] for a factor, moves = [...] for a number with its unit
)"},
    {"no_paths", {}, measured(R"([fit.x]
scales = []
)"), R"(
studies/s.toml:11:10: error: scales in [fit.x] must name settings
   11 | scales = []
      |          ^^ write "component.key" or "common.key", or a list of these
)"},
    {"path_is_no_text", {}, measured(R"([fit.x]
scales = 3
)"), R"(
studies/s.toml:11:10: error: scales in [fit.x] must name settings
   11 | scales = 3
      |          ^ write "component.key" or "common.key", or a list of these
)"},
    {"path_in_a_list_is_no_text", {}, measured(R"([fit.x]
scales = ["cooler.width", 3]
)"), R"(
studies/s.toml:11:10: error: scales in [fit.x] must name settings
   11 | scales = ["cooler.width", 3]
      |          ^^^^^^^^^^^^^^^^^^^ write "component.key" or "common.key", or a list of these
)"},
    {"unknown_component", {}, measured(R"([fit.x]
scales = "coler.width"
)"), R"(
studies/s.toml:11:10: error: 'coler.width' in [fit.x] is no setting of pull 'one'
   11 | scales = "coler.width"
      |          ^^^^^^^^^^^^^ did you mean 'cooler'?
)"},
    {"unknown_key", {}, measured(R"([fit.x]
scales = ["cooler.width", "cooler.fin_pich"]
)"), R"(
studies/s.toml:11:27: error: 'cooler.fin_pich' in [fit.x] is no setting of pull 'one'
   11 | scales = ["cooler.width", "cooler.fin_pich"]
      |                           ^^^^^^^^^^^^^^^^^ did you mean 'fin_pitch' (m, distance of fins)?
)"},
    {"unknown_shared_value", {}, measured(R"([fit.x]
moves = "common.glycool"
)"), R"(
studies/s.toml:11:9: error: 'common.glycool' in [fit.x] is no setting of pull 'one'
   11 | moves = "common.glycool"
      |         ^^^^^^^^^^^^^^^^ did you mean 'glycol'?
)"},
    {"component_alone", {}, measured(R"([fit.x]
moves = "cooler"
)"), R"(
studies/s.toml:11:9: error: 'cooler' in [fit.x] is no setting of pull 'one'
   11 | moves = "cooler"
      |         ^^^^^^^^ write "component.key" or "common.key"
)"},
    {"shared_value_that_nothing_takes", cooler_line(R"(glycol = "30 %")"), measured(R"([fit.x]
moves = "common.glycol"
)"), R"(
studies/s.toml:11:9: error: 'common.glycol' in [fit.x] is no setting of pull 'one'
   11 | moves = "common.glycol"
      |         ^^^^^^^^^^^^^^^ every component that could take it has a value of its own
)"},
    {"setting_of_one_pull_only", {}, measured(R"([pull.two.set]
"cooler.model" = "cooler.duct"
[fit.x]
moves = "cooler.fin_pitch"
)"), R"(
studies/s.toml:13:9: error: 'cooler.fin_pitch' in [fit.x] is no setting of pull 'two'
   13 | moves = "cooler.fin_pitch"
      |         ^^^^^^^^^^^^^^^^^^ one of: width
)"},
    {"whole_number", {}, measured(R"([fit.x]
scales = "cooler.rows"
)"), R"(
studies/s.toml:11:10: error: parameter 'x': cooler.rows is not a number that can move
   11 | scales = "cooler.rows"
      |          ^^^^^^^^^^^^^
)"},
    {"choice_of_words", {}, measured(R"([fit.x]
moves = "cooler.fin"
)"), R"(
studies/s.toml:11:9: error: parameter 'x': cooler.fin is not a number that can move
   11 | moves = "cooler.fin"
      |         ^^^^^^^^^^^^
)"},
    {"table_that_moves", {}, measured(R"([fit.x]
moves = "blower.efficiency"
)"), R"(
studies/s.toml:11:9: error: parameter 'x': blower.efficiency is a table: only a factor can move it
   11 | moves = "blower.efficiency"
      |         ^^^^^^^^^^^^^^^^^^^
)"},
    {"table_that_is_not_set", {}, measured(R"([fit.x]
scales = "blower.leakage"
)"), R"(
studies/s.toml:11:10: error: parameter 'x': blower.leakage is not set in this rig
   11 | scales = "blower.leakage"
      |          ^^^^^^^^^^^^^^^^
)"},
    {"unlike_units", {}, measured(R"([fit.x]
moves = ["ambient.temperature", "cooler.width"]
)"), R"(
studies/s.toml:11:33: error: 'cooler.width' in [fit.x] is in m, and 'ambient.temperature' in K
   11 | moves = ["ambient.temperature", "cooler.width"]
      |                                 ^^^^^^^^^^^^^^ one value moves all of them; scales = [...] takes a factor instead
)"},
    {"title_is_no_text", {}, measured(R"([fit.x]
scales = "cooler.width"
title = 3
)"), R"(
studies/s.toml:12:9: error: 'title' in [fit.x] must be a string, not an integer
   12 | title = 3
      |         ^
)"},
    {"per_what", {}, measured(R"([fit.x]
scales = "cooler.width"
per = "day"
)"), R"(
studies/s.toml:12:7: error: per = "day" in [fit.x] must be "all", "variant" or "pull"
   12 | per = "day"
      |       ^^^^^ one value for all pulls, one a variant, or one a pull
)"},
    {"per_is_no_text", {}, measured(R"([fit.x]
scales = "cooler.width"
per = 2
)"), R"(
studies/s.toml:12:7: error: 'per' in [fit.x] must be a string, not an integer
   12 | per = 2
      |       ^
)"},
    {"pulls_are_no_list", {}, measured(R"([fit.x]
scales = "cooler.width"
per = "pull"
pulls = "one"
)"), R"(
studies/s.toml:13:9: error: pulls in [fit.x] must be a list of pulls
   13 | pulls = "one"
      |         ^^^^^
)"},
    {"no_pulls", {}, measured(R"([fit.x]
scales = "cooler.width"
per = "pull"
pulls = []
)"), R"(
studies/s.toml:13:9: error: pulls in [fit.x] must be a list of pulls
   13 | pulls = []
      |         ^^
)"},
    {"unknown_pulls", {}, measured(R"([fit.x]
scales = "cooler.width"
per = "pull"
pulls = ["one", "tow", 3]
)"), R"(
studies/s.toml:13:17: error: pulls in [fit.x]: no pull "tow"
   13 | pulls = ["one", "tow", 3]
      |                 ^^^^^ did you mean 'two'?
studies/s.toml:13:24: error: pulls in [fit.x]: no pull 3
   13 | pulls = ["one", "tow", 3]
      |                        ^
)"},
    {"pulls_of_what_is_not_a_pull_s", {}, measured(R"([fit.x]
scales = "cooler.width"
pulls = ["one"]
)"), R"(
studies/s.toml:12:9: error: pulls in [fit.x] needs per = "pull"
   12 | pulls = ["one"]
      |         ^^^^^^^ in the other pulls it is what the rig says
)"},
    {"measured_by_no_channel", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
measured = "ambient_temprature"
)"), R"(
studies/s.toml:13:12: error: measured = "ambient_temprature" in [fit.x] is no channel
   13 | measured = "ambient_temprature"
      |            ^^^^^^^^^^^^^^^^^^^^ did you mean 'ambient_temperature'?
)"},
    {"measured_is_no_text", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
measured = 3
)"), R"(
studies/s.toml:13:12: error: 'measured' in [fit.x] must be a string, not an integer
   13 | measured = 3
      |            ^
)"},
    {"measured_of_what_is_not_a_pull_s", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "variant"
measured = "ambient_temperature"
)"), R"(
studies/s.toml:13:12: error: measured in [fit.x] needs per = "pull"
   13 | measured = "ambient_temperature"
      |            ^^^^^^^^^^^^^^^^^^^^^ each pull has a start of its own
)"},
    {"measured_in_another_unit", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
measured = "barometer"
)"), R"(
studies/s.toml:13:12: error: barometer is measured in Pa, x is fitted in K
   13 | measured = "barometer"
      |            ^^^^^^^^^^^
)"},
    {"reading_deviation_without_a_reading", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
reading_deviation = "2 K"
)"), R"(
studies/s.toml:13:21: error: reading_deviation = "2 K" in [fit.x] needs 'measured'
   13 | reading_deviation = "2 K"
      |                     ^^^^^ measured = ... names a channel of the log
)"},
    {"reading_deviation_below_0", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
measured = "ambient_temperature"
reading_deviation = "-2 K"
)"), R"(
studies/s.toml:14:21: error: reading_deviation = "-2 K" in [fit.x] must be at least 0
   14 | reading_deviation = "-2 K"
      |                     ^^^^^^
)"},
    {"number_without_unit", {}, measured(R"([fit.x]
moves = "ambient.temperature"
lowest = 250
)"), R"(
studies/s.toml:12:10: error: lowest = 250 in [fit.x] must be a number with its unit
   12 | lowest = 250
      |          ^^^ in quotes: "3 K"
)"},
    {"number_of_another_dimension", {}, measured(R"([fit.x]
moves = "ambient.temperature"
highest = "3 m"
)"), R"(
studies/s.toml:12:11: error: highest = "3 m" in [fit.x]: '3 m' is a length, 'highest' wants a temperature (K)
   12 | highest = "3 m"
      |           ^^^^^ for example "3 degC"
)"},
    {"factor_with_a_unit", {}, measured(R"([fit.x]
scales = "cooler.width"
lowest = "200 mm"
)"), R"(
studies/s.toml:12:10: error: lowest = "200 mm" in [fit.x]: '200 mm' is a length, 'lowest' wants a plain number (1)
   12 | lowest = "200 mm"
      |          ^^^^^^^^ give a number without a unit, or a percentage
)"},
    {"factor_is_no_number", {}, measured(R"([fit.x]
scales = "cooler.width"
expected = true
deviation = 0.1
)"), R"(
studies/s.toml:12:12: error: expected = true in [fit.x] must be a number
   12 | expected = true
      |            ^^^^ 0.95, or "95 %"
)"},
    {"lowest_above_highest", {}, measured(R"([fit.x]
scales = "cooler.width"
lowest = 2
highest = 0.5
)"), R"(
studies/s.toml:13:11: error: highest = 0.5 in [fit.x] must be above lowest
   13 | highest = 0.5
      |           ^^^
)"},
    {"deviation_of_0", {}, measured(R"([fit.x]
scales = "cooler.width"
expected = 1
deviation = 0
)"), R"(
studies/s.toml:13:13: error: deviation = 0 in [fit.x] must be greater than 0
   13 | deviation = 0
      |             ^
)"},
    {"expected_without_deviation", {}, measured(R"([fit.x]
scales = "cooler.width"
expected = 1.0
)"), R"(
studies/s.toml:12:12: error: expected = 1 in [fit.x] says what is expected, and not how surely
   12 | expected = 1.0
      |            ^^^ deviation = ..., one standard deviation
)"},
    {"deviation_without_expected", {}, measured(R"([fit.x]
scales = "cooler.width"
deviation = 0.1
)"), R"(
studies/s.toml:12:13: error: deviation = 0.1 in [fit.x] says how surely something is expected, and not what
   12 | deviation = 0.1
      |             ^^^ expected = ...
)"},
    {"deviation_beside_a_reading", {}, measured(R"([fit.x]
moves = "ambient.temperature"
per = "pull"
measured = "ambient_temperature"
deviation = "1 K"
)"), R"(
studies/s.toml:14:13: error: deviation = "1 K" in [fit.x] says how surely something is expected, and not what
   14 | deviation = "1 K"
      |             ^^^^^ reading_deviation = ... goes with 'measured'
)"},
    {"expected_outside_the_bounds", {}, measured(R"([fit.x]
scales = "cooler.width"
lowest = 0.5
highest = 2
expected = 3
deviation = 0.1
)"), R"(
studies/s.toml:14:12: error: expected = 3 in [fit.x] lies outside lowest .. highest
   14 | expected = 3
      |            ^
)"},
    {"expected_beyond_the_model_s_limits", {}, measured(R"([fit.x]
moves = "manifold.volume"
expected = "-1 L"
deviation = "1 L"
)"), R"(
studies/s.toml:12:12: error: expected = "-1 L" in [fit.x] must be greater than 0 (inner volume)
   12 | expected = "-1 L"
      |            ^^^^^^
)"},
    {"unknown_key_of_a_choice", {}, measured(R"([fit.x]
scales = "cooler.width"
lowst = 0.5
)"), R"(
studies/s.toml:12:1: error: unknown key 'lowst' in [fit.x]
   12 | lowst = 0.5
      | ^^^^^ did you mean 'lowest'?
)"},
    {"every_mistake_at_once", {}, measured(R"([fit.x]
scales = "cooler.rows"
[fit.y]
moves = "cooler.width"
lowest = "0.1 s"
[match]
figures = ["crank_pwer"]
)"), R"(
studies/s.toml: error: [match] needs a [reference]
      the conditions that all variants are brought to
studies/s.toml:11:10: error: parameter 'x': cooler.rows is not a number that can move
   11 | scales = "cooler.rows"
      |          ^^^^^^^^^^^^^
studies/s.toml:14:10: error: lowest = "0.1 s" in [fit.y]: '0.1 s' is a time, 'lowest' wants a length (m)
   14 | lowest = "0.1 s"
      |          ^^^^^^^ for example "0.1 mm"
studies/s.toml:16:12: error: no figure 'crank_pwer'
   16 | figures = ["crank_pwer"]
      |            ^^^^^^^^^^^^ did you mean 'crank_power'?
)"},
};

TEST_P(BadFit, IsTold) { EXPECT_EQ("\n" + told_measured(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadFit, testing::ValuesIn(fit_inputs), name_of);

}  // namespace bad_inputs_fits_tests

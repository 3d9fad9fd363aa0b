#include <robustness/bad_measured.hpp>

namespace bad_inputs_matches_tests {

using namespace bad;

class BadMatch : public fake::Folder, public testing::WithParamInterface<Input> {};

/// What is to be said of the parts.
const Input match_inputs[] = {
    {"unknown_key", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
question = ["same pulley"]
)"), R"(
studies/s.toml:13:1: error: unknown key 'question' in [match]
   13 | question = ["same pulley"]
      | ^^^^^^^^ did you mean 'questions'?
)"},
    {"questions_are_no_list", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
questions = "same pulley"
)"), R"(
studies/s.toml:13:13: error: questions in [match] must be a list of questions
   13 | questions = "same pulley"
      |             ^^^^^^^^^^^^^
)"},
    {"no_questions", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
questions = []
)"), R"(
studies/s.toml:13:13: error: questions in [match] must be a list of questions
   13 | questions = []
      |             ^^
)"},
    {"question_is_no_text", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
questions = ["same pulley", 3]
)"), R"(
studies/s.toml:13:13: error: questions in [match] must be a list of questions
   13 | questions = ["same pulley", 3]
      |             ^^^^^^^^^^^^^^^^^^
)"},
    {"unknown_question", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
questions = ["same pully", "same fuel"]
)"), R"(
studies/s.toml:13:14: error: no question "same pully"
   13 | questions = ["same pully", "same fuel"]
      |              ^^^^^^^^^^^^ did you mean 'same pulley'?
studies/s.toml:13:28: error: no question "same fuel"
   13 | questions = ["same pully", "same fuel"]
      |                            ^^^^^^^^^^^ one of: same pulley, same manifold pressure, same knock margin
)"},
    {"figures_are_no_list", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
figures = 3
)"), R"(
studies/s.toml:13:11: error: figures in [match] must be a list of figures
   13 | figures = 3
      |           ^
)"},
    {"unknown_figure", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
figures = ["crank_power", "crank_pwer"]
)"), R"(
studies/s.toml:13:27: error: no figure 'crank_pwer'
   13 | figures = ["crank_power", "crank_pwer"]
      |                           ^^^^^^^^^^^^ did you mean 'crank_power'?
)"},
    {"repeatability_is_no_table", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
repeatability = 3
)"), R"(
studies/s.toml:13:17: error: 'repeatability' in [match] must be a table, not an integer
   13 | repeatability = 3
      |                 ^
)"},
    {"unknown_repeatability", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
repeatability = { powr = "1 %" }
)"), R"(
studies/s.toml:13:19: error: unknown key 'powr' in repeatability
   13 | repeatability = { powr = "1 %" }
      |                   ^^^^ did you mean 'power'?
)"},
    {"repeatability_of_another_dimension", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
repeatability = { power = "1 kW", temperature = "20 degC" }
)"), R"(
studies/s.toml:13:27: error: power = "1 kW" in repeatability: '1 kW' is a power, 'power' wants a plain number (1)
   13 | repeatability = { power = "1 kW", temperature = "20 degC" }
      |                           ^^^^^^ give a number without a unit, or a percentage
)"},
    {"repeatability_of_0", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
repeatability = { spark = "0 deg", pressure = "-1 kPa" }
)"), R"(
studies/s.toml:13:27: error: spark = "0 deg" in repeatability must be greater than 0
   13 | repeatability = { spark = "0 deg", pressure = "-1 kPa" }
      |                           ^^^^^^^
studies/s.toml:13:47: error: pressure = "-1 kPa" in repeatability must be greater than 0
   13 | repeatability = { spark = "0 deg", pressure = "-1 kPa" }
      |                                               ^^^^^^^^
)"},
    {"no_worse_is_no_table", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
no_worse = "crank_power"
)"), R"(
studies/s.toml:13:12: error: 'no_worse' in [match] must be a table, not a string
   13 | no_worse = "crank_power"
      |            ^^^^^^^^^^^^^
)"},
    {"no_worse_than_no_figure", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
no_worse = { crank_powr = "1 %" }
)"), R"(
studies/s.toml:13:14: error: no figure 'crank_powr'
   13 | no_worse = { crank_powr = "1 %" }
      |              ^^^^^^^^^^ did you mean 'crank_power'?
)"},
    {"no_worse_by_0", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
no_worse = { crank_power = "0 %" }
)"), R"(
studies/s.toml:13:28: error: crank_power = "0 %" in no_worse must be greater than 0
   13 | no_worse = { crank_power = "0 %" }
      |                            ^^^^^
)"},
    {"no_worse_of_another_dimension", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
no_worse = { intake_redline = "2 kW" }
)"), R"(
studies/s.toml:13:31: error: intake_redline = "2 kW" in no_worse: '2 kW' is a power, 'intake_redline' wants a temperature difference (K)
   13 | no_worse = { intake_redline = "2 kW" }
      |                               ^^^^^^ for example "2 K"
)"},
    {"explain_takes_two", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
explain = ["one"]
)"), R"(
studies/s.toml:13:11: error: explain in [match] takes two different pulls
   13 | explain = ["one"]
      |           ^^^^^^^ the earlier one first
)"},
    {"explain_takes_two_different", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
explain = ["one", "one"]
)"), R"(
studies/s.toml:13:11: error: explain in [match] takes two different pulls
   13 | explain = ["one", "one"]
      |           ^^^^^^^^^^^^^^ the earlier one first
)"},
    {"explain_is_no_list", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
explain = "one"
)"), R"(
studies/s.toml:13:11: error: explain in [match] must be a list of two pulls
   13 | explain = "one"
      |           ^^^^^
)"},
    {"explain_unknown_pull", {}, measured(R"([reference]
"ambient.temperature" = "20 degC"
[match]
explain = ["one", "tow"]
)"), R"(
studies/s.toml:13:19: error: no pull 'tow'
   13 | explain = ["one", "tow"]
      |                   ^^^^^ did you mean 'two'?
)"},
    {"no_reference", {}, measured(R"([match]
)"), R"(
studies/s.toml: error: [match] needs a [reference]
      the conditions that all variants are brought to
)"},
    {"no_pull_of_the_base", {}, study(R"(base = "c"
[variant.a]
[variant.b]
[variant.c]
[pull.one]
variant = "a"
log = "../log.csv"
[pull.two]
variant = "b"
log = "../log.csv"
[reference]
)"), R"(
studies/s.toml: error: no pull of the base variant 'c'
      base = ... names the variant that others are compared with
)"},
    {"all_pulls_of_one_variant", {}, pulls(R"([pull.one]
variant = "a"
log = "../log.csv"
[reference]
)"), R"(
studies/s.toml: error: all pulls are of one variant: there is nothing to compare
)"},
    {"every_mistake_at_once", {}, measured(R"([match]
questions = ["same"]
figures = ["crank_pwer"]
repeatability = { power = 0 }
explain = ["on", "two"]
)"), R"(
studies/s.toml: error: [match] needs a [reference]
      the conditions that all variants are brought to
studies/s.toml:11:14: error: no question "same"
   11 | questions = ["same"]
      |              ^^^^^^ one of: same pulley, same manifold pressure, same knock margin
studies/s.toml:12:12: error: no figure 'crank_pwer'
   12 | figures = ["crank_pwer"]
      |            ^^^^^^^^^^^^ did you mean 'crank_power'?
studies/s.toml:13:27: error: power = 0 in repeatability must be greater than 0
   13 | repeatability = { power = 0 }
      |                           ^
studies/s.toml:14:12: error: no pull 'on'
   14 | explain = ["on", "two"]
      |            ^^^^ did you mean 'one'?
)"},
};

TEST_P(BadMatch, IsTold) { EXPECT_EQ("\n" + told_measured(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadMatch, testing::ValuesIn(match_inputs), name_of);

}  // namespace bad_inputs_matches_tests

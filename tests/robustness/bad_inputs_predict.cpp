// Questions of a session, what was turned on top of it, and knobs that turn its steps: of a study whose rig has no fault.
#include <robustness/bad_inputs.hpp>

namespace bad_inputs_predict_tests {

using namespace bad;

class BadDay : public fake::Folder, public testing::WithParamInterface<Input> {};

/// A study with two variants and a session of two pulls, which ends in line 10.
Files day(const std::string& text) {
    return study(R"([variant.a]
[variant.b]
[session]
steps = ["x", "y", "x"]
[step.x]
kind = "pull"
[step.y]
kind = "idle"
lasts = "1 min"
)" + text);
}

/// What is asked before the day.
const Input question_inputs[] = {
    {"questions_without_session", {}, study(R"([variant.a]
[predict.end]
question = "how hot?"
figure = "charge_redline"
)"), R"(
studies/s.toml:3:2: error: [predict.NAME] without [session]
    3 | [predict.end]
      |  ^^^^^^^ questions are about the pulls of a session
)"},
    {"question_is_no_table", {}, day(R"([predict]
end = 3
)"), R"(
studies/s.toml:12:7: error: question 'end' must be a table, not an integer
   12 | end = 3
      |       ^ write [predict.end]
)"},
    {"nothing_asked", {}, day(R"([predict.end]
)"), R"(
studies/s.toml:11:1: error: missing key 'question' in [predict.end] (what is to be predicted)
   11 | [predict.end]
      | ^^^^^^^^^^^^^
studies/s.toml:11:1: error: missing key 'figure' in [predict.end] (key of what answers it, such as intake_redline)
   11 | [predict.end]
      | ^^^^^^^^^^^^^
)"},
    {"question_is_no_text", {}, day(R"([predict.end]
question = 3
figure = 4
)"), R"(
studies/s.toml:12:12: error: 'question' in [predict.end] must be a string, not an integer
   12 | question = 3
      |            ^
studies/s.toml:13:10: error: 'figure' in [predict.end] must be a string, not an integer
   13 | figure = 4
      |          ^
)"},
    {"unknown_key", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
pul = 2
)"), R"(
studies/s.toml:14:1: error: unknown key 'pul' in [predict.end]
   14 | pul = 2
      | ^^^ did you mean 'pull'?
)"},
    {"unknown_variant", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
variant = "c"
)"), R"(
studies/s.toml:14:11: error: variant = "c" in [predict.end] names none
   14 | variant = "c"
      |           ^^^ did you mean 'a'?
)"},
    {"pull_that_there_is_not", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
pull = 3
)"), R"(
studies/s.toml:14:8: error: pull = 3 in [predict.end] is none: the session has 2 pulls
   14 | pull = 3
      |        ^ a whole number from 1 to 2, or "last"
)"},
    {"pull_zero", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
pull = 0
)"), R"(
studies/s.toml:14:8: error: pull = 0 in [predict.end] is none: the session has 2 pulls
   14 | pull = 0
      |        ^ a whole number from 1 to 2, or "last"
)"},
    {"no_pulls_at_all", {}, study(R"([variant.a]
[session]
steps = ["y"]
[step.y]
kind = "idle"
lasts = "1 min"
[predict.end]
question = "how hot?"
figure = "charge_redline"
pull = 1
)"), R"(
studies/s.toml:11:8: error: pull = 1 in [predict.end] is none: the session has 0 pulls
   11 | pull = 1
      |        ^ a step of kind "pull" makes one
)"},
    {"minus_is_no_table", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
minus = 1
)"), R"(
studies/s.toml:14:9: error: 'minus' in [predict.end] must be a table, not an integer
   14 | minus = 1
      |         ^
)"},
    {"minus_itself", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
pull = 1
minus = { variant = "a" }
)"), R"(
studies/s.toml:15:9: error: minus in [predict.end] is what it is taken from
   15 | minus = { variant = "a" }
      |         ^^^^^^^^^^^^^^^^^ name another pull, variant or figure
)"},
    {"minus_with_faults", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
minus = { pull = 5, variant = "bb", colour = "red" }
)"), R"(
studies/s.toml:14:18: error: pull = 5 in minus of [predict.end] is none: the session has 2 pulls
   14 | minus = { pull = 5, variant = "bb", colour = "red" }
      |                  ^ a whole number from 1 to 2, or "last"
studies/s.toml:14:31: error: variant = "bb" in minus of [predict.end] names none
   14 | minus = { pull = 5, variant = "bb", colour = "red" }
      |                               ^^^^ did you mean 'b'?
studies/s.toml:14:37: error: unknown key 'colour' in minus of [predict.end]
   14 | minus = { pull = 5, variant = "bb", colour = "red" }
      |                                     ^^^^^^ one of: figure, pull, variant
)"},
    {"width_without_minus", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
alike_within = "1 K"
)"), R"(
studies/s.toml:14:1: error: alike_within in [predict.end] needs 'minus'
   14 | alike_within = "1 K"
      | ^^^^^^^^^^^^ only a difference can be too small to count
)"},
    {"width_is_no_text", {}, day(R"([predict.end]
question = "how hot?"
figure = "charge_redline"
pull = 2
minus = { pull = 1 }
alike_within = 1
)"), R"(
studies/s.toml:16:16: error: 'alike_within' in [predict.end] must be a string, not an integer
   16 | alike_within = 1
      |                ^
)"},
};

/// What was turned.
const Input turned_inputs[] = {
    {"turned_is_one_table", {}, day(R"([turned]
"manifold.volume" = "2 L"
)"), R"(
studies/s.toml:11:2: error: 'turned' must be an array of tables, not a table
   11 | [turned]
      |  ^^^^^^ write [[turned]]
)"},
    {"turned_is_no_table", {}, study(R"(turned = 3
[variant.a]
[variant.b]
[session]
steps = ["x", "y", "x"]
[step.x]
kind = "pull"
[step.y]
kind = "idle"
lasts = "1 min"
)"), R"(
studies/s.toml:2:1: error: 'turned' must be an array of tables, not an integer
    2 | turned = 3
      | ^^^^^^ write [[turned]]
)"},
    {"turned_list_of_numbers", {}, study(R"(turned = [3]
[variant.a]
[variant.b]
[session]
steps = ["x", "y", "x"]
[step.x]
kind = "pull"
[step.y]
kind = "idle"
lasts = "1 min"
)"), R"(
studies/s.toml:2:1: error: 'turned' must be an array of tables, not an integer
    2 | turned = [3]
      | ^^^^^^ write [[turned]]
)"},
    {"turned_of_an_unknown_component", {}, day(R"([[turned]]
"manifol.volume" = "2 L"
)"), R"(
studies/s.toml:12:1: error: unknown component 'manifol' in [[turned]]
   12 | "manifol.volume" = "2 L"
      | ^^^^^^^^^^^^^^^^ did you mean 'manifold'?
)"},
    {"turned_to_a_wrong_value", {}, day(R"([[turned]]
"manifold.volume" = "-2 L"
)"), R"(
studies/s.toml:12:21: error: manifold.volume = "-2 L" must be greater than 0 (inner volume)
   12 | "manifold.volume" = "-2 L"
      |                     ^^^^^^
)"},
    {"turned_of_an_unknown_step", {}, day(R"([[turned]]
"step.z.lasts" = "2 min"
)"), R"(
studies/s.toml:12:1: error: no step 'z' in [[turned]]
   12 | "step.z.lasts" = "2 min"
      | ^^^^^^^^^^^^^^ did you mean 'x'?
)"},
    {"turned_of_what_no_step_has", {}, day(R"([[turned]]
"step.y.kind" = "pull"
"step.y" = 3
)"), R"(
studies/s.toml:12:1: error: 'step.y.kind' in [[turned]] is no setting of a step
   12 | "step.y.kind" = "pull"
      | ^^^^^^^^^^^^^ write "step.y.lasts" or "step.y.set.component.key"
studies/s.toml:13:1: error: 'step.y' in [[turned]] is no setting of a step
   13 | "step.y" = 3
      | ^^^^^^^^ write "step.y.lasts" or "step.y.set.component.key"
)"},
    {"turned_of_a_setting_that_there_is_not", {}, day(R"([[turned]]
"step.y.set.manifold.volum" = "2 L"
)"), R"(
studies/s.toml:12:1: error: unknown key 'manifold.volum' in [step.y.set]
   12 | "step.y.set.manifold.volum" = "2 L"
      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^ did you mean 'volume' (m^3, inner volume)?
)"},
    {"turned_to_no_length", {}, day(R"([[turned]]
"step.y.lasts" = "-2 min"
)"), R"(
studies/s.toml:12:18: error: lasts = "-2 min" in [step.y] must be greater than 0
   12 | "step.y.lasts" = "-2 min"
      |                  ^^^^^^^^
)"},
    {"turned_without_session", {}, study(R"([variant.a]
[[turned]]
"step.y.lasts" = "2 min"
)"), R"(
studies/s.toml:4:1: error: no step 'y' in [[turned]]
    4 | "step.y.lasts" = "2 min"
      | ^^^^^^^^^^^^^^ the study has no session
)"},
};

/// Knobs of steps.
const Input knob_inputs[] = {
    {"step_without_session", {}, study(R"([variant.a]
[knob.x]
sets = "step.y.lasts"
from = "1 s"
to = "2 s"
)"), R"(
studies/s.toml:4:8: error: step.y.lasts turns a step, and the study has no session
    4 | sets = "step.y.lasts"
      |        ^^^^^^^^^^^^^^
)"},
    {"unknown_step", {}, day(R"([knob.k]
sets = "step.z.lasts"
from = "1 s"
to = "2 s"
)"), R"(
studies/s.toml:12:8: error: step.z.lasts: no step 'z'
   12 | sets = "step.z.lasts"
      |        ^^^^^^^^^^^^^^ did you mean 'x'?
)"},
    {"length_in_another_unit", {}, day(R"([knob.k]
sets = "step.y.lasts"
from = "1 kPa"
to = "2 s"
)"), R"(
studies/s.toml:13:11: error: step.y.lasts = "1 kPa": '1 kPa' is a pressure, 'lasts' wants a time (s)
   13 | from = "1 kPa"
      |           ^^^ for example "1 min"
)"},
    {"length_of_nothing", {}, day(R"([knob.k]
sets = "step.y.lasts"
from = "0 s"
to = "2 d"
)"), R"(
studies/s.toml:13:8: error: step.y.lasts = "0 s" must be greater than 0 and at most 86400 s (how long the step takes at most)
   13 | from = "0 s"
      |        ^^^^^
studies/s.toml:14:9: error: step.y.lasts = "2 d": unknown unit 'd'
   14 | to = "2 d"
      |         ^ for example "2 min"
)"},
    {"length_by_choices", {}, day(R"([knob.k]
sets = "step.y.lasts"
choices = ["1 min"]
)"), R"(
studies/s.toml:13:1: error: choices of [knob.k]: step.y.lasts is a number in s
   13 | choices = ["1 min"]
      | ^^^^^^^ choices for parts, models and words; from and to for numbers
)"},
    {"no_setting_of_a_step", {}, day(R"([knob.k]
sets = "step.y.kind"
choices = ["pull"]
)"), R"(
studies/s.toml:12:8: error: 'step.y.kind' is no setting of a step
   12 | sets = "step.y.kind"
      |        ^^^^^^^^^^^^^ write "step.y.lasts" or "step.y.set.component.key"
)"},
    {"step_alone", {}, day(R"([knob.k]
sets = "step.y"
from = "1 s"
to = "2 s"
)"), R"(
studies/s.toml:12:8: error: 'step.y' is no setting of a step
   12 | sets = "step.y"
      |        ^^^^^^^^ write "step.y.lasts" or "step.y.set.component.key"
)"},
    {"part_of_a_step", {}, day(R"([knob.k]
sets = "step.y.set.cooler.parts.core"
choices = ["core-a"]
)"), R"(
studies/s.toml:12:8: error: step.y.set.cooler.parts.core is a part
   12 | sets = "step.y.set.cooler.parts.core"
      |        ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ a knob turns numbers and words of a step's settings
)"},
    {"model_of_a_step", {}, day(R"([knob.k]
sets = "step.y.set.cooler.model"
choices = ["cooler.duct"]
)"), R"(
studies/s.toml:12:8: error: step.y.set.cooler.model is a model
   12 | sets = "step.y.set.cooler.model"
      |        ^^^^^^^^^^^^^^^^^^^^^^^^^ a knob turns numbers and words of a step's settings
)"},
    {"unknown_component_of_a_step", {}, day(R"([knob.k]
sets = "step.y.set.manifol.volume"
from = "1 L"
to = "2 L"
)"), R"(
studies/s.toml:12:8: error: unknown component 'manifol' in [knob.k]
   12 | sets = "step.y.set.manifol.volume"
      |        ^^^^^^^^^^^^^^^^^^^^^^^^^^^ did you mean 'manifold'?
)"},
    {"unknown_key_of_a_step", {}, day(R"([knob.k]
sets = "step.y.set.manifold.volum"
from = "1 L"
to = "2 L"
)"), R"(
studies/s.toml:12:8: error: unknown key 'manifold.volum' in [knob.k]
   12 | sets = "step.y.set.manifold.volum"
      |        ^^^^^^^^^^^^^^^^^^^^^^^^^^^ did you mean 'volume' (m^3, inner volume)?
)"},
    {"value_out_of_bounds_in_a_step", {}, day(R"([knob.k]
sets = "step.y.set.manifold.volume"
from = "-1 L"
to = "2 L"
)"), R"(
studies/s.toml:13:8: error: manifold.volume = "-1 L" must be greater than 0 (inner volume)
   13 | from = "-1 L"
      |        ^^^^^^
)"},
    {"step_of_a_session_with_faults", {}, day(R"([step.z]
kind = "idel"
[knob.k]
sets = "step.y.lasts"
from = "1 s"
to = "2 s"
)"), R"(
studies/s.toml:12:8: error: kind = "idel" in [step.z] is none
   12 | kind = "idel"
      |        ^^^^^^ did you mean 'idle'?
)"},
};

TEST_P(BadDay, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Questions, BadDay, testing::ValuesIn(question_inputs), name_of);
INSTANTIATE_TEST_SUITE_P(Turned, BadDay, testing::ValuesIn(turned_inputs), name_of);
INSTANTIATE_TEST_SUITE_P(Knobs, BadDay, testing::ValuesIn(knob_inputs), name_of);

}  // namespace bad_inputs_predict_tests

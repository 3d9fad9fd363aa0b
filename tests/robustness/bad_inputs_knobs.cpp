#include <robustness/bad_inputs.hpp>

namespace bad_inputs_knobs_tests {

using namespace bad;

class BadKnob : public fake::Folder, public testing::WithParamInterface<Input> {};

/// What a knob turns, and its keys.
const Input knob_inputs[] = {
    {"unknown_component", {}, knob(R"(sets = "coler.rows"
from = 1
to = 4
)"), R"(
studies/s.toml:4:8: error: unknown component 'coler' in [knob.x]
    4 | sets = "coler.rows"
      |        ^^^^^^^^^^^^ did you mean 'cooler'?
)"},
    {"unknown_key", {}, knob(R"(sets = "cooler.fin_pich"
from = "1 mm"
to = "4 mm"
)"), R"(
studies/s.toml:4:8: error: unknown key 'cooler.fin_pich' in [knob.x]
    4 | sets = "cooler.fin_pich"
      |        ^^^^^^^^^^^^^^^^^ did you mean 'fin_pitch' (m, distance of fins)?
)"},
    {"unknown_key_of_choices", {}, knob(R"(sets = "cooler.finn"
choices = ["louver", "offset strip"]
)"), R"(
studies/s.toml:4:8: error: unknown key 'cooler.finn' in [knob.x]
    4 | sets = "cooler.finn"
      |        ^^^^^^^^^^^^^ did you mean 'fin' (kind of fin)?
)"},
    {"unknown_slot", {}, knob(R"(sets = "cooler.parts.cores"
choices = ["core-a"]
)"), R"(
studies/s.toml:4:8: error: cooler has no part 'cores'
    4 | sets = "cooler.parts.cores"
      |        ^^^^^^^^^^^^^^^^^^^^ did you mean 'core'?
)"},
    {"unknown_procedure_key", {}, knob(R"(sets = "procedure.setle"
from = "1 s"
to = "60 s"
)"), R"(
studies/s.toml:4:8: error: unknown key 'procedure.setle' in [knob.x]
    4 | sets = "procedure.setle"
      |        ^^^^^^^^^^^^^^^^^ did you mean 'settle' (s, time at the start speed before the pull)?
)"},
    {"unknown_common_key", {}, knob(R"(sets = "common.glycool"
from = "0 %"
to = "60 %"
)"), R"(
studies/s.toml:4:8: error: unknown key 'common.glycool' in [knob.x]: no model shares it
    4 | sets = "common.glycool"
      |        ^^^^^^^^^^^^^^^^ did you mean 'glycol' (volume fraction of glycol)?
)"},
    {"common_key_that_nothing_takes", cooler_line(R"(glycol = "30 %")"), knob(R"(sets = "common.glycol"
from = "0 %"
to = "60 %"
)"), R"(
studies/s.toml:4:8: error: common.glycol = "0 %" is used by no component of this rig
    4 | sets = "common.glycol"
      |        ^^^^^^^^^^^^^^^ every component that could take it has a value of its own
)"},
    {"path_without_key", {}, knob(R"(sets = "cooler"
from = "1 mm"
to = "4 mm"
)"), R"(
studies/s.toml:4:8: error: 'cooler' in [knob.x] is no setting
    4 | sets = "cooler"
      |        ^^^^^^^^ write "cooler.key" or "cooler.parts.slot"
)"},
    {"part_of_the_procedure", {}, knob(R"(sets = "procedure.parts.settle"
choices = ["core-a"]
)"), R"(
studies/s.toml:4:8: error: 'procedure.parts.settle' in [knob.x] is no setting
    4 | sets = "procedure.parts.settle"
      |        ^^^^^^^^^^^^^^^^^^^^^^^^ write "procedure.key"
)"},
    {"map", {}, knob(R"(sets = "blower.efficiency"
from = "1 %"
to = "4 %"
)"), R"(
studies/s.toml:4:8: error: blower.efficiency is a map (isentropic efficiency), nothing to turn
    4 | sets = "blower.efficiency"
      |        ^^^^^^^^^^^^^^^^^^^ a knob turns a part, a model, a choice or a number
)"},
    {"curve", {}, knob(R"(sets = "blower.leakage"
from = "1 g/s"
to = "4 g/s"
)"), R"(
studies/s.toml:4:8: error: blower.leakage is a curve (flow past the rotors), nothing to turn
    4 | sets = "blower.leakage"
      |        ^^^^^^^^^^^^^^^^ a knob turns a part, a model, a choice or a number
)"},
    {"connection", {}, knob(R"(sets = "cooler.from"
choices = ["duct", "manifold"]
)"), R"(
studies/s.toml:4:8: error: cooler.from is a connection (charge in), nothing to turn
    4 | sets = "cooler.from"
      |        ^^^^^^^^^^^^^ a knob turns a part, a model, a choice or a number
)"},
    {"unlike_dimensions", {}, knob(R"(sets = ["ambient.temperature", "manifold.volume"]
from = "5 degC"
to = "40 degC"
)"), R"(
studies/s.toml:4:32: error: ambient.temperature is a number in K and manifold.volume is a number in m^3
    4 | sets = ["ambient.temperature", "manifold.volume"]
      |                                ^^^^^^^^^^^^^^^^^ the paths of [knob.x] must be of one kind and dimension
)"},
    {"number_and_part", {}, knob(R"(sets = ["cooler.fin_pitch", "cooler.parts.core"]
choices = ["core-a"]
)"), R"(
studies/s.toml:4:29: error: cooler.fin_pitch is a number in m and cooler.parts.core is a part
    4 | sets = ["cooler.fin_pitch", "cooler.parts.core"]
      |                             ^^^^^^^^^^^^^^^^^^^ the paths of [knob.x] must be of one kind and dimension
)"},
    {"number_and_whole_number", {}, knob(R"(sets = ["cooler.rows", "cooler.glycol"]
from = 1
to = 4
)"), R"(
studies/s.toml:4:24: error: cooler.rows is a whole number and cooler.glycol is a number
    4 | sets = ["cooler.rows", "cooler.glycol"]
      |                        ^^^^^^^^^^^^^^^ the paths of [knob.x] must be of one kind and dimension
)"},
    {"model_and_words", {}, knob(R"(sets = ["cooler.model", "cooler.fin"]
choices = ["louver"]
)"), R"(
studies/s.toml:4:25: error: cooler.model is a model and cooler.fin is a choice of words
    4 | sets = ["cooler.model", "cooler.fin"]
      |                         ^^^^^^^^^^^^ the paths of [knob.x] must be of one kind and dimension
)"},
    {"no_sets", {}, knob(R"(from = "5 degC"
to = "40 degC"
)"), R"(
studies/s.toml:3:7: error: missing key 'sets' in [knob.x] (the path that it turns, or a list)
    3 | [knob.x]
      |       ^
)"},
    {"no_paths", {}, knob(R"(sets = []
from = "5 degC"
to = "40 degC"
)"), R"(
studies/s.toml:4:8: error: 'sets' in [knob.x] is empty
    4 | sets = []
      |        ^^
)"},
    {"no_choices", {}, knob(R"(sets = "cooler.parts.core"
choices = []
)"), R"(
studies/s.toml:5:11: error: 'choices' in [knob.x] is empty
    5 | choices = []
      |           ^^
)"},
    {"path_is_no_text", {}, knob(R"(sets = 3
from = "5 degC"
to = "40 degC"
)"), R"(
studies/s.toml:4:8: error: 'sets' in [knob.x] must hold strings, not an integer
    4 | sets = 3
      |        ^
)"},
    {"choice_is_no_text", {}, knob(R"(sets = "cooler.parts.core"
choices = ["core-a", 3]
)"), R"(
studies/s.toml:5:22: error: 'choices' in [knob.x] must hold strings, not an integer
    5 | choices = ["core-a", 3]
      |                      ^
)"},
    {"repeated_choice", {}, knob(R"(sets = "cooler.parts.core"
choices = ["core-a", "core-a"]
)"), R"(
studies/s.toml:5:22: error: "core-a" stands twice in 'choices' of [knob.x]
    5 | choices = ["core-a", "core-a"]
      |                      ^^^^^^^^
)"},
    {"repeated_path", {}, knob(R"(sets = ["cooler.rows", "cooler.rows"]
from = 1
to = 4
)"), R"(
studies/s.toml:4:24: error: "cooler.rows" stands twice in 'sets' of [knob.x]
    4 | sets = ["cooler.rows", "cooler.rows"]
      |                        ^^^^^^^^^^^^^
)"},
    {"path_of_two_knobs", {}, knob(R"(sets = "cooler.rows"
from = 1
to = 4
[knob.y]
sets = ["cooler.rows"]
from = 2
to = 3
)"), R"(
studies/s.toml:8:9: error: cooler.rows is set by two knobs: 'x' and 'y'
    8 | sets = ["cooler.rows"]
      |         ^^^^^^^^^^^^^
studies/s.toml:4:8: note: the other one
    4 | sets = "cooler.rows"
      |        ^^^^^^^^^^^^^
)"},
    {"unknown_knob_key", {}, knob(R"(sets = "cooler.rows"
form = 1
to = 4
)"), R"(
studies/s.toml:3:7: error: missing key 'from' in [knob.x] (least value)
    3 | [knob.x]
      |       ^
studies/s.toml:5:1: error: unknown key 'form' in [knob.x]
    5 | form = 1
      | ^^^^ did you mean 'from'?
)"},
    {"knob_is_no_table", {}, study(R"([variant.a]
[knob]
x = 3
)"), R"(
studies/s.toml:4:5: error: knob 'x' must be a table, not an integer
    4 | x = 3
      |     ^ write [knob.x]
)"},
    {"knobs_are_no_table", {}, study(R"(knob = 3
[variant.a]
)"), R"(
studies/s.toml:2:8: error: 'knob' in a study file must be a table, not an integer
    2 | knob = 3
      |        ^
)"},
    {"every_mistake_at_once", {}, study(R"([variant.a.set]
"cooler.rows" = 50
[knob.x]
sets = "cooler.fin_pich"
from = "1 mm"
to = "4 mm"
[knob.y]
sets = "cooler.parts.core"
choices = ["core-x"]
)"), R"(
studies/s.toml:3:17: error: cooler.rows = 50 must lie within 1 .. 20 (rows of tubes)
    3 | "cooler.rows" = 50
      |                 ^^
studies/s.toml:5:8: error: unknown key 'cooler.fin_pich' in [knob.x]
    5 | sets = "cooler.fin_pich"
      |        ^^^^^^^^^^^^^^^^^ did you mean 'fin_pitch' (m, distance of fins)?
studies/s.toml:10:12: error: no part 'core-x' below parts
   10 | choices = ["core-x"]
      |            ^^^^^^^^ did you mean 'core-a'?
)"},
};

TEST_P(BadKnob, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadKnob, testing::ValuesIn(knob_inputs), name_of);

}  // namespace bad_inputs_knobs_tests

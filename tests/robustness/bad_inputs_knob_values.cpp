#include <robustness/bad_inputs.hpp>

namespace bad_inputs_knob_values_tests {

using namespace bad;

class BadKnobValue : public fake::Folder, public testing::WithParamInterface<Input> {};

Files with(Files files, const Files& more) {
    for (const auto& [path, text] : more) files[path] = text;
    return files;
}
const Files core_b{{"parts/core-b.toml", "name = \"Core B\"\n[set]\nwidth = \"-400 mm\"\n"}};
const Files pump{{"parts/pump.toml", "name = \"Pump\"\nrole = \"pump\"\n[set]\nwidth = \"300 mm\"\n"}};

/// Choices, ranges and steps.
const Input value_inputs[] = {
    {"unknown_part", {}, knob(R"(sets = "cooler.parts.core"
choices = ["core-a", "core-x"]
)"), R"(
studies/s.toml:5:22: error: no part 'core-x' below parts
    5 | choices = ["core-a", "core-x"]
      |                      ^^^^^^^^ did you mean 'core-a'?
)"},
    {"part_that_does_not_bind", {}, with(core_b, knob(R"(sets = "cooler.parts.core"
choices = ["core-a", "core-b"]
)")), R"(
parts/core-b.toml:3:9: error: cooler.width = "-400 mm" must be greater than 0 (core width)
    3 | width = "-400 mm"
      |         ^^^^^^^^^
studies/s.toml:5:22: note: with this value of [knob.x]
    5 | choices = ["core-a", "core-b"]
      |                      ^^^^^^^^
)"},
    {"part_of_another_role", {}, with(pump, knob(R"(sets = "cooler.parts.core"
choices = ["core-a", "pump"]
)")), R"(
studies/s.toml:5:22: error: part 'Pump' has the role 'pump', cooler (cooler.finned) has the role 'cooler'
    5 | choices = ["core-a", "pump"]
      |                      ^^^^^^
parts/pump.toml:2:8: note: the role is set here
    2 | role = "pump"
      |        ^^^^^^
)"},
    {"unknown_model", {}, knob(R"(sets = "cooler.model"
choices = ["cooler.finned", "cooler.fined"]
)"), R"(
studies/s.toml:5:29: error: cooler.model = "cooler.fined" is no model
    5 | choices = ["cooler.finned", "cooler.fined"]
      |                             ^^^^^^^^^^^^^^ did you mean 'cooler.finned'?
)"},
    {"model_of_another_role", {}, knob(R"(sets = "cooler.model"
choices = ["cooler.finned", "blower.map"]
)"), R"(
studies/s.toml:5:29: error: cooler.model = "blower.map" has the role 'blower', and a swap keeps the role 'cooler'
    5 | choices = ["cooler.finned", "blower.map"]
      |                             ^^^^^^^^^^^^ one of: cooler.duct, cooler.finned
)"},
    {"unknown_word", {}, knob(R"(sets = "cooler.fin"
choices = ["louver", "offset-strip"]
)"), R"(
studies/s.toml:5:22: error: cooler.fin = "offset-strip" must be one of "louver", "offset strip" (kind of fin)
    5 | choices = ["louver", "offset-strip"]
      |                      ^^^^^^^^^^^^^^ did you mean "offset strip"?
)"},
    {"choices_and_range", {}, knob(R"(sets = "cooler.fin_pitch"
choices = ["1 mm"]
from = "1 mm"
to = "4 mm"
)"), R"(
studies/s.toml:6:1: error: [knob.x] has both choices and a range
    6 | from = "1 mm"
      | ^^^^ choices for parts, models and words; from and to for numbers
)"},
    {"neither", {}, knob(R"(sets = "cooler.fin_pitch"
)"), R"(
studies/s.toml:3:7: error: [knob.x] has neither choices nor a range
    3 | [knob.x]
      |       ^ choices for parts, models and words; from and to for numbers
)"},
    {"choices_of_a_number", {}, knob(R"(sets = "cooler.fin_pitch"
choices = ["1 mm", "2 mm"]
)"), R"(
studies/s.toml:5:1: error: choices of [knob.x]: cooler.fin_pitch is a number in m
    5 | choices = ["1 mm", "2 mm"]
      | ^^^^^^^ choices for parts, models and words; from and to for numbers
)"},
    {"range_of_a_part", {}, knob(R"(sets = "cooler.parts.core"
from = "1 mm"
to = "2 mm"
)"), R"(
studies/s.toml:5:1: error: range of [knob.x]: cooler.parts.core is a part
    5 | from = "1 mm"
      | ^^^^ choices for parts, models and words; from and to for numbers
)"},
    {"no_from", {}, knob(R"(sets = "cooler.fin_pitch"
to = "2 mm"
)"), R"(
studies/s.toml:3:7: error: missing key 'from' in [knob.x] (least value)
    3 | [knob.x]
      |       ^
)"},
    {"no_to", {}, knob(R"(sets = "cooler.fin_pitch"
from = "2 mm"
)"), R"(
studies/s.toml:3:7: error: missing key 'to' in [knob.x] (largest value)
    3 | [knob.x]
      |       ^
)"},
    {"ends_swapped", {}, knob(R"(sets = "ambient.temperature"
from = "40 degC"
to = "5 degC"
)"), R"(
studies/s.toml:6:6: error: to = "5 degC" in [knob.x] must be above from = "40 degC"
    6 | to = "5 degC"
      |      ^^^^^^^^
)"},
    {"ends_equal", {}, knob(R"(sets = "cooler.rows"
from = 3
to = 3
)"), R"(
studies/s.toml:6:6: error: to = 3 in [knob.x] must be above from = 3
    6 | to = 3
      |      ^
)"},
    {"step_of_zero", {}, knob(R"(sets = "ambient.temperature"
from = "5 degC"
to = "40 degC"
step = "0 K"
)"), R"(
studies/s.toml:7:8: error: knob.x.step = "0 K" must be greater than 0 and at most 35 K (step of the knob)
    7 | step = "0 K"
      |        ^^^^^
)"},
    {"step_too_large", {}, knob(R"(sets = "manifold.volume"
from = "2 L"
to = "4 L"
step = "3 L"
)"), R"(
studies/s.toml:7:8: error: knob.x.step = "3 L" must be greater than 0 and at most 2 L (step of the knob)
    7 | step = "3 L"
      |        ^^^^^
)"},
    {"step_of_another_kind", {}, knob(R"(sets = "ambient.temperature"
from = "5 degC"
to = "40 degC"
step = "1 s"
)"), R"(
studies/s.toml:7:11: error: knob.x.step = "1 s": '1 s' is a time, 'step' wants a temperature difference (K)
    7 | step = "1 s"
      |           ^ for example "1 K"
)"},
    {"step_of_part_of_a_row", {}, knob(R"(sets = "cooler.rows"
from = 1
to = 4
step = 0.5
)"), R"(
studies/s.toml:7:8: error: knob.x.step = 0.5 must be an integer, not a decimal number (integer, step of the knob)
    7 | step = 0.5
      |        ^^^
)"},
    {"beyond_the_bounds", {}, knob(R"(sets = "ambient.temperature"
from = "-60 degC"
to = "70 degC"
)"), R"(
studies/s.toml:5:8: error: ambient.temperature = "-60 degC" must lie within -53.15 .. 66.85 degC (air temperature)
    5 | from = "-60 degC"
      |        ^^^^^^^^^^
studies/s.toml:6:6: error: ambient.temperature = "70 degC" must lie within -53.15 .. 66.85 degC (air temperature)
    6 | to = "70 degC"
      |      ^^^^^^^^^
)"},
    {"beyond_the_bounds_of_the_second_path", {}, knob(R"(sets = ["manifold.start_temperature", "ambient.temperature"]
from = "5 degC"
to = "200 degC"
)"), R"(
studies/s.toml:6:6: error: ambient.temperature = "200 degC" must lie within -53.15 .. 66.85 degC (air temperature)
    6 | to = "200 degC"
      |      ^^^^^^^^^^
)"},
    {"wrong_unit", {}, knob(R"(sets = "ambient.temperature"
from = "5 kg"
to = 40
)"), R"(
studies/s.toml:5:11: error: ambient.temperature = "5 kg": '5 kg' is a mass, 'temperature' wants a temperature (K)
    5 | from = "5 kg"
      |           ^^ for example "5 degC"
studies/s.toml:6:6: error: ambient.temperature = 40 has no unit (K, air temperature)
    6 | to = 40
      |      ^^ give a unit, for example "40 degC"
)"},
};

TEST_P(BadKnobValue, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadKnobValue, testing::ValuesIn(value_inputs), name_of);

}  // namespace bad_inputs_knob_values_tests

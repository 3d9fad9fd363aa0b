#include <robustness/bad_inputs.hpp>

namespace bad_inputs_studies_tests {

using namespace bad;

class BadStudy : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Studies and their changes.
const Input study_inputs[] = {
    {"unknown_component",
     {},
     study(R"([variant.a.set]
"coler.model" = "cooler.duct"
)"),
     R"(
studies/s.toml:3:1: error: unknown component 'coler' in [variant.a.set]
    3 | "coler.model" = "cooler.duct"
      | ^^^^^^^^^^^^^ did you mean 'cooler'?
)"},
    {"unknown_key",
     {},
     study(R"([variant.a.set]
"cooler.widht" = "310 mm"
)"),
     R"(
studies/s.toml:3:1: error: unknown key 'cooler.widht' in [variant.a.set]
    3 | "cooler.widht" = "310 mm"
      | ^^^^^^^^^^^^^^ did you mean 'width' (m, core width)?
)"},
    {"unknown_key_in_a_nested_table",
     {},
     study(R"([variant.a.set.manifold]
volum = "5 L"
)"),
     R"(
studies/s.toml:3:1: error: unknown key 'manifold.volum' in [variant.a.set]
    3 | volum = "5 L"
      | ^^^^^ did you mean 'volume' (m^3, inner volume)?
)"},
    {"wrong_kind_of_value",
     {},
     study(R"([variant.a.set]
"cooler.rows" = 2.5
)"),
     R"(
studies/s.toml:3:17: error: cooler.rows = 2.5 must be an integer, not a decimal number (integer, rows of tubes)
    3 | "cooler.rows" = 2.5
      |                 ^^^
)"},
    {"told_once_for_all_variants",
     {},
     study(R"([conditions]
"ambient.temperature" = "31 m"
[variant.a]
[variant.b]
)"),
     R"(
studies/s.toml:3:29: error: ambient.temperature = "31 m": '31 m' is a length, 'temperature' wants a temperature (K)
    3 | "ambient.temperature" = "31 m"
      |                             ^ for example "31 degC"
)"},
    {"path_without_key",
     {},
     study(R"([variant.a.set]
cooler = "cooler.duct"
)"),
     R"(
studies/s.toml:3:1: error: 'cooler' in [variant.a.set] is no setting
    3 | cooler = "cooler.duct"
      | ^^^^^^ write "cooler.key" or "cooler.parts.slot"
)"},
    {"path_too_long",
     {},
     study(R"([variant.a.set]
"cooler.parts.core.width" = "310 mm"
)"),
     R"(
studies/s.toml:3:1: error: 'cooler.parts.core.width' in [variant.a.set] is no setting
    3 | "cooler.parts.core.width" = "310 mm"
      | ^^^^^^^^^^^^^^^^^^^^^^^^^ write "cooler.key" or "cooler.parts.slot"
)"},
    {"misspelt_slot",
     {},
     study(R"([variant.a.set]
"cooler.parts.cores" = "core-a"
)"),
     R"(
studies/s.toml:3:1: error: cooler has no part 'cores'
    3 | "cooler.parts.cores" = "core-a"
      | ^^^^^^^^^^^^^^^^^^^^ did you mean 'core'?
)"},
    {"unknown_part",
     {},
     study(R"([variant.a.set]
"cooler.parts.core" = "core-x"
)"),
     R"(
studies/s.toml:3:23: error: no part 'core-x' below parts
    3 | "cooler.parts.core" = "core-x"
      |                       ^^^^^^^^ did you mean 'core-a'?
)"},
    {"model_of_another_role",
     {},
     study(R"([variant.a.set]
"cooler.model" = "blower.map"
)"),
     R"(
studies/s.toml:3:18: error: cooler.model = "blower.map" has the role 'blower', and a swap keeps the role 'cooler'
    3 | "cooler.model" = "blower.map"
      |                  ^^^^^^^^^^^^ one of: cooler.duct, cooler.finned
)"},
    {"left_over_parameter", cooler_line("rows = 3"), study(R"([variant.a.set]
"cooler.model" = "cooler.duct"
)"),
     R"(
rigs/demo.toml:26:1: error: unknown key 'rows' in [component.cooler]
   26 | rows = 3
      | ^^^^ cooler.finned has it and cooler.duct has not; move it into a part, which may serve both
studies/s.toml:3:18: note: the model is set here
    3 | "cooler.model" = "cooler.duct"
      |                  ^^^^^^^^^^^^^
)"},
    {"unused_common",
     {},
     study(R"([variant.a.set]
"cooler.model" = "cooler.duct"
"common.glycol" = "40 %"
)"),
     R"(
studies/s.toml:4:1: error: common.glycol = "40 %" is used by no component of this rig
    4 | "common.glycol" = "40 %"
      | ^^^^^^^^^^^^^^^
)"},
    {"overridden_common", cooler_line(R"(glycol = "30 %")"), study(R"([variant.a.set]
"common.glycol" = "40 %"
)"),
     R"(
studies/s.toml:3:1: error: common.glycol = "40 %" is used by no component of this rig
    3 | "common.glycol" = "40 %"
      | ^^^^^^^^^^^^^^^ every component that could take it has a value of its own
)"},
    {"unknown_common",
     {},
     study(R"([variant.a.set]
"common.glycool" = "40 %"
)"),
     R"(
studies/s.toml:3:1: error: unknown key 'common.glycool' in [variant.a.set]: no model shares it
    3 | "common.glycool" = "40 %"
      | ^^^^^^^^^^^^^^^^ did you mean 'glycol' (volume fraction of glycol)?
)"},
    {"no_variants", {}, study(""), R"(
studies/s.toml: error: no variants
      a study needs at least one [variant.NAME]
)"},
    {"no_rig",
     {},
     {{"studies/s.toml", R"([variant.a]
)"}},
     R"(
studies/s.toml: error: missing key 'rig' in a study file (path of the rig file)
)"},
    {"rig_is_missing",
     {},
     {{"studies/s.toml", R"(rig = "../rigs/v8.toml"
[variant.a]
)"}},
     R"(
studies/s.toml:1:7: error: no such file: rigs/v8.toml
    1 | rig = "../rigs/v8.toml"
      |       ^^^^^^^^^^^^^^^^^
)"},
    {"unknown_base",
     {},
     study(R"(base = "as_is"
[variant.as-is]
[variant.small]
)"),
     R"(
studies/s.toml:2:8: error: base = "as_is" names no variant
    2 | base = "as_is"
      |        ^^^^^^^ did you mean 'as-is'?
)"},
    {"unknown_study_key",
     {},
     study(R"(questions = "same pulley"
[variant.a]
)"),
     R"(
studies/s.toml:2:1: error: unknown key 'questions' in a study file
    2 | questions = "same pulley"
      | ^^^^^^^^^ did you mean 'question'?
)"},
    {"unknown_variant_key",
     {},
     study(R"([variant.a]
titel = "small"
)"),
     R"(
studies/s.toml:3:1: error: unknown key 'titel' in [variant.a]
    3 | titel = "small"
      | ^^^^^ did you mean 'title'?
)"},
    {"variant_is_no_table",
     {},
     study(R"(variant.a = 3
)"),
     R"(
studies/s.toml:2:13: error: variant 'a' must be a table, not an integer
    2 | variant.a = 3
      |             ^ write [variant.a]
)"},
    {"set_is_no_table",
     {},
     study(R"([variant.a]
set = 3
)"),
     R"(
studies/s.toml:3:7: error: 'set' in [variant.a] must be a table, not an integer
    3 | set = 3
      |       ^
)"},
    {"unknown_procedure_key",
     {},
     study(R"([procedure]
stop_sped = "6000 rpm"
[variant.a]
)"),
     R"(
studies/s.toml:3:1: error: unknown key 'stop_sped' in [procedure]
    3 | stop_sped = "6000 rpm"
      | ^^^^^^^^^ did you mean 'stop_speed' (rad/s, crank speed that ends the pull)?
)"},
    {"bad_procedure_value",
     {},
     study(R"([procedure]
output_step = "0 s"
tolerance = 0.1
[variant.a]
)"),
     R"(
studies/s.toml:3:15: error: procedure.output_step = "0 s" must lie within 1e-05 .. 60 s (time between output rows)
    3 | output_step = "0 s"
      |               ^^^^^
studies/s.toml:4:13: error: procedure.tolerance = 0.1 must lie within 1e-10 .. 0.001 (relative tolerance of the solution)
    4 | tolerance = 0.1
      |             ^^^
)"},
};

TEST_P(BadStudy, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadStudy, testing::ValuesIn(study_inputs), name_of);

}  // namespace bad_inputs_studies_tests

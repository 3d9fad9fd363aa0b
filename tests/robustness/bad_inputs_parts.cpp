#include <robustness/bad_inputs.hpp>

namespace bad_inputs_parts_tests {

using namespace bad;

class BadPart : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Parts.
const Input part_inputs[] = {
    {"unknown_part", {{R"(core = "core-a")", R"(core = "core-b")"}}, {}, R"(
rigs/demo.toml:23:18: error: no part 'core-b' below parts
   23 | parts = { core = "core-b" }
      |                  ^^^^^^^^ did you mean 'core-a'?
)"},
    {"two_of_one_name", {}, {{"parts/more/core-a.toml", R"(name = "Another"
)"}}, R"(
rigs/demo.toml:23:18: error: 2 parts are named 'core-a'
   23 | parts = { core = "core-a" }
      |                  ^^^^^^^^ write the path instead; they are parts/core-a.toml and parts/more/core-a.toml
)"},
    {"path_leads_nowhere", {{R"(core = "core-a")", R"(core = "../parts/cores/a.toml")"}}, {}, R"(
rigs/demo.toml:23:18: error: no such file: parts/cores/a.toml
   23 | parts = { core = "../parts/cores/a.toml" }
      |                  ^^^^^^^^^^^^^^^^^^^^^^^
)"},
    {"no_string", {{R"(core = "core-a")", "core = 3"}}, {}, R"(
rigs/demo.toml:23:18: error: part 'core' must be a string, not an integer
   23 | parts = { core = 3 }
      |                  ^ the name of a part, or the path of its file
)"},
    {"parts_is_no_table", {{R"(parts = { core = "core-a" })", R"(parts = "core-a")"}}, {}, R"(
rigs/demo.toml:23:9: error: 'parts' in [component.cooler] must be a table, not a string
   23 | parts = "core-a"
      |         ^^^^^^^^ write parts = { slot = "part's name" }
)"},
    {"no_name", {}, core(R"([set]
width = "300 mm"
)"), R"(
parts/core-a.toml: error: missing key 'name' in a part file (what it is called in reports)
)"},
    {"bad_price", {}, core(R"(name = "Core A"
price = "420"
[set]
width = "300 mm"
)"), R"(
parts/core-a.toml:2:9: error: "420" is not a price
    2 | price = "420"
      |         ^^^^^ an amount in EUR, USD or GBP, such as "420 EUR"
)"},
    {"unknown_key", {}, core(R"(name = "Core A"
[set]
width = "300 mm"
fin_pich = "2 mm"
)"), R"(
parts/core-a.toml:4:1: error: unknown key 'fin_pich' in [set]
    4 | fin_pich = "2 mm"
      | ^^^^^^^^ did you mean 'fin_pitch' (m, distance of fins)?
)"},
    {"negative_size", {}, core(R"(name = "Core A"
[set]
width = "-300 mm"
)"), R"(
parts/core-a.toml:3:9: error: cooler.width = "-300 mm" must be greater than 0 (core width)
    3 | width = "-300 mm"
      |         ^^^^^^^^^
)"},
    {"key_outside_set", {}, core(R"(name = "Core A"
width = "300 mm"
)"), R"(
parts/core-a.toml:2:1: error: unknown key 'width' in a part file
    2 | width = "300 mm"
      | ^^^^^ parameters stand below [set]
rigs/demo.toml:21:12: error: missing key 'width' in [component.cooler] (m, core width)
   21 | [component.cooler]
      |            ^^^^^^
)"},
    {"another_role", {}, core(R"(name = "Core A"
role = "pump"
[set]
width = "300 mm"
)"), R"(
rigs/demo.toml:23:18: error: part 'Core A' has the role 'pump', cooler (cooler.finned) has the role 'cooler'
   23 | parts = { core = "core-a" }
      |                  ^^^^^^^^
parts/core-a.toml:2:8: note: the role is set here
    2 | role = "pump"
      |        ^^^^^^
)"},
    {"conflict", {{R"(core = "core-a")", R"(core = "core-a", face = "face")"}}, {{"parts/face.toml", R"(name = "Face"
[set]
width = "310 mm"
)"}}, R"(
parts/face.toml:3:1: error: cooler.width is set by two parts: 'Core A' (core) and 'Face' (face)
    3 | width = "310 mm"
      | ^^^^^ set cooler.width itself to settle it, or remove a part
parts/core-a.toml:6:1: note: the other one
    6 | width = "300 mm"
      | ^^^^^
)"},
    {"conflicting_models", {{R"(model = "cooler.finned"
)", ""}, {R"(core = "core-a")", R"(core = "core-b", duct = "duct")"}}, {{"parts/core-b.toml", R"(name = "Core B"
model = "cooler.finned"
[set]
width = "310 mm"
)"}, {"parts/duct.toml", R"(name = "Duct"
model = "cooler.duct"
)"}}, R"(
parts/duct.toml:2:1: error: cooler.model is set by two parts: 'Core B' (core) and 'Duct' (duct)
    2 | model = "cooler.duct"
      | ^^^^^ set cooler.model itself to settle it, or remove a part
parts/core-b.toml:2:1: note: the other one
    2 | model = "cooler.finned"
      | ^^^^^
)"},
};

TEST_P(BadPart, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadPart, testing::ValuesIn(part_inputs), name_of);

}  // namespace bad_inputs_parts_tests

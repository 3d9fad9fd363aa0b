#include <robustness/bad_inputs.hpp>

namespace bad_inputs_wiring_tests {

using namespace bad;

class BadWiring : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Components and connections.
const Input wiring_inputs[] = {
    {"unknown_component_in_connection", {{R"(to = "manifold.gas")", R"(to = "manifld.gas")"}}, {}, R"(
rigs/demo.toml:25:6: error: cooler.to = "manifld.gas" names no component of this rig: 'manifld'
   25 | to = "manifld.gas"
      |      ^^^^^^^^^^^^^ did you mean 'manifold'?
)"},
    {"unknown_node", {{R"(to = "manifold.gas")", R"(to = "manifold.gass")"}}, {}, R"(
rigs/demo.toml:25:6: error: cooler.to = "manifold.gass" names no node of manifold (gas.volume)
   25 | to = "manifold.gass"
      |      ^^^^^^^^^^^^^^^ did you mean 'manifold.gas'?
)"},
    {"wrong_domain", {{R"(to = "manifold.gas")", R"(to = "manifold.wall")"}}, {}, R"(
rigs/demo.toml:25:6: error: cooler.to = "manifold.wall" is a heat node, not a gas node (charge out)
   25 | to = "manifold.wall"
      |      ^^^^^^^^^^^^^^^ 'manifold' has manifold.gas
)"},
    {"bare_component_without_such_node", {{R"(to = "manifold.gas")", R"(to = "blower")"}}, {}, R"(
rigs/demo.toml:25:6: error: cooler.to = "blower" has no gas node (charge out)
   25 | to = "blower"
      |      ^^^^^^^^ 'blower' is a blower.map
)"},
    {"missing_connection",
     {{R"(to = "manifold.gas"
)",
       ""}},
     {},
     R"(
rigs/demo.toml:21:12: error: missing connection 'to' in [component.cooler] (to a gas node, charge out)
   21 | [component.cooler]
      |            ^^^^^^ to = "component.node"
)"},
    {"connection_is_no_string", {{R"(to = "manifold.gas")", "to = 3"}}, {}, R"(
rigs/demo.toml:25:6: error: cooler.to = 3 must be a string, not an integer
   25 | to = 3
      |      ^ the name of a gas node: "component.node"
)"},
    {"unknown_model", {{R"(model = "cooler.finned")", R"(model = "cooler.fined")"}}, {}, R"(
rigs/demo.toml:22:9: error: cooler.model = "cooler.fined" is no model
   22 | model = "cooler.fined"
      |         ^^^^^^^^^^^^^^ did you mean 'cooler.finned'?
)"},
    {"missing_model",
     {{R"(model = "gas.ambient"
)",
       ""}},
     {},
     R"(
rigs/demo.toml:5:12: error: missing key 'model' in [component.ambient]
    5 | [component.ambient]
      |            ^^^^^^^ model = "family.type", or a part that names one
)"},
    {"model_is_no_string", {{R"(model = "gas.ambient")", "model = 1"}}, {}, R"(
rigs/demo.toml:6:9: error: ambient.model = 1 is no model
    6 | model = 1
      |         ^
)"},
    {"component_is_no_table",
     {{"[common]", R"(component.extra = 3
[common])"}},
     {},
     R"(
rigs/demo.toml:2:19: error: component 'extra' must be a table, not an integer
    2 | component.extra = 3
      |                   ^ write [component.extra]
)"},
    {"bad_component_name",
     {{"[component.duct]", R"([component."main duct"])"},
      {R"(from = "duct")", R"(from = "ambient")"},
      {R"(to = "duct.gas")", R"(to = "manifold")"}},
     {},
     R"(
rigs/demo.toml:7:12: error: 'main duct' cannot be a component's name
    7 | [component."main duct"]
      |            ^^^^^^^^^^^ use letters, digits, '_' and '-'
)"},
    {"reserved_component_name",
     cooler_line(R"(surroundings = "ambient"
[component.common]
model = "gas.ambient")"),
     {},
     R"(
rigs/demo.toml:27:12: error: 'common' cannot be a component's name
   27 | [component.common]
      |            ^^^^^^ [common] is the table of shared values
)"},
    {"unknown_top_level_key", {{R"(title = "Demo rig")", R"(titel = "Demo rig")"}}, {}, R"(
rigs/demo.toml:1:1: error: unknown key 'titel' in a rig file
    1 | titel = "Demo rig"
      | ^^^^^ did you mean 'title'?
)"},
    {"title_is_no_string", {{R"(title = "Demo rig")", "title = 3"}}, {}, R"(
rigs/demo.toml:1:9: error: 'title' in a rig file must be a string, not an integer
    1 | title = 3
      |         ^
)"},
};

TEST_P(BadWiring, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadWiring, testing::ValuesIn(wiring_inputs), name_of);

class BadFile : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Files, TOML itself, and `extends`.
const Input file_inputs[] = {
    {"no_components",
     {},
     {{"rigs/demo.toml", R"(title = "empty"
)"}},
     R"(
rigs/demo.toml: error: no components
      a rig needs at least one [component.NAME] with model = "family.type"
)"},
    {"no_such_file",
     {},
     {},
     R"(
rigs/nowhere.toml: error: no such file
)",
     "rigs/nowhere.toml"},
    {"folder_for_a_file",
     {},
     {},
     R"(
rigs: error: is a folder, not a file
)",
     "rigs"},
    {"not_toml", {{"[component.duct]", "[component.duct"}}, {}, R"(
rigs/demo.toml:7:16: error: not valid TOML: expected ']', saw '\n'
    7 | [component.duct
      |                ^
)"},
    {"unfinished_string", volume_line(R"(volume = "3 L)"), {}, R"(
rigs/demo.toml:12:10: error: this quote is not closed
   12 | volume = "3 L
      |          ^
)"},
    {"key_too_deep",
     {},
     {{"rigs/demo.toml", R"(a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q.r = 1
)"}},
     R"(
rigs/demo.toml:1:32: error: more than 15 dots in a line
    1 | a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q.r = 1
      |                                ^
)"},
    {"brackets_too_deep",
     {},
     {{"rigs/demo.toml", R"(a = [[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]
)"}},
     R"(
rigs/demo.toml:1:21: error: brackets nested deeper than 16
    1 | a = [[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]
      |                     ^
)"},
    {"cyclic_extends",
     {{"[common]", R"(extends = "b.toml"
[common])"}},
     {{"rigs/b.toml", R"(extends = "c.toml"
)"},
      {"rigs/c.toml", R"(extends = "demo.toml"
)"}},
     R"(
rigs/c.toml:1:11: error: rigs extend each other in a circle: rigs/demo.toml -> rigs/b.toml -> rigs/c.toml -> rigs/demo.toml
    1 | extends = "demo.toml"
      |           ^^^^^^^^^^^ remove one 'extends'
)"},
    {"extends_nothing",
     {{"[common]", R"(extends = "base.toml"
[common])"}},
     {},
     R"(
rigs/demo.toml:2:11: error: no such file: rigs/base.toml
    2 | extends = "base.toml"
      |           ^^^^^^^^^^^
)"},
    {"error_in_extended_file",
     {{"[common]", R"(extends = "base.toml"
[common])"}},
     {{"rigs/base.toml", R"([component.manifold]
note = "of the base"
start_temperature = "3 km"
)"}},
     R"(
rigs/base.toml:3:24: error: manifold.start_temperature = "3 km": '3 km' is a length, 'start_temperature' wants a temperature (K)
    3 | start_temperature = "3 km"
      |                        ^^ for example "3 degC"
)"},
};

TEST_P(BadFile, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadFile, testing::ValuesIn(file_inputs), name_of);

}  // namespace bad_inputs_wiring_tests

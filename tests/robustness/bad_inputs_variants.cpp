#include <robustness/bad_inputs.hpp>

namespace bad_inputs_variants_tests {

using namespace bad;

/// What a variant is like, and what it changes of the procedure.
const Input variant_inputs[] = {
    {"like_unknown", {}, study(R"([variant.small]
[variant.a]
like = "smal"
)"), R"(
studies/s.toml:4:8: error: like = "smal" names no variant
    4 | like = "smal"
      |        ^^^^^^ did you mean 'small'?
)"},
    {"like_itself", {}, study(R"([variant.a]
like = "a"
)"), R"(
studies/s.toml:3:8: error: variant 'a' is like itself
    3 | like = "a"
      |        ^^^ name another variant, or leave 'like' out
)"},
    {"like_in_a_circle", {}, study(R"([variant.base]
[variant.a]
like = "b"
[variant.b]
like = "c"
[variant.c]
like = "b"
[variant.d]
like = "a"
)"), R"(
studies/s.toml:8:8: error: variants are like each other in a circle: b -> c -> b
    8 | like = "b"
      |        ^^^ remove one 'like'
)"},
    {"like_is_no_text", {}, study(R"([variant.a]
like = 3
)"), R"(
studies/s.toml:3:8: error: 'like' in [variant.a] must be a string, not an integer
    3 | like = 3
      |        ^
)"},
    {"like_one_with_a_mistake", {}, study(R"([variant.a]
like = "b"
[variant.b.set]
"cooler.rows" = 50
)"), R"(
studies/s.toml:5:17: error: cooler.rows = 50 must lie within 1 .. 20 (rows of tubes)
    5 | "cooler.rows" = 50
      |                 ^^
)"},
    {"procedure_key", {}, study(R"([conditions]
"procedure.setle" = "2 s"
[variant.a]
[variant.b.set]
"procedure.tolerance" = 1
)"), R"(
studies/s.toml:3:1: error: unknown key 'procedure.setle' in [conditions]
    3 | "procedure.setle" = "2 s"
      | ^^^^^^^^^^^^^^^^^ did you mean 'settle' (s, time at the start speed before the pull)?
studies/s.toml:6:25: error: procedure.tolerance = 1 must lie within 1e-10 .. 0.001 (relative tolerance of the solution)
    6 | "procedure.tolerance" = 1
      |                         ^
)"},
    {"procedure_alone", {}, study(R"([variant.a.set]
procedure = "2 s"
)"), R"(
studies/s.toml:3:1: error: 'procedure' in [variant.a.set] is no setting
    3 | procedure = "2 s"
      | ^^^^^^^^^ write "procedure.key"
)"},
    {"procedure_with_too_many_rows", {}, study(R"([variant.a.set]
"procedure.longest" = "10 h"
"procedure.output_step" = "10 us"
)"), R"(
studies/s.toml:4:1: error: 3.6e+09 output rows in 36000 s; at most 1e+06
    4 | "procedure.output_step" = "10 us"
      | ^^^^^^^^^^^^^^^^^^^^^^^ a larger output_step, or a smaller longest
)"},
    {"component_named_procedure", cooler_line(R"([component.procedure]
model = "gas.volume"
volume = "1 L")"), {}, R"(
rigs/demo.toml:26:12: error: 'procedure' cannot be a component's name
   26 | [component.procedure]
      |            ^^^^^^^^^ [procedure] is the table of how a pull is run
)"},
};

class BadVariant : public fake::Folder, public testing::WithParamInterface<Input> {};
TEST_P(BadVariant, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadVariant, testing::ValuesIn(variant_inputs), name_of);

}  // namespace bad_inputs_variants_tests

#include <robustness/bad_sweeps.hpp>

namespace bad_inputs_wishes_tests {

using namespace bad;

class BadWish : public fake::Folder, public testing::WithParamInterface<Input> {};

/// What is wished for.
const Input wish_inputs[] = {
    {"wish_without_figure", {}, sweep(R"([wish.x]
prefer = "more"
)"), R"(
studies/s.toml:21:1: error: missing key 'figure' in [wish.x] (key of a figure, or "price")
   21 | [wish.x]
      | ^^^^^^^^
)"},
    {"wish_unknown_key", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "more"
at_last = "3 kW"
)"), R"(
studies/s.toml:24:1: error: unknown key 'at_last' in [wish.x]
   24 | at_last = "3 kW"
      | ^^^^^^^ did you mean 'at_least'?
)"},
    {"wish_unknown_figure", {}, sweep(R"([wish.x]
figure = "crank_powr"
prefer = "more"
)"), R"(
studies/s.toml:22:10: error: no figure "crank_powr"
   22 | figure = "crank_powr"
      |          ^^^^^^^^^^^^ did you mean 'crank_power'?
)"},
    {"wish_for_nothing", {}, sweep(R"([wish.x]
figure = "crank_power"
)"), R"(
studies/s.toml:21:7: error: [wish.x] wishes nothing
   21 | [wish.x]
      |       ^ at_least, at_most or prefer
)"},
    {"wish_for_both", {}, sweep(R"([wish.x]
figure = "crank_power"
at_least = "3 kW"
at_most = "9 kW"
)"), R"(
studies/s.toml:24:1: error: [wish.x] has both at_least and at_most
   24 | at_most = "9 kW"
      | ^^^^^^^ write two wishes
)"},
    {"limit_of_another_dimension", {}, sweep(R"([wish.x]
figure = "crank_power"
at_least = "3 degC"
)"), R"(
studies/s.toml:23:12: error: at_least = "3 degC" in [wish.x]: '3 degC' is a temperature, wanted is a power (W)
   23 | at_least = "3 degC"
      |            ^^^^^^^^ for example "3 kW"
)"},
    {"limit_without_unit", {}, sweep(R"([wish.x]
figure = "crank_power"
at_most = 300
)"), R"(
studies/s.toml:23:11: error: at_most in [wish.x] must be a text with a unit, not an integer
   23 | at_most = 300
      |           ^^^
)"},
    {"limit_that_is_no_number", {}, sweep(R"([wish.x]
figure = "pressure_ratio"
at_most = "nan"
)"), R"(
studies/s.toml:23:11: error: at_most = "nan" in [wish.x]: 'nan' is not a finite number
   23 | at_most = "nan"
      |           ^^^^^ give a number without a unit, or a percentage
)"},
    {"price_that_is_none", {}, sweep(R"([wish.x]
figure = "price"
at_most = "900 kW"
)"), R"(
studies/s.toml:23:11: error: at_most = "900 kW" in [wish.x] is no price
   23 | at_most = "900 kW"
      |           ^^^^^^^^ "900 EUR"
)"},
    {"price_with_conditions", {}, sweep(R"([meet.fin]
[wish.x]
figure = "price"
at_most = "900 EUR"
pull = 2
confidence = "90 %"
on = { fin = ["louver"] }
)"), R"(
studies/s.toml:25:1: error: pull in [wish.x]: a price is the same whatever is met
   25 | pull = 2
      | ^^^^
studies/s.toml:26:1: error: confidence in [wish.x]: a price is the same whatever is met
   26 | confidence = "90 %"
      | ^^^^^^^^^^
studies/s.toml:27:1: error: on in [wish.x]: a price is the same whatever is met
   27 | on = { fin = ["louver"] }
      | ^^
)"},
    {"confidence_of_0", {}, sweep(R"([wish.x]
figure = "crank_power"
at_least = "3 kW"
confidence = 0
)"), R"(
studies/s.toml:24:14: error: confidence = 0 in [wish.x] must be above 0 and at most 100 %
   24 | confidence = 0
      |              ^
)"},
    {"confidence_above_all", {}, sweep(R"([wish.x]
figure = "crank_power"
at_least = "3 kW"
confidence = "101 %"
)"), R"(
studies/s.toml:24:14: error: confidence = "101 %" in [wish.x] must be above 0 and at most 100 %
   24 | confidence = "101 %"
      |              ^^^^^^^
)"},
    {"confidence_of_another_dimension", {}, sweep(R"([wish.x]
figure = "crank_power"
at_least = "3 kW"
confidence = "9 K"
)"), R"(
studies/s.toml:24:14: error: confidence = "9 K" in [wish.x]: '9 K' is a temperature, wanted is a plain number (1)
   24 | confidence = "9 K"
      |              ^^^^^ give a number without a unit, or a percentage
)"},
    {"prefer_unknown", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "most"
)"), R"(
studies/s.toml:23:10: error: prefer = "most" in [wish.x] is none
   23 | prefer = "most"
      |          ^^^^^^ "more" or "less"
)"},
    {"on_what_is_not_met", {}, sweep(R"([meet.fin]
[wish.x]
figure = "crank_power"
prefer = "more"
on = { fn = ["louver"] }
)"), R"(
studies/s.toml:25:8: error: on in [wish.x]: no choices 'fn' are met
   25 | on = { fn = ["louver"] }
      |        ^^ did you mean 'fin'?
)"},
    {"on_a_range", {}, sweep(R"([meet.ambient]
[wish.x]
figure = "crank_power"
prefer = "more"
on = { ambient = ["20 degC"] }
)"), R"(
studies/s.toml:25:8: error: on in [wish.x]: no choices 'ambient' are met
   25 | on = { ambient = ["20 degC"] }
      |        ^^^^^^^
)"},
    {"on_no_choice", {}, sweep(R"([meet.fin]
[wish.x]
figure = "crank_power"
prefer = "more"
on = { fin = [] }
)"), R"(
studies/s.toml:25:14: error: on in [wish.x]: no choice of 'fin' is named
   25 | on = { fin = [] }
      |              ^^
)"},
    {"on_unknown_choice", {}, sweep(R"([meet.fin]
[wish.x]
figure = "crank_power"
prefer = "more"
on = { fin = ["luver", 3] }
)"), R"(
studies/s.toml:25:15: error: on in [wish.x]: "luver" is no choice of the knob 'fin'
   25 | on = { fin = ["luver", 3] }
      |               ^^^^^^^ did you mean 'louver'?
studies/s.toml:25:24: error: on in [wish.x]: 3 is no choice of the knob 'fin'
   25 | on = { fin = ["luver", 3] }
      |                        ^ one of: louver, offset strip
)"},
    {"on_is_no_table", {}, sweep(R"([meet.fin]
[wish.x]
figure = "crank_power"
prefer = "more"
on = "louver"
)"), R"(
studies/s.toml:25:6: error: 'on' in [wish.x] must be a table, not a string
   25 | on = "louver"
      |      ^^^^^^^^
)"},
    {"pull_of_none", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "more"
pull = 0
)"), R"(
studies/s.toml:24:8: error: pull = 0 in [wish.x] must be a whole number from 1 to 1000
   24 | pull = 0
      |        ^
)"},
    {"pull_without_session", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "more"
pull = 2
)"), R"(
studies/s.toml: error: a wish is about a pull of a session, and the study has none
      [session] gives the order of steps, [step.NAME] describes each
)"},
    {"pull_beyond_the_session", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "more"
pull = 3
[session]
steps = [{ repeat = ["pull"], times = 2 }]
[step.pull]
kind = "pull"
)"), R"(
studies/s.toml: error: a wish is about pull 3: the session has 2
)"},
    {"pull_of_what_may_end_early", {}, sweep(R"([wish.x]
figure = "crank_power"
prefer = "more"
pull = 2
[session]
steps = [{ repeat = ["pull"], times = 2, until = { channel = "manifold.gas.T", below = "30 degC" } }]
[step.pull]
kind = "pull"
)"), R"(
studies/s.toml: error: a wish is about pull 2: the session has 1
)"},
};

TEST_P(BadWish, IsTold) { EXPECT_EQ("\n" + told_of_sweep(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadWish, testing::ValuesIn(wish_inputs), name_of);

}  // namespace bad_inputs_wishes_tests

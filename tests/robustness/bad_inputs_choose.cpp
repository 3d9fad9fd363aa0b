#include <robustness/bad_sweeps.hpp>

namespace bad_inputs_choose_tests {

using namespace bad;

class BadSweep : public fake::Folder, public testing::WithParamInterface<Input> {};

/// What is tried: [choose], [buy] and [meet], and what belongs together.
const Input sweep_inputs[] = {
    {"choose_unknown_key", {}, sweep(R"([choose]
combination = 3
)"), R"(
studies/s.toml:22:1: error: unknown key 'combination' in [choose]
   22 | combination = 3
      | ^^^^^^^^^^^ did you mean 'combinations'?
)"},
    {"combinations_of_none", {}, sweep(R"([choose]
combinations = 0
)"), R"(
studies/s.toml:22:16: error: combinations = 0 in [choose] must be "all" or a whole number from 1 to 1000000
   22 | combinations = 0
      |                ^
)"},
    {"combinations_beyond_the_limit", {}, sweep(R"([choose]
combinations = 1000001
)"), R"(
studies/s.toml:22:16: error: combinations = 1000001 in [choose] must be "all" or a whole number from 1 to 1000000
   22 | combinations = 1000001
      |                ^^^^^^^
)"},
    {"combinations_that_are_no_number", {}, sweep(R"([choose]
combinations = "some"
met = 2.5
)"), R"(
studies/s.toml:22:16: error: combinations = "some" in [choose] must be "all" or a whole number from 1 to 1000000
   22 | combinations = "some"
      |                ^^^^^^
studies/s.toml:23:7: error: met = 2.5 in [choose] must be "all" or a whole number from 1 to 1000000
   23 | met = 2.5
      |       ^^^
)"},
    {"sampling_unknown", {}, sweep(R"([choose]
sampling = "sobol"
)"), R"(
studies/s.toml:22:12: error: sampling = "sobol" is none
   22 | sampling = "sobol"
      |            ^^^^^^^ "Sobol" or "Latin hypercube"
)"},
    {"sampling_is_no_text", {}, sweep(R"([choose]
sampling = 3
)"), R"(
studies/s.toml:22:12: error: 'sampling' in [choose] must be a string, not an integer
   22 | sampling = 3
      |            ^
)"},
    {"seed_below_0", {}, sweep(R"([choose]
seed = -1
)"), R"(
studies/s.toml:22:8: error: seed = -1 in [choose] must be a whole number from 0 to 1000000000
   22 | seed = -1
      |        ^^
)"},
    {"shortlist_of_none", {}, sweep(R"([choose]
shortlist = 0
)"), R"(
studies/s.toml:22:13: error: shortlist = 0 in [choose] must be a whole number from 1 to 1000
   22 | shortlist = 0
      |             ^
)"},
    {"sensitivity_beyond_the_limit", {}, sweep(R"([choose]
sensitivity = 65537
)"), R"(
studies/s.toml:22:15: error: sensitivity = 65537 in [choose] must be a whole number from 0 to 65536
   22 | sensitivity = 65537
      |               ^^^^^
)"},
    {"figures_are_no_list", {}, sweep(R"([choose]
figures = "boost_redline"
)"), R"(
studies/s.toml:22:11: error: figures in [choose] must be a list of keys
   22 | figures = "boost_redline"
      |           ^^^^^^^^^^^^^^^
)"},
    {"figures_hold_the_price", {}, sweep(R"([choose]
figures = ["price"]
)"), R"(
studies/s.toml:22:12: error: no figure "price"
   22 | figures = ["price"]
      |            ^^^^^^^ one of: crank_power, crank_power_j1349, crank_power_iso1585, wheel_power, wheel_power_j1349, wheel_power_iso1585, peak_power_speed, crank_torque, crank_torque_j1349, crank_torque_iso1585, wheel_torque, wheel_torque_j1349, ...
)"},
    {"figures_hold_a_number", {}, sweep(R"([choose]
figures = [3]
)"), R"(
studies/s.toml:22:12: error: figures in [choose] must hold strings, not an integer
   22 | figures = [3]
      |            ^
)"},
    {"figures_hold_an_unknown_one", {}, sweep(R"([choose]
figures = ["boost_redlin", "ledger_gas"]
)"), R"(
studies/s.toml:22:12: error: no figure "boost_redlin"
   22 | figures = ["boost_redlin", "ledger_gas"]
      |            ^^^^^^^^^^^^^^ did you mean 'boost_redline'?
studies/s.toml:22:28: error: no figure "ledger_gas"
   22 | figures = ["boost_redlin", "ledger_gas"]
      |                            ^^^^^^^^^^^^ one of: crank_power, crank_power_j1349, crank_power_iso1585, wheel_power, wheel_power_j1349, wheel_power_iso1585, peak_power_speed, crank_torque, crank_torque_j1349, crank_torque_iso1585, wheel_torque, wheel_torque_j1349, ...
)"},
    {"meet_is_no_table", {}, sweep(R"([meet]
rows = 3
)"), R"(
studies/s.toml:22:8: error: rows must be a table, not an integer
   22 | rows = 3
      |        ^ write [meet.rows]
)"},
    {"buy_unknown_knob", {}, sweep(R"([buy.cor]
)"), R"(
studies/s.toml:21:6: error: [buy.cor]: the study has no knob 'cor'
   21 | [buy.cor]
      |      ^^^ did you mean 'core'?
)"},
    {"buy_unknown_key", {}, sweep(R"([buy.fin]
shares = [1, 1]
)"), R"(
studies/s.toml:22:1: error: unknown key 'shares' in [buy.fin]
   22 | shares = [1, 1]
      | ^^^^^^ one of: count
)"},
    {"meet_unknown_knob", {}, sweep(R"([meet.weather]
)"), R"(
studies/s.toml:21:7: error: [meet.weather]: the study has no knob 'weather'
   21 | [meet.weather]
      |       ^^^^^^^ one of: core, rows, fin, ambient
)"},
    {"meet_what_is_bought", {}, sweep(R"([meet.core]
)"), R"(
studies/s.toml:21:7: error: [meet.core]: 'core' is bought already; it cannot be met as well
   21 | [meet.core]
      |       ^^^^
)"},
    {"buy_a_step_of_the_session", {}, sweep(R"([buy.wait]
[knob.wait]
sets = "step.wait.lasts"
from = "1 s"
to = "9 s"
[session]
steps = ["wait"]
[step.wait]
kind = "held"
lasts = "5 s"
)"), R"(
studies/s.toml:21:6: error: [buy.wait]: the knob turns a step of the session, which a sweep does not
   21 | [buy.wait]
      |      ^^^^ a knob that sets the rig itself
)"},
    {"count_of_choices", {}, sweep(R"([buy.fin]
count = 2
)"), R"(
studies/s.toml:22:1: error: count in [buy.fin]: the knob has choices, no range
   22 | count = 2
      | ^^^^^
)"},
    {"normal_of_choices", {}, sweep(R"([meet.fin]
mean = 1
deviation = 1
)"), R"(
studies/s.toml:22:1: error: mean in [meet.fin]: the knob has choices, no range
   22 | mean = 1
      | ^^^^
studies/s.toml:23:1: error: deviation in [meet.fin]: the knob has choices, no range
   23 | deviation = 1
      | ^^^^^^^^^
)"},
    {"count_of_none", {}, sweep(R"([buy.rows]
count = 0
)"), R"(
studies/s.toml:22:9: error: count = 0 in [buy.rows] must be a whole number from 1 to 1000
   22 | count = 0
      |         ^
)"},
    {"count_beyond_the_limit", {}, sweep(R"([buy.ambient]
count = 1001
)"), R"(
studies/s.toml:22:9: error: count = 1001 in [buy.ambient] must be a whole number from 1 to 1000
   22 | count = 1001
      |         ^^^^
)"},
    {"shares_of_a_range", {}, sweep(R"([meet.ambient]
shares = [1, 2]
)"), R"(
studies/s.toml:22:1: error: shares in [meet.ambient]: the knob has a range, no choices
   22 | shares = [1, 2]
      | ^^^^^^
)"},
    {"shares_of_another_number", {}, sweep(R"([meet.fin]
shares = [1, 2, 3]
)"), R"(
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = [1, 2, 3]
      |          ^^^^^^^^^ one for each choice of the knob
)"},
    {"shares_below_0", {}, sweep(R"([meet.fin]
shares = [1, -1]
)"), R"(
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = [1, -1]
      |          ^^^^^^^ one for each choice of the knob
)"},
    {"shares_all_0", {}, sweep(R"([meet.fin]
shares = [0, 0]
)"), R"(
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = [0, 0]
      |          ^^^^^^ one for each choice of the knob
)"},
    {"shares_are_no_list", {}, sweep(R"([meet.fin]
shares = "half"
)"), R"(
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = "half"
      |          ^^^^^^ one for each choice of the knob
)"},
    {"shares_hold_text", {}, sweep(R"([meet.fin]
shares = [1, "2"]
)"), R"(
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = [1, "2"]
      |          ^^^^^^^^ one for each choice of the knob
)"},
    {"mean_without_deviation", {}, sweep(R"([meet.ambient]
mean = "20 degC"
)"), R"(
studies/s.toml:21:7: error: [meet.ambient] has a mean and no deviation
   21 | [meet.ambient]
      |       ^^^^^^^
)"},
    {"deviation_without_mean", {}, sweep(R"([meet.ambient]
deviation = "2 K"
)"), R"(
studies/s.toml:21:7: error: [meet.ambient] has a deviation and no mean
   21 | [meet.ambient]
      |       ^^^^^^^
)"},
    {"mean_outside_the_range", {}, sweep(R"([meet.ambient]
mean = "50 degC"
deviation = "2 K"
)"), R"(
studies/s.toml:22:8: error: mean = "50 degC" in [meet.ambient] is outside the range of the knob
   22 | mean = "50 degC"
      |        ^^^^^^^^^
)"},
    {"deviation_of_0", {}, sweep(R"([meet.ambient]
mean = "20 degC"
deviation = "0 K"
)"), R"(
studies/s.toml:23:13: error: deviation = "0 K" in [meet.ambient] must be above 0
   23 | deviation = "0 K"
      |             ^^^^^
)"},
    {"mean_of_another_dimension", {}, sweep(R"([meet.ambient]
mean = "2 kPa"
deviation = 3
)"), R"(
studies/s.toml:22:8: error: mean = "2 kPa" in [meet.ambient]: '2 kPa' is a pressure, wanted is a temperature (K)
   22 | mean = "2 kPa"
      |        ^^^^^^^ for example "2 degC"
studies/s.toml:23:13: error: deviation in [meet.ambient] must be a text with a unit, not an integer
   23 | deviation = 3
      |             ^
)"},
    {"all_of_a_range", {}, sweep(R"([buy.ambient]
)"), R"(
studies/s.toml:13:7: error: [buy.ambient] is a range without count, and all combinations are asked for
   13 | [knob.ambient]
      |       ^^^^^^^ count = 5, or combinations = 100 in [choose]
)"},
    {"all_met_of_a_range", {}, sweep(R"([choose]
met = "all"
[meet.ambient]
)"), R"(
studies/s.toml:13:7: error: [meet.ambient] is a range without count, and all met are asked for
   13 | [knob.ambient]
      |       ^^^^^^^ count = 5, or met = 100 in [choose]
)"},
    {"too_many_combinations", {}, sweep(R"([buy.rows]
count = 1000
[buy.ambient]
count = 1000
[buy.fin]
)"), R"(
studies/s.toml: error: 4e+06 combinations: at most 1000000
      combinations = 1000 in [choose] samples them
)"},
    {"too_many_runs", {}, sweep(R"([choose]
combinations = 1000000
met = 100
[meet.ambient]
)"), R"(
studies/s.toml: error: 1e+08 runs: at most 10000000
      combinations and met in [choose] sample them
)"},
    {"nothing_at_all", {}, sweep_knobs(""), R"(
studies/s.toml: error: nothing to choose from
      [buy.NAME] names a knob that one decides about
studies/s.toml: error: no wish says what is preferred
      [wish.NAME] with a figure and prefer = "more" or "less"
)"},
    {"wish_is_no_table", {}, sweep_knobs(R"([buy.core]
[wish]
margin = 3
[wish.power]
figure = "crank_power"
prefer = "more"
)"), R"(
studies/s.toml:19:10: error: wish 'margin' must be a table, not an integer
   19 | margin = 3
      |          ^ write [wish.margin]
)"},
    {"buy_is_no_table", {}, sweep_knobs(R"([wish.power]
figure = "crank_power"
prefer = "more"
[buy]
rows = 3
[buy.core]
)"), R"(
studies/s.toml:21:8: error: rows must be a table, not an integer
   21 | rows = 3
      |        ^ write [buy.rows]
)"},
    {"nothing_to_choose_from", {}, sweep_knobs(R"([wish.x]
figure = "crank_power"
prefer = "more"
)"), R"(
studies/s.toml: error: nothing to choose from
      [buy.NAME] names a knob that one decides about
)"},
    {"nothing_is_preferred", {}, sweep_knobs(R"([buy.core]
[wish.x]
figure = "crank_power"
at_least = "3 kW"
[wish.y]
figure = "price"
prefer = "less"
)"), R"(
studies/s.toml: error: no wish says what is preferred
      [wish.NAME] with a figure and prefer = "more" or "less"
)"},
    {"every_mistake_at_once", {}, sweep_knobs(R"([choose]
seed = "x"
[buy.ambient]
count = 0
[meet.fin]
shares = [1]
[wish.x]
figure = "crank_power"
at_least = "3 K"
)"), R"(
studies/s.toml: error: no wish says what is preferred
      [wish.NAME] with a figure and prefer = "more" or "less"
studies/s.toml:18:8: error: seed = "x" in [choose] must be a whole number from 0 to 1000000000
   18 | seed = "x"
      |        ^^^
studies/s.toml:20:9: error: count = 0 in [buy.ambient] must be a whole number from 1 to 1000
   20 | count = 0
      |         ^
studies/s.toml:22:10: error: shares in [meet.fin] must be a list of 2 numbers, none below 0 and one above it
   22 | shares = [1]
      |          ^^^ one for each choice of the knob
studies/s.toml:25:12: error: at_least = "3 K" in [wish.x]: '3 K' is a temperature, wanted is a power (W)
   25 | at_least = "3 K"
      |            ^^^^^ for example "3 kW"
)"},
};

TEST_P(BadSweep, IsTold) { EXPECT_EQ("\n" + told_of_sweep(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadSweep, testing::ValuesIn(sweep_inputs), name_of);

}  // namespace bad_inputs_choose_tests

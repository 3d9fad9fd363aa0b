// Sessions of a study whose rig has no fault.
#include <robustness/bad_inputs.hpp>

namespace bad_inputs_sessions_tests {

using namespace bad;

class BadSession : public fake::Folder, public testing::WithParamInterface<Input> {};

/// A study with a variant; the session starts in line 3.
Files session(const std::string& text) { return study("[variant.a]\n" + text); }
/// A session of one step, whose table starts in line 5.
Files step(const std::string& text) { return session("[session]\nsteps = [\"x\"]\n" + text); }

const Input session_inputs[] = {
    {"steps_without_session", {}, session(R"([step.x]
kind = "pull"
)"), R"(
studies/s.toml:3:2: error: [step.NAME] without [session]
    3 | [step.x]
      |  ^^^^ [session] gives their order
)"},
    {"session_without_steps", {}, session(R"([session]
steps = ["x"]
)"), R"(
studies/s.toml:3:2: error: [session] has no steps
    3 | [session]
      |  ^^^^^^^ [step.NAME] describes one
studies/s.toml:4:10: error: no step "x"
    4 | steps = ["x"]
      |          ^^^
)"},
    {"no_order", {}, session(R"([session]
[step.x]
kind = "pull"
)"), R"(
studies/s.toml:3:2: error: [session] needs steps = [...]
    3 | [session]
      |  ^^^^^^^ names of steps in their order, or { repeat = [...], times = 3 }
)"},
    {"order_is_no_list", {}, session(R"([session]
steps = "x"
[step.x]
kind = "pull"
)"), R"(
studies/s.toml:4:9: error: [session] needs steps = [...]
    4 | steps = "x"
      |         ^^^ names of steps in their order, or { repeat = [...], times = 3 }
)"},
    {"unknown_step", {}, session(R"([session]
steps = ["pul", 3]
[step.pull]
kind = "pull"
)"), R"(
studies/s.toml:4:10: error: no step "pul"
    4 | steps = ["pul", 3]
      |          ^^^^^ did you mean 'pull'?
studies/s.toml:4:17: error: no step 3
    4 | steps = ["pul", 3]
      |                 ^
)"},
    {"step_is_no_table", {}, session(R"([session]
steps = ["x"]
[step]
x = 3
)"), R"(
studies/s.toml:4:10: error: no step "x"
    4 | steps = ["x"]
      |          ^^^
studies/s.toml:6:5: error: step 'x' must be a table, not an integer
    6 | x = 3
      |     ^ write [step.x]
)"},
    {"no_kind", {}, step(R"([step.x]
)"), R"(
studies/s.toml:5:1: error: missing key 'kind' in [step.x] (pull, held or idle)
    5 | [step.x]
      | ^^^^^^^^
)"},
    {"unknown_kind", {}, step(R"([step.x]
kind = "idel"
lasts = "10 s"
)"), R"(
studies/s.toml:6:8: error: kind = "idel" in [step.x] is none
    6 | kind = "idel"
      |        ^^^^^^ did you mean 'idle'?
)"},
    {"no_length", {}, step(R"([step.x]
kind = "idle"
)"), R"(
studies/s.toml:5:1: error: missing key 'lasts' in [step.x] (how long it takes at most)
    5 | [step.x]
      | ^^^^^^^^
)"},
    {"lengths_that_are_none", {}, step(R"([step.x]
kind = "idle"
lasts = "-10 s"
report_every = "2 kg"
)"), R"(
studies/s.toml:7:9: error: lasts = "-10 s" in [step.x] must be greater than 0
    7 | lasts = "-10 s"
      |         ^^^^^^^
studies/s.toml:8:16: error: report_every = "2 kg" in [step.x]: '2 kg' is a mass, 'report_every' wants a time (s)
    8 | report_every = "2 kg"
      |                ^^^^^^ for example "2 s"
)"},
    {"too_long", {}, step(R"([step.x]
kind = "idle"
lasts = "30 h"
)"), R"(
studies/s.toml:7:9: error: lasts = "30 h" in [step.x]: at most a day
    7 | lasts = "30 h"
      |         ^^^^^^
)"},
    {"unknown_key", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
untill = 3
)"), R"(
studies/s.toml:8:1: error: unknown key 'untill' in [step.x]
    8 | untill = 3
      | ^^^^^^ did you mean 'until'?
)"},
    {"unknown_setting", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
[step.x.set]
"manifold.volum" = "3 L"
)"), R"(
studies/s.toml:9:1: error: unknown key 'manifold.volum' in [step.x.set]
    9 | "manifold.volum" = "3 L"
      | ^^^^^^^^^^^^^^^^ did you mean 'volume' (m^3, inner volume)?
)"},
    {"waits_for_nothing", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
until = { channel = "manifold.gas.T" }
)"), R"(
studies/s.toml:8:9: error: until in [step.x] needs either 'below' or 'above'
    8 | until = { channel = "manifold.gas.T" }
      |         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
)"},
    {"waits_for_both", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
until = { channel = "manifold.gas.T", below = "20 degC", above = "30 degC" }
)"), R"(
studies/s.toml:8:9: error: until in [step.x] needs either 'below' or 'above'
    8 | until = { channel = "manifold.gas.T", below = "20 degC", above = "30 degC" }
      |         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
)"},
    {"waits_for_no_channel", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
until = { below = "20 degC" }
)"), R"(
studies/s.toml:8:9: error: missing key 'channel' in [step.x] until (what is looked at, such as sensor.reading)
    8 | until = { below = "20 degC" }
      |         ^^^^^^^^^^^^^^^^^^^^^
)"},
    {"waits_for_an_unknown_channel", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
until = { channel = "manifold.gas.t", below = "20 degC" }
)"), R"(
studies/s.toml:8:21: error: until in [step.x]: the rig has no channel 'manifold.gas.t'
    8 | until = { channel = "manifold.gas.t", below = "20 degC" }
      |                     ^^^^^^^^^^^^^^^^ did you mean 'manifold.gas.p'?
)"},
    {"waits_for_another_unit", {}, step(R"([step.x]
kind = "idle"
lasts = "30 s"
until = { channel = "manifold.gas.T", below = "20 kPa" }
)"), R"(
studies/s.toml:8:47: error: below in [step.x]: '20 kPa' is a pressure, 'below' wants a temperature (K)
    8 | until = { channel = "manifold.gas.T", below = "20 kPa" }
      |                                               ^^^^^^^^ for example "20 degC"
)"},
    {"repetition_without_steps", {}, session(R"([session]
steps = [{ times = 3 }]
[step.x]
kind = "pull"
)"), R"(
studies/s.toml:4:10: error: a repetition needs repeat = [...]
    4 | steps = [{ times = 3 }]
      |          ^^^^^^^^^^^^^ names of steps
)"},
    {"repetition_without_times", {}, session(R"([session]
steps = [{ repeat = ["x"] }]
[step.x]
kind = "pull"
)"), R"(
studies/s.toml:4:10: error: a repetition needs times = a whole number from 1
    4 | steps = [{ repeat = ["x"] }]
      |          ^^^^^^^^^^^^^^^^^^ how often, or how often at most
)"},
    {"repetition_of_nought_times", {}, session(R"([session]
steps = [{ repeat = ["x"], times = 0 }]
[step.x]
kind = "pull"
)"), R"(
studies/s.toml:4:36: error: a repetition needs times = a whole number from 1
    4 | steps = [{ repeat = ["x"], times = 0 }]
      |                                    ^ how often, or how often at most
)"},
};

TEST_P(BadSession, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadSession, testing::ValuesIn(session_inputs), name_of);

}  // namespace bad_inputs_sessions_tests

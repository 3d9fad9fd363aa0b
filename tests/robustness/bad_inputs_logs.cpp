#include <robustness/bad_measured.hpp>

namespace bad_inputs_logs_tests {

using namespace bad;

class BadLog : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Logs that do not fit the study.
const Input log_inputs[] = {
    {"no_pulls", {}, study(R"([variant.a]
)"), R"(
studies/s.toml: error: no measured pulls
      [pull.NAME] names a variant and the log of its pull
)"},
    {"missing_log", {}, pulls(R"([pull.one]
variant = "a"
log = "../logs/spring.csv"
)"), R"(
studies/s.toml:6:7: error: logs/spring.csv: no such file
    6 | log = "../logs/spring.csv"
      |       ^^^^^^^^^^^^^^^^^^^^
)"},
    {"log_is_a_folder", {}, pulls(R"([pull.one]
variant = "a"
log = "../parts"
)"), R"(
studies/s.toml:6:7: error: parts: no such file
    6 | log = "../parts"
      |       ^^^^^^^^^^
)"},
    {"missing_mapping", {}, pulls(R"([pull.one]
variant = "a"
log = "../log.csv"
mapping = "../spring.toml"
)"), R"(
studies/s.toml:7:11: error: spring.toml: no such file
    7 | mapping = "../spring.toml"
      |           ^^^^^^^^^^^^^^^^
)"},
    {"missing_log_told_once", {}, pulls(R"([pull.one]
variant = "a"
log = "../no.csv"
number = 1
[pull.two]
variant = "b"
log = "../no.csv"
number = 2
)"), R"(
studies/s.toml:6:7: error: no.csv: no such file
    6 | log = "../no.csv"
      |       ^^^^^^^^^^^
)"},
    {"mapping_of_another_log", {}, pulls(R"([pull.one]
variant = "a"
log = "../log.csv"
mapping = "../other.toml"
)"), R"(
other.toml:6:10: error: no column 'AFR' in log.csv
    6 | column = "AFR"
      |          ^^^^^ one of: time [s], engine speed [rpm], throttle [%], intake temperature [degC]
)"},
    {"log_without_time", {}, pulls(R"([pull.one]
variant = "a"
log = "../timeless.csv"
)"), R"(
timeless.csv: error: no column of time was found
      a mapping states it: [time] with column = "...", or style = "samples" and rate = "50 Hz"
)"},
    {"log_without_speed", {}, pulls(R"([pull.one]
variant = "a"
log = "../speedless.csv"
)"), R"(
studies/s.toml:6:7: error: speedless.csv has no pulls
    6 | log = "../speedless.csv"
      |       ^^^^^^^^^^^^^^^^^^ 'pullcast inspect speedless.csv' shows them
)"},
    {"number_beyond_the_pulls_of_the_log", {}, pulls(R"([pull.one]
variant = "a"
log = "../two.csv"
number = 3
)"), R"(
studies/s.toml:7:10: error: pull 3 of two.csv: the log has 2
    7 | number = 3
      |          ^ 'pullcast inspect two.csv' shows them
)"},
    {"several_pulls_and_no_number", {}, pulls(R"([pull.one]
variant = "a"
log = "../two.csv"
)"), R"(
studies/s.toml:6:7: error: two.csv has 2 pulls
    6 | log = "../two.csv"
      |       ^^^^^^^^^^^^ say which: number = 1 for the first; 'pullcast inspect two.csv' shows them
)"},
    {"no_pull_in_the_log", {}, pulls(R"([pull.one]
variant = "a"
log = "../idle.csv"
)"), R"(
studies/s.toml:6:7: error: idle.csv has no pulls
    6 | log = "../idle.csv"
      |       ^^^^^^^^^^^^^ 'pullcast inspect idle.csv' shows them
)"},
    {"ambient_that_takes_no_humidity", {}, pulls(R"([pull.one]
variant = "a"
log = "../log.csv"
mapping = "../humid.toml"
)"), R"(
studies/s.toml:4:7: error: the log of 'one' tells relative humidity, and gas.ambient takes no humidity
    4 | [pull.one]
      |       ^^^ in [conditions]: "ambient.model" = "gas.ambient", with a pressure
)"},
    {"no_channel_that_the_rig_has", {}, pulls(R"([pull.one]
variant = "a"
log = "../log.csv"
)"), R"(
studies/s.toml:6:7: error: pull 'one' has no channel that the rig could be compared with
    6 | log = "../log.csv"
      |       ^^^^^^^^^^^^ intake temperature, manifold pressure or power at the wheels, say
)"},
    {"faults_of_two_logs_at_once", {}, pulls(R"([pull.one]
variant = "a"
log = "../two.csv"
[pull.two]
variant = "b"
log = "../idle.csv"
[pull.three]
variant = "b"
log = "../timeless.csv"
)"), R"(
studies/s.toml:6:7: error: two.csv has 2 pulls
    6 | log = "../two.csv"
      |       ^^^^^^^^^^^^ say which: number = 1 for the first; 'pullcast inspect two.csv' shows them
studies/s.toml:9:7: error: idle.csv has no pulls
    9 | log = "../idle.csv"
      |       ^^^^^^^^^^^^^ 'pullcast inspect idle.csv' shows them
timeless.csv: error: no column of time was found
      a mapping states it: [time] with column = "...", or style = "samples" and rate = "50 Hz"
)"},
};

TEST_P(BadLog, IsTold) { EXPECT_EQ("\n" + told_measured(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadLog, testing::ValuesIn(log_inputs), name_of);

}  // namespace bad_inputs_logs_tests

// pullcast inspect: what it prints and writes, and what it refuses.
#include "command_line.hpp"

namespace command_line_inspect_tests {

using namespace command_line;

const std::string log_text =
    "# invented log\ntime [s];rpm;IAT [C]\n0,0;900;30,5\n0,1;910;31\n0,2;oops;31,5\n0,3;920;31,5\n";

class Inspect : public CommandLine {
protected:
    Inspect() { write("log.csv", log_text); }
};

TEST_F(Inspect, PrintsWhatTheLogHolds) {
    const auto ended = run({"inspect", "log.csv"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.err, "");
    EXPECT_EQ(ended.out, R"(log.csv
  separator ';', decimal mark ',', header in line 2; not read: line 1
  4 lines below the header: 4 rows used, 0 left out
  time from column 'time [s]': 0 to 0.3 s, 10 rows a second

                          lowest  highest  readings  a second  masked     from
speed               rpm      900      920         3       7.5       0      rpm
intake_temperature  degC    30.5     31.5         4        10       0  IAT [C]

repairs
  column 2 'rpm': text in a column of numbers: taken as no value (first: 'oops'); line 5

no pulls found
  no climb of 1500 rpm or more over 2 s or longer at full throttle; [pulls] in a mapping sets these
)");
    EXPECT_NE(run({"inspect", "log.csv", "--units", "us"}).out.find("degF    86.9     88.7"), std::string::npos);
    EXPECT_EQ(names(), "log.csv");
}

TEST_F(Inspect, WritesAMappingThatReadsBackAndNeverOverAFile) {
    const auto first = run({"inspect", "log.csv", "--write-mapping", "map.toml"});
    EXPECT_EQ(first.code, 0);
    EXPECT_EQ(first.err, "mapping: map.toml\n");
    const auto mapping = read("map.toml");
    EXPECT_EQ(run({"inspect", "log.csv", "--mapping", "map.toml"}).out, first.out);
    const auto again = run({"inspect", "log.csv", "--write-mapping", "map.toml"});
    EXPECT_EQ(again.code, 7);
    EXPECT_EQ(again.err, "error: map.toml: is there already; give another name, or --force to replace it\n");
    write("map.toml", "mine");
    EXPECT_EQ(run({"inspect", "log.csv", "--write-mapping", "map.toml", "--force"}).code, 0);
    EXPECT_EQ(read("map.toml"), mapping);
    const auto nowhere = run({"inspect", "log.csv", "--write-mapping", "no/where.toml"});
    EXPECT_EQ(nowhere.code, 7);
    EXPECT_EQ(nowhere.err, "error: no/where.toml: cannot be written: No such file or directory\n");
    EXPECT_EQ(names(), "log.csv map.toml");
}

TEST_F(Inspect, WritesTheMappingOfALogThatCannotBeUsedYet) {
    write("two.csv", log_text + "0,0;900;30\n");
    const auto ended = run({"inspect", "two.csv", "--write-mapping", "map.toml"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(ended.err,
              "mapping: map.toml\ntwo.csv:7:1: error: time falls from 0.3 to 0 s\n    7 | 0,0;900;30\n"
              "      | ^ two logs in one file are better cut apart; sort = true in [time] sorts the rows\n");
    EXPECT_NE(read("map.toml").find("column = \"time [s]\""), std::string::npos);
}

TEST_F(Inspect, SaysWhatItCannotUse) {
    EXPECT_EQ(run({"inspect"}).err, "error: 'inspect' needs a log file\nsee 'pullcast --help'\n");
    EXPECT_EQ(run({"inspect"}).code, 2);
    EXPECT_EQ(run({"inspect", "nowhere.csv"}).err, "nowhere.csv: error: no such file\n");
    EXPECT_EQ(run({"inspect", "log.csv", "--mapping", "nowhere.toml"}).err, "nowhere.toml: error: no such file\n");
    EXPECT_EQ(run({"inspect", "/dev/zero"}).code, 3);
}

}  // namespace command_line_inspect_tests

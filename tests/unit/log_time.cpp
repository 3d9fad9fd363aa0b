// Styles of time, midnight, order, gaps.
#include "made_log.hpp"

namespace log_time_tests {

using namespace made_log;

std::string mapping(const std::string& time) {
    return "[time]\n" + time + "\n[channel.speed]\ncolumn = \"n\"\nunit = \"rpm\"\n";
}

std::vector<double> times(const std::string& text, const std::string& time) {
    return measure_log(text, mapping(time)).time;
}

void expect_times(const std::vector<double>& times, const std::vector<double>& wanted, const char* what) {
    ASSERT_EQ(times.size(), wanted.size()) << what;
    for (std::size_t k = 0; k < times.size(); ++k) EXPECT_NEAR(times[k], wanted[k], 1e-6) << what << " " << k;
}

TEST(LogTime, EveryStyleGivesSecondsFromTheFirstRow) {
    const std::vector<double> wanted = {0, 0.5, 1.5};
    expect_times(times("t,n\n7,1\n7.5,2\n8.5,3\n", "column = \"t\"\nunit = \"s\""), wanted, "seconds");
    expect_times(times("t,n\n7000,1\n7500,2\n8500,3\n", "column = \"t\"\nunit = \"ms\""), wanted, "milliseconds");
    expect_times(times("t,n\n2,1\n3,2\n5,3\n", "column = \"t\"\nstyle = \"samples\"\nrate = \"2 Hz\""), wanted,
                 "counted");
    expect_times(times("t,n\n9,1\n9,2\n9,3\n", "style = \"samples\"\nrate = \"2 Hz\""), {0, 0.5, 1}, "rate alone");
    expect_times(times("t,n\n1:59:59.5,1\n2:00:00,2\n2:00:01,3\n", "column = \"t\"\nstyle = \"clock\""), wanted,
                 "clock");
    expect_times(times("t;n\n59:58,5;1\n59:59,0;2\n59:60,0;3\n59:59,9;4\n", "column = \"t\"\nstyle = \"clock\""),
                 {0, 0.5, 1.4}, "minutes and seconds");
    expect_times(times("t,n\n2026-02-28T23:59:59.5,1\n2026-03-01 00:00:00,2\n2026-03-01T01:00:01+01:00,3\n",
                       "column = \"t\"\nstyle = \"date_time\""),
                 wanted, "date and time");
}

TEST(LogTime, DatesThatAreNoneAreLeftOut) {
    const auto log =
        measure_log("t,n\n2026-02-28T10:00:00,1\n2026-02-30T10:00:00,2\n2026-02-28T10:00,3\n2026-02-28T10:00:01Z,4\n",
                    mapping("column = \"t\"\nstyle = \"date_time\""));
    EXPECT_EQ(log.line, (std::vector<std::uint32_t>{2, 4, 5}));
    expect_times(log.time, {0, 0.5, 1}, "10:00 is the time of line 2 again");
    EXPECT_EQ(log.rows_left_out, 1u);
}

TEST(LogTime, MidnightIsPassedOnceADay) {
    const auto log = measure_log("t,n\n23:59:59,1\n00:00:01,2\n12:00:00,3\n23:59:59,4\n00:00:00,5\n",
                                 mapping("column = \"t\"\nstyle = \"clock\""));
    expect_times(log.time, {0, 2, 43201, 86400, 86401}, "two midnights");
    ASSERT_EQ(log.repairs.size(), 1u);
    EXPECT_EQ(to_text(log.repairs[0].lines), "3, 6");
}

TEST(LogTime, TimeThatFallsIsRefusedUnlessTheMappingSorts) {
    const char* text = "t,n\n0,1\n2,2\n1,3\n3,4\n";
    EXPECT_EQ(refusal(text, mapping("column = \"t\"")),
              "log.csv:4:1: error: time falls from 2 to 1 s\n    4 | 1,3\n"
              "      | ^ two logs in one file are better cut apart; sort = true in [time] sorts the rows\n");
    const auto log = measure_log(text, mapping("column = \"t\"\nsort = true"));
    expect_times(log.time, {0, 1, 2, 3}, "sorted");
    EXPECT_EQ(log.line, (std::vector<std::uint32_t>{2, 4, 3, 5}));
    EXPECT_EQ(log.repairs[0].what, "row out of the order of time: sorted in");
    EXPECT_EQ(to_text(log.repairs[0].lines), "4");
}

TEST(LogTime, RepeatedRowsGoAndSharedTimesAreSpread) {
    const auto log = measure_log("t,n\n0,1\n0,2\n0.2,3\n0.2,3\n0.2,4\n0.4,5\n0.4,6\n", mapping("column = \"t\""));
    expect_times(log.time, {0, 0.1, 0.2, 0.3, 0.4, 0.5}, "spread");
    EXPECT_EQ(log.rows_left_out, 1u);
    EXPECT_EQ(log.size() + log.rows_left_out, log.table.lines_below_header);
}

TEST(LogTime, WhatIsNoTimeIsLeftOut) {
    const auto log = measure_log("t,n\n0,1\n1e300,2\nx,3\n2,4\n", mapping("column = \"t\"\nunit = \"h\""));
    expect_times(log.time, {0, 7200}, "hours");
    EXPECT_EQ(to_text(log.repairs.back().lines), "3-4");
    EXPECT_EQ(log.rows_left_out, 2u);
}

TEST(LogTime, GapsAreListed) {
    const auto log = measure_log("t,n\n0,1\n1,2\n2,3\n7.1,4\n8,5\n", mapping("column = \"t\""));
    ASSERT_EQ(log.gaps, (std::vector<std::size_t>{3}));
    EXPECT_EQ(log.step, 1);
    EXPECT_TRUE(measure_log("t,n\n0,1\n1,2\n2,3\n7,4\n8,5\n", mapping("column = \"t\"")).gaps.empty());
}

TEST(LogTime, TheWrongStyleIsToldWithTheColumn) {
    EXPECT_EQ(refusal("t,n\n0,1\n1,2\n", mapping("column = \"t\"\nstyle = \"clock\"")),
              "map.toml:2:10: error: column 't' holds numbers, no times of day\n    2 | column = \"t\"\n"
              "      |          ^^^ style = \"number\" and its unit\n");
    EXPECT_EQ(refusal("t,n\n1:00,1\n1:01,2\n", mapping("column = \"t\"")),
              "map.toml:2:10: error: column 't' holds text, first '1:00'\n    2 | column = \"t\"\n"
              "      |          ^^^ style = \"clock\" for 12:03:04.5, \"date_time\" for 2026-05-01T12:03:04.5\n");
    EXPECT_EQ(refusal("t,n\n5,1\n5,2\n", mapping("column = \"t\"")),
              "log.csv: error: time never goes on\n      all rows have the same time\n");
}

}  // namespace log_time_tests

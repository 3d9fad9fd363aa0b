// From text to a table: what is found by rules, what is stated, what is refused. The hostile logs are in robustness.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/measure/log_table.hpp>
#include <pullcast/measure/unit_words.hpp>

namespace log_table_tests {

using namespace pullcast;
using namespace pullcast::measure;

Source source_of(std::string text) {
    auto source = std::make_shared<SourceFile>();
    source->name = "log.csv", source->text = std::move(text);
    return source;
}
LogTable table_of(std::string text, const LogForm& form = {}) {
    Diagnostics d;
    auto table = read_log_table(source_of(std::move(text)), form, d);
    EXPECT_TRUE(table) << render(d.all());
    return table ? std::move(*table) : LogTable{};
}
std::string refusal(std::string text, const LogForm& form = {}) {
    Diagnostics d;
    EXPECT_FALSE(read_log_table(source_of(std::move(text)), form, d));
    return render(d.all());
}
std::vector<std::string> names(const LogTable& t) {
    std::vector<std::string> all;
    for (const auto& c : t.columns) all.push_back(c.name);
    return all;
}
using Strings = std::vector<std::string>;
using Numbers = std::vector<double>;

TEST(LogTable, SeparatorAndDecimalMarkAreFoundTogether) {
    struct Case {
        const char* text;
        char separator, decimal;
    };
    const Case cases[] = {{"a,b\n1.5,2\n2.5,3\n", ',', '.'},          {"a;b\n1,5;2\n2,5;3\n", ';', ','},
                          {"a;b\n1.5;2\n2.5;3\n", ';', '.'},          {"a\tb\n1,5\t2\n2,5\t3\n", '\t', ','},
                          {"a|b\n1.5|2\n2.5|3\n", '|', '.'},          {"a,b\n\"1,5\",2\n\"2,5\",3\n", ',', ','},
                          {"a;b, c\n1,5;2,25\n2,5;3,25\n", ';', ','}, {"a\tb\n1\t2\n2\t3\n", '\t', '.'}};
    for (const auto& c : cases) {
        const auto t = table_of(c.text);
        EXPECT_EQ(t.separator, c.separator) << c.text;
        EXPECT_EQ(t.decimal, c.decimal) << c.text;
        ASSERT_EQ(t.columns.size(), 2u) << c.text;
        EXPECT_NEAR(t.columns[0].numbers[1], 2, 0.51) << c.text;
    }
    EXPECT_EQ(table_of("a;b\n1,5;2\n2,5;3\n").columns[0].numbers, (Numbers{1.5, 2.5}));
}

TEST(LogTable, WhatIsStatedWinsOverWhatIsFound) {
    const char* text = "a,b,c,d\n1,5;2,5\n2,5;3,5\n";
    LogForm form;
    form.separator = ';', form.decimal = ',', form.header_line = 0;
    const auto t = table_of(text, form);
    EXPECT_EQ(names(t), (Strings{"column 1", "column 2"}));
    EXPECT_EQ(t.columns[1].numbers, (Numbers{2.5, 3.5}));
    EXPECT_EQ(t.rows() + t.repairs.rows_left_out(), t.lines_below_header);
    EXPECT_EQ(t.lines_below_header, 3u);
}

TEST(LogTable, HeaderIsBelowThePreambleAndUnitsBelowTheHeader) {
    const auto t = table_of("Log 7\nRate;50\nsome; words\n\nt;n;p\n[s];[1/min];[kPa]\n0;900;35\n1;910;36\n");
    EXPECT_EQ(t.header_line, 5u);
    EXPECT_EQ(t.unit_line, 6u);
    EXPECT_EQ(names(t), (Strings{"t", "n", "p"}));
    EXPECT_EQ(t.columns[1].unit, "[1/min]");
    EXPECT_EQ(t.line, (std::vector<std::uint32_t>{7, 8}));
    EXPECT_EQ(t.lines_below_header, 2u);
}

TEST(LogTable, NamesThatAreUnitsAreNames) {
    const auto t = table_of("s,rpm,kPa\n0,900,35\n1,910,36\n");
    EXPECT_EQ(t.header_line, 1u);
    EXPECT_EQ(t.unit_line, 0u);
    EXPECT_EQ(names(t), (Strings{"s", "rpm", "kPa"}));
}

TEST(LogTable, AHeaderMayBeAComment) {
    const auto t = table_of("# made up\n# t, n\n0, 900\n1, 910\n");
    EXPECT_EQ(names(t), (Strings{"t", "n"}));
}

TEST(LogTable, ColumnsOfTextKeepTheirWords) {
    const auto t = table_of("t,gear,n\n0,N,900\n1,1st,950\n2,1st,1000\n");
    EXPECT_TRUE(t.columns[1].text);
    EXPECT_EQ(t.columns[1].words, (std::vector<std::string_view>{"N", "1st", "1st"}));
    EXPECT_FALSE(t.columns[2].text);
    EXPECT_TRUE(t.repairs.all().empty());
}

TEST(LogTable, EveryRepairHasItsLinesAndItsFirstText) {
    const auto t = table_of("t,n\n0,900\n1,oops\n2,oops\n3,920\n4,x\n5\n6,7\n7,8\n8,9\n9,9");
    const auto& all = t.repairs.all();
    ASSERT_EQ(all.size(), 3u);
    EXPECT_EQ(all[0].what, "text in a column of numbers: taken as no value");
    EXPECT_EQ(all[0].example, "oops");
    EXPECT_EQ(all[0].column, 2u);
    EXPECT_EQ(all[0].count, 3u);
    EXPECT_EQ(to_text(all[0].lines), "3-4, 6");
    EXPECT_EQ(all[1].what, "row with fewer cells than the header");
    EXPECT_TRUE(all[1].row_left_out);
    EXPECT_EQ(to_text(all[1].lines), "7");
    EXPECT_EQ(to_text(all[2].lines), "11");
    EXPECT_TRUE(std::isnan(t.columns[1].numbers.back()));
    EXPECT_EQ(t.rows() + t.repairs.rows_left_out(), t.lines_below_header);
}

TEST(LogTable, LongListsOfLinesAreCutAndCounted) {
    EXPECT_EQ(to_text({{1, 1}, {3, 5}, {8, 8}, {10, 10}}, 2), "1, 3-5 and 2 more");
    EXPECT_EQ(to_text({{1, 2}}), "1-2");
}

TEST(LogTable, NumbersAreReadWholeOrNotAtAll) {
    const auto t = table_of("t,n\n0,+5\n1,-.5\n2,1e3\n3,0x10\n4,1 000\n5,--5\n6,5-\n7,6\n8,7\n9,8\n10,9\n11,9\n");
    const auto& n = t.columns[1].numbers;
    EXPECT_EQ(n[0], 5);
    EXPECT_EQ(n[1], -0.5);
    EXPECT_EQ(n[2], 1000);
    for (int k : {3, 4, 5, 6}) EXPECT_TRUE(std::isnan(n[k])) << k;
    EXPECT_EQ(t.repairs.all()[0].count, 4u);
}

TEST(LogTable, RefusalsSayWhereAndWhat) {
    EXPECT_EQ(refusal("a,b\n1,2\n"), "log.csv: error: 1 rows of numbers; a log has at least 2\n");
    EXPECT_EQ(refusal("just words\nand more\n"),
              "log.csv: error: no rows of numbers found\n"
              "      a row has two or more cells, separated by ',' ';' a tab or '|'\n");
    LogForm form;
    form.separator = ';';
    EXPECT_EQ(refusal("a,b\n1,2\n2,3\n", form),
              "log.csv: error: no rows of numbers found\n"
              "      does the mapping state another separator or decimal mark than the log has?\n");
    form = {};
    form.header_line = 9;
    EXPECT_EQ(refusal("a,b\n1,2\n2,3\n", form),
              "log.csv: error: no line 9: the log has 3\n      'header_line' in [log] is beyond the end\n");
}

TEST(LogTable, ALineWithoutEndIsRefused) {
    EXPECT_EQ(refusal("a,b\n1,2\n" + std::string(1100000, ',') + "\n").substr(0, 68),
              "log.csv:3:1: error: a line of 1100000 bytes; at most 1048576 are rea");
}

TEST(LogTable, ALogThatIsTooLargeIsRefusedBeforeItIsRead) {
    Diagnostics d;
    EXPECT_FALSE(read_log_source(PULLCAST_SOURCE "/README.md", d, 1000));
    EXPECT_EQ(render(d.all()), PULLCAST_SOURCE
              "/README.md: error: a log of 1 MiB; at most 0 MiB are read\n      cut it at the sessions\n");
    Diagnostics fine;
    EXPECT_TRUE(read_log_source(PULLCAST_SOURCE "/README.md", fine));
}

TEST(UnitWords, AreThoseOfLoggers) {
    const std::pair<const char*, const char*> words[] = {
        {"C", "degC"},    {"°C", "degC"},  {"[deg C]", "degC"}, {"F", "degF"},      {"1/min", "rpm"},
        {"U/min", "rpm"}, {"RPM", "rpm"},  {"KPA", "kPa"},      {"hPa", "hPa"},     {"inHg", "inHg"},
        {"(%)", "%"},     {"deg", "deg"},  {"kph", "km/h"},     {"HP", "hp"},       {"PS", "PS"},
        {"CV", "PS"},     {"Nm", "N m"},   {"lb-ft", "lb ft"},  {"ft-lb", "lb ft"}, {"ms", "ms"},
        {"sec", "s"},     {"lambda", "1"}, {"AFR", "AFR"},      {"L/min", "L/min"}, {"g/s", "g/s"}};
    for (const auto& [written, unit] : words) {
        const auto word = unit_word(written);
        ASSERT_TRUE(word) << written;
        EXPECT_EQ(word->unit, unit) << written;
    }
    EXPECT_TRUE(unit_word("psig")->gauge);
    EXPECT_TRUE(unit_word("kPa abs")->absolute);
    EXPECT_FALSE(unit_word("kPa")->gauge || unit_word("kPa")->absolute);
    for (const char* none : {"", "furlong", "Sensor", "S", "[]"}) EXPECT_FALSE(unit_word(none)) << none;
}

TEST(UnitWords, AreTakenOffAHeading) {
    struct Case {
        const char *cell, *name, *unit;
    };
    const Case cases[] = {{"MAP [kPa]", "MAP", "kPa"},       {"MAP (kPa)", "MAP", "kPa"},
                          {"MAP/kPa", "MAP", "kPa"},         {"MAP_kPa", "MAP", "kPa"},
                          {"MAP kPa", "MAP", "kPa"},         {"Engine RPM", "Engine", "RPM"},
                          {"Speed km/h", "Speed", "km/h"},   {"Speed/km/h", "Speed", "km/h"},
                          {"p (kPa(abs))", "p", "kPa(abs)"}, {"Lambda 1", "Lambda 1", ""},
                          {"Sensor C", "Sensor C", ""},      {"A/F", "A/F", ""},
                          {"Lambda min", "Lambda min", ""},  {"IAT", "IAT", ""},
                          {"n [1/min]", "n", "1/min"},       {"Zeit [s]", "Zeit", "s"}};
    for (const auto& c : cases) {
        const auto h = heading(c.cell);
        EXPECT_EQ(h.name, c.name) << c.cell;
        EXPECT_EQ(h.unit, c.unit) << c.cell;
    }
}

}  // namespace log_table_tests

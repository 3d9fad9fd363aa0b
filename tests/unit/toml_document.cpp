#include <gtest/gtest.h>
#include <pullcast/scenario/toml_document.hpp>

namespace toml_document_tests {

using namespace pullcast;

std::optional<Value> parse(const std::string& text, Diagnostics& d) {
    return parse_toml(std::make_shared<const SourceFile>(SourceFile{"t.toml", text}), d);
}
Value parsed(const std::string& text) {
    Diagnostics d;
    auto root = parse(text, d);
    EXPECT_TRUE(root) << render(d.all());
    return root.value_or(Value{{}, Table{}});
}
std::string errors(const std::string& text) {
    Diagnostics d;
    EXPECT_FALSE(parse(text, d));
    return render(d.all());
}

TEST(TomlDocument, KeepsTheOrderOfTheFileAndEveryPlace) {
    const auto root = parsed("zebra = 1\napple = \"31 °C\" # é\n[b.inner]\nx = [1, 2.5, true]\n[a]\n");
    const auto& t = *root.table();
    ASSERT_EQ(t.size(), 4u);
    EXPECT_EQ(t[0].key, "zebra");
    EXPECT_EQ(*t[0].value.as<std::int64_t>(), 1);
    EXPECT_EQ(*t[1].value.text(), "31 °C");
    EXPECT_EQ(t[1].place.line, 2u);
    EXPECT_EQ(t[1].place.length, 5u);
    EXPECT_EQ(t[1].value.place.column, 9u);
    EXPECT_EQ(t[1].value.place.length, 7u);
    EXPECT_EQ(t[2].key, "b");
    const auto& inner = (*t[2].value.table())[0];
    EXPECT_EQ(inner.place.line, 3u);
    EXPECT_EQ(inner.place.column, 4u);
    const auto& array = *(*inner.value.table())[0].value.as<std::vector<Value>>();
    EXPECT_EQ(*array[1].as<double>(), 2.5);
    EXPECT_TRUE(*array[2].as<bool>());
    EXPECT_EQ(array[2].place.column, 14u);
    EXPECT_EQ(t[3].key, "a");
}

TEST(TomlDocument, TakesEmptyFilesByteOrderMarksAndWindowsLines) {
    EXPECT_TRUE(parsed("").table()->empty());
    EXPECT_EQ(parsed("\xEF\xBB\xBF" "a = 1\r\nb = 2\r\n").table()->size(), 2u);
    EXPECT_EQ(*(*parsed("a = '''\n[&\nx\"''' # [&\nb = 2").table())[0].value.text(), "[&\nx\"");
}

TEST(TomlDocument, WritesValuesAsTheFileDoes) {
    const auto root = parsed("t = { a = 1, b = \"x\", c = [1.5, false] }\nl = [1, 2, 3, 4, 5, 6, 7]\n");
    EXPECT_EQ(to_text((*root.table())[0].value), "{a = 1, b = \"x\", c = [1.5, false]}");
    EXPECT_EQ(to_text((*root.table())[1].value), "[1, 2, 3, 4, 5, ...]");
}

/// Typos on which the parser behind this would stop the process.
TEST(TomlDocument, SurvivesTypos) {
    for (const char* text : {"[&",
                             "[$x]",
                             "[é]",
                             "T = 31 °C",
                             "[",
                             "[[",
                             "[[a]",
                             "a",
                             "a =",
                             "a = [",
                             "a = {",
                             "=",
                             "\"",
                             "'",
                             "\"\"\"",
                             "a = \"\\",
                             "a = \"\\q\"",
                             "\xFF",
                             "a = \"\xFF\"",
                             "a = 1e",
                             "a = 0x",
                             "a = 1__0",
                             "a.b = 1\na = 2",
                             "[a]\n[a]",
                             "a = 1979-05-27T",
                             "a = +",
                             "]",
                             "}",
                             "a = [1,, 2]",
                             "a = { b = 1,, c = 2 }"})
        EXPECT_NE(errors(text), "") << text;
}

TEST(TomlDocument, RefusesWhatIsTooLargeOrTooDeep) {
    EXPECT_EQ(errors("a = \"" + std::string(5 << 20, 'x') + "\""), "t.toml: error: the file is larger than 4 MiB\n");
    std::string dots = "a";
    for (int i = 0; i < 50000; ++i) dots += ".a";
    EXPECT_NE(errors(dots + " = 1").find(": error: more than 15 dots in a line\n"), std::string::npos);
    EXPECT_NE(errors("a = " + std::string(5000, '[')).find(": error: brackets nested deeper than 16\n"),
              std::string::npos);
}

TEST(TomlDocument, PointsAtACharacterOutsideQuotes) {
    EXPECT_EQ(errors("a = 1\nT = 31 °C\n"),
              "t.toml:2:8: error: a character outside quotes that is not plain ASCII\n"
              "    2 | T = 31 °C\n"
              "      |        ^ put values with units in quotes: \"31 degC\"\n");
}

TEST(TomlDocument, PointsAtAnOpenQuote) {
    EXPECT_EQ(errors("a = 1\nb = \"3 L\nc = 2\n"),
              "t.toml:2:5: error: this quote is not closed\n    2 | b = \"3 L\n      |     ^\n");
}

TEST(TomlDocument, RefusesNumbersThatAreNone) {
    EXPECT_EQ(errors("a = inf\nb = 07:32:00\n"),
              "t.toml:1:5: error: inf is not a number to work with\n    1 | a = inf\n      |     ^^^\n"
              "t.toml:2:5: error: dates and times are not used here\n"
              "    2 | b = 07:32:00\n      |     ^^^^^^^^ put it in quotes if it is a text\n");
}

}  // namespace toml_document_tests

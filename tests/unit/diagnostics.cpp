#include <gtest/gtest.h>
#include <pullcast/scenario/diagnostics.hpp>

namespace diagnostics_tests {

using namespace pullcast;

Source source(const char* name, const char* text) { return std::make_shared<const SourceFile>(SourceFile{name, text}); }

const Source rig = source("rigs/v6.toml", "title = \"x\"\r\nvolume = \"-3 L\"\n\ttemperature = \"31 °X\"");

TEST(Diagnostics, QuotesTheLineAndMarksTheValue) {
    EXPECT_EQ(
        render(Diagnostic{Severity::error, {rig, 2, 10, 6}, "volume must be greater than 0", "such as \"3 L\"", {}}),
        "rigs/v6.toml:2:10: error: volume must be greater than 0\n"
        "    2 | volume = \"-3 L\"\n"
        "      |          ^^^^^^ such as \"3 L\"\n");
}

TEST(Diagnostics, CountsCharactersNotBytesAndShowsTabsAsBlanks) {
    EXPECT_EQ(render(Diagnostic{Severity::warning, {rig, 3, 20, 2}, "unknown unit", {}, {}}),
              "rigs/v6.toml:3:20: warning: unknown unit\n"
              "    3 |  temperature = \"31 °X\"\n"
              "      |                    ^^\n");
}

TEST(Diagnostics, KeepsTheMarkWithinTheLine) {
    EXPECT_EQ(render(Diagnostic{Severity::error, {rig, 1, 9, 99}, "m", {}, {}}),
              "rigs/v6.toml:1:9: error: m\n    1 | title = \"x\"\n      |         ^^^\n");
    EXPECT_EQ(render(Diagnostic{Severity::error, {rig, 7, 5, 1}, "m", {}, {}}),
              "rigs/v6.toml:7:5: error: m\n    7 | \n      | ^\n");
}

TEST(Diagnostics, CutsALongLineAroundTheMark) {
    const auto at = source("long.toml", std::string(500, 'a').replace(300, 3, "bad").c_str());
    const auto text = render(Diagnostic{Severity::error, {at, 1, 301, 3}, "m", {}, {}});
    EXPECT_EQ(text, "long.toml:1:301: error: m\n    1 | ... " + std::string(60, 'a') + "bad" + std::string(57, 'a') +
                        " ...\n      | " + std::string(64, ' ') + "^^^\n");
}

TEST(Diagnostics, TellsAWholeFileAndNotes) {
    const Diagnostic whole{
        Severity::error, {rig}, "no components", "add one", {{Severity::note, {rig, 1, 1, 5}, "here", {}, {}}}};
    EXPECT_EQ(
        render(whole),
        "rigs/v6.toml: error: no components\n      add one\n"
        "rigs/v6.toml:1:1: note: here\n    1 | title = \"x\"\n      | ^^^^^\n");
    EXPECT_EQ(render(Diagnostic{Severity::error, {}, "nowhere", {}, {}}), "error: nowhere\n");
}

TEST(Diagnostics, ColoursOnRequestOnly) {
    const Diagnostic d{Severity::error, {rig, 1, 1, 5}, "m", {}, {}};
    EXPECT_EQ(render(d).find('\x1b'), std::string::npos);
    EXPECT_EQ(render(d, true),
              "\x1b[1mrigs/v6.toml:1:1: \x1b[0m\x1b[1;31merror:\x1b[0m m\n"
              "    1 | title = \"x\"\n      | \x1b[1;31m^^^^^\x1b[0m\n");
}

TEST(Diagnostics, CollectsSortsAndTellsARepetitionOnce) {
    Diagnostics d;
    const auto other = source("a.toml", "x = 1");
    d.error({rig, 2, 1, 1}, "second");
    d.error({rig, 1, 1, 1}, "first");
    d.error({source("rigs/v6.toml", ""), 2, 1, 1}, "second");  // the same file, read again
    d.warning({other, 1, 1, 1}, "only a warning");
    ASSERT_EQ(d.all().size(), 3u);
    try {
        d.throw_if_failed();
        FAIL();
    } catch (const ScenarioError& e) {
        ASSERT_EQ(e.diagnostics().size(), 2u);
        EXPECT_STREQ(e.what(),
                     "rigs/v6.toml:1:1: error: first\n    1 | title = \"x\"\n      | ^\n"
                     "rigs/v6.toml:2:1: error: second\n    2 | volume = \"-3 L\"\n      | ^\n");
    }
}

TEST(Diagnostics, WarningsAloneDoNotFail) {
    Diagnostics d;
    d.warning({rig, 1, 1, 1}, "m");
    EXPECT_FALSE(d.failed());
    EXPECT_NO_THROW(d.throw_if_failed());
}

}  // namespace diagnostics_tests

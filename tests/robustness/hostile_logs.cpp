// Logs that are wrong in one way each (tests/robustness/logs): each imports with exactly the repairs, faults and pulls,
// or fails with exactly the message, of NAME.expected beside it. NAME.toml is its mapping; without one it is guessed.
// PULLCAST_RECORD=1 in the environment writes the expected files anew: read the diff.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <pullcast/measure/inspection.hpp>
#include <sstream>

namespace hostile_logs_tests {

using namespace pullcast;
using namespace pullcast::measure;
namespace fs = std::filesystem;

const fs::path folder = fs::path(PULLCAST_SOURCE) / "tests/robustness/logs";

std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return std::move(text).str();
}
/// Named as if the test ran in the folder.
Source source_of(const fs::path& file) {
    auto source = std::make_shared<SourceFile>();
    source->name = file.filename().string(), source->text = content(file);
    return source;
}
std::vector<std::string> names() {
    std::vector<std::string> all;
    for (const auto& e : fs::directory_iterator(folder))
        if (e.path().extension() == ".csv") all.push_back(e.path().stem().string());
    std::sort(all.begin(), all.end());
    return all;
}

std::optional<MeasuredLog> imported(const std::string& name, Diagnostics& d) {
    std::optional<LogMapping> mapping;
    if (const auto toml = folder / (name + ".toml"); fs::exists(toml)) {
        mapping = read_mapping(source_of(toml), d);
        if (!mapping) return {};
    }
    auto table = read_log_table(source_of(folder / (name + ".csv")), mapping ? mapping->form : LogForm{}, d);
    if (table && !mapping) mapping = guess_mapping(*table, false, d);
    if (!table || d.failed()) return {};
    return measured_log(std::move(*table), std::move(*mapping), d);
}

class HostileLog : public testing::TestWithParam<std::string> {};

TEST_P(HostileLog, ImportsOrFailsWithExactlyTheseWords) {
    Diagnostics d;
    const auto log = imported(GetParam(), d);
    EXPECT_NE(log.has_value(), d.failed());
    if (log) {
        EXPECT_EQ(log->size() + log->rows_left_out, log->table.lines_below_header);
    }
    const auto text = log ? inspection_text(*log, UnitSystem::metric, 100, true) : render(d.all());
    const auto expected = folder / (GetParam() + ".expected");
    if (std::getenv("PULLCAST_RECORD")) std::ofstream(expected) << text;
    EXPECT_EQ(text, content(expected));
}

INSTANTIATE_TEST_SUITE_P(All, HostileLog, testing::ValuesIn(names()), [](const auto& name) {
    std::string words = name.param;
    std::replace(words.begin(), words.end(), '-', '_');
    return words;
});

TEST(HostileLogs, AreFortyWithNothingLeftOver) {
    EXPECT_EQ(names().size(), 40u);
    for (const auto& e : fs::directory_iterator(folder)) {
        if (e.path().extension() == ".md") continue;
        EXPECT_TRUE(fs::exists(folder / (e.path().stem().string() + ".csv"))) << e.path();
        EXPECT_TRUE(fs::exists(folder / (e.path().stem().string() + ".expected"))) << e.path();
    }
}

}  // namespace hostile_logs_tests

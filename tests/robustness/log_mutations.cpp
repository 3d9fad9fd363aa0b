// Seeded mutations of a good log: never a crash, and never a row lost without a word.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/measure/inspection.hpp>
#include <random>

namespace log_mutations_tests {

using namespace pullcast;
using namespace pullcast::measure;

Source source_of(std::string text) {
    auto source = std::make_shared<SourceFile>();
    source->name = "mutated.csv", source->text = std::move(text);
    return source;
}

/// Idle, a pull of 6 s and a lift-off, ten rows a second.
std::string good_log() {
    std::string text = "# invented log\ntime [s];rpm;MAP [kPa];IAT [C];TPS [%];Lambda\n";
    for (int k = 0; k < 120; ++k) {
        const double t = 0.1 * k;
        const bool pull = t >= 2 && t < 8;
        const double speed = t < 2 ? 2000 : pull ? 2000 + 700 * (t - 2) : std::max(900.0, 6200 - 1300 * (t - 8));
        text += fmt::format("{:.1f};{:.0f};{:.1f};{:.1f};{};0.{}\n", t, speed, pull ? 150 + t : 45.5, 30 + 2 * t,
                            pull ? 100 : 12, 85 + k % 4);
    }
    return text;
}

std::string mutated(std::string text, std::mt19937& random) {
    const auto at = [&] { return std::uniform_int_distribution<std::size_t>(0, text.size() - 1)(random); };
    static constexpr std::string_view pieces[] = {";",
                                                  ",",
                                                  "\t",
                                                  "|",
                                                  "\"",
                                                  "\n",
                                                  "\r",
                                                  "\r\n",
                                                  ".",
                                                  "-",
                                                  "e9",
                                                  "nan",
                                                  "#",
                                                  "[",
                                                  "\xFF",
                                                  "\xC3",
                                                  ":",
                                                  "1e308",
                                                  "12:03:04",
                                                  "time [s];rpm;MAP [kPa];IAT [C];TPS [%];Lambda\n",
                                                  "\n\n",
                                                  "2026-05-01T00:00:00",
                                                  "999999999999",
                                                  " ",
                                                  "%",
                                                  "C"};
    const int changes = std::uniform_int_distribution(1, 8)(random);
    for (int k = 0; k < changes && !text.empty(); ++k) {
        const auto piece = pieces[random() % std::size(pieces)];
        switch (random() % 6) {
            case 0:
                text.insert(at(), piece);
                break;
            case 1:
                text.erase(at(), 1 + random() % 12);
                break;
            case 2:
                text[at()] = static_cast<char>(random() % 256);
                break;
            case 3:
                text.resize(at());
                break;
            case 4:
                text.insert(at(), text.substr(at(), random() % 200));
                break;
            default:
                std::swap(text[at()], text[at()]);
        }
    }
    return text;
}

std::size_t listed(const std::vector<Repair>& repairs) {
    std::size_t n = 0;
    for (const auto& r : repairs) {
        std::size_t lines = 0;
        for (const auto& l : r.lines) lines += l.last - l.first + 1;
        EXPECT_LE(lines, r.count) << r.what;
        if (!r.row_left_out) continue;
        EXPECT_EQ(lines, r.count) << r.what;
        n += r.count;
    }
    return n;
}

TEST(LogMutations, TheGoodLogIsGood) {
    Diagnostics d;
    auto table = read_log_table(source_of(good_log()), {}, d);
    ASSERT_TRUE(table) << render(d.all());
    EXPECT_TRUE(table->repairs.all().empty());
    auto mapping = guess_mapping(*table, false, d);
    const auto log = measured_log(std::move(*table), std::move(mapping), d);
    ASSERT_TRUE(log) << render(d.all());
    EXPECT_EQ(log->size(), 120u);
    EXPECT_EQ(log->pulls.size(), 1u);
}

TEST(LogMutations, NeverLoseARowWithoutAWord) {
    const auto good = good_log();
    std::mt19937 random(20260501);
    int read = 0, refused = 0;
    for (int k = 0; k < 3000; ++k) {
        const auto text = mutated(good, random);
        Diagnostics d;
        auto table = read_log_table(source_of(text), {}, d);
        std::optional<MeasuredLog> log;
        if (table) {
            const auto below = table->lines_below_header;
            EXPECT_EQ(table->rows() + table->repairs.rows_left_out(), below) << text;
            EXPECT_EQ(table->rows() + listed(table->repairs.all()), below) << text;
            auto mapping = guess_mapping(*table, false, d);
            mapping.time.sort = random() % 2;
            if (!d.failed()) log = measured_log(std::move(*table), std::move(mapping), d);
        }
        EXPECT_NE(log.has_value(), d.failed()) << text;
        if (!log) {
            ++refused;
            continue;
        }
        ++read;
        EXPECT_EQ(log->size() + listed(log->repairs), log->table.lines_below_header) << text;
        EXPECT_FALSE(inspection_text(*log, UnitSystem::us, 80, true).empty());
        for (const auto& c : log->channels) EXPECT_EQ(c.reading.size(), log->size());
    }
    EXPECT_GT(read, 500);
    EXPECT_GT(refused, 100);
}

}  // namespace log_mutations_tests

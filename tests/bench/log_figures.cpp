// Reading a large measured log, and what follows the reading.
#include <fmt/format.h>

#include <pullcast/measure/measured_log.hpp>

#include "figure.hpp"

namespace pullcast::bench {
namespace {

constexpr int rows = 500'000, columns = 30;

/// One hundred rows a second with three decimals: 30 columns, of which eight are channels.
Source large_log() {
    auto source = std::make_shared<SourceFile>();
    source->name = "large.csv";
    auto& text = source->text;
    text = "time [s],rpm,MAP [kPa],IAT [C],TPS [%],Lambda,Spark [deg],ECT [C],Baro [kPa]";
    for (int c = 9; c < columns; ++c) text += fmt::format(",spare {}", c);
    for (int k = 0; k < rows; ++k) {
        const double saw = k % 2000;  // a climb of 20 s, again and again
        text += fmt::format("\n{:.3f},{:.3f},{:.3f},{:.3f},{:.1f},0.{},{:.2f},{:.2f},98.{}", 0.01 * k, 1500 + 2.5 * saw,
                            100 + 0.05 * saw + k % 7 * 0.1, 30 + 0.01 * saw, saw < 50 ? 20.0 : 100.0, 850 + k % 9,
                            15 + 0.01 * saw, 88 + 0.02 * (k % 11), 50 + k % 3);
        for (int c = 9; c < columns; ++c) text += fmt::format(",{:.3f}", 0.37 * c * (k % 1001));
    }
    text += '\n';
    return source;
}

}  // namespace

int log_figures() {
    const auto source = large_log();
    Diagnostics d;
    const auto megabytes = fmt::format("{:.0f} MB of text", 1e-6 * static_cast<double>(source->text.size()));
    std::optional<measure::LogTable> table;
    const double read = seconds_of([&] { table = measure::read_log_table(source, {}, d); }, 3, 0);
    const auto mapping = measure::guess_mapping(*table, false, d);
    std::size_t pulls = 0;
    const auto judge = [&] { pulls = measure::measured_log(*table, mapping, d)->pulls.size(); };
    const double judged = seconds_of(judge, 3, 0);
    int missed = !report("log of 500,000 rows x 30 columns, to a table", read, "s", Bound::at_most, 1, megabytes);
    missed += !report("the same: units, time, faults and pulls", judged, "s", Bound::at_most, 1,
                      fmt::format("{} channels, {} pulls, with a copy of the table", mapping.channels.size(), pulls));
    return missed;
}

}  // namespace pullcast::bench

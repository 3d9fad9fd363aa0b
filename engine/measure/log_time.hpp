/// Time of day and date in text, and the times of a log's rows.
#pragma once
#include <pullcast/measure/log_mapping.hpp>

namespace pullcast::measure {

/// "12:03:04.5", "3:04.5" (minutes first): seconds.
std::optional<double> clock_seconds(std::string_view text);
/// ISO 8601: "2026-05-01T12:03:04.5", with a blank for 'T', ',' for '.', and "Z" or "+02:00": seconds since 1970 UTC.
std::optional<double> date_time_seconds(std::string_view text);

/// The rows that are used, in the order of time, and their times from the first.
struct Timeline {
    std::vector<std::size_t> row;  // of the table
    std::vector<double> time;      // s
    double step = 0;               // the usual one, s
    std::vector<std::size_t> gap;  // k: between row k - 1 and k
};
/// Repairs go to `repairs`. Nothing and an error where time falls and may not be sorted.
std::optional<Timeline> timeline_of(const LogTable& table, const LogMapping& mapping, Repairs& repairs,
                                    Diagnostics& diagnostics);

}  // namespace pullcast::measure

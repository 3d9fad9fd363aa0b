/// Logs made in memory for the tests of channels, faults and pulls.
#pragma once
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <functional>
#include <pullcast/measure/measured_log.hpp>

namespace made_log {

using namespace pullcast;
using namespace pullcast::measure;

inline Source source_of(std::string text, const char* name = "log.csv") {
    auto source = std::make_shared<SourceFile>();
    source->name = name, source->text = std::move(text);
    return source;
}

inline std::optional<MeasuredLog> try_measure(const std::string& text, const std::string& toml, Diagnostics& d) {
    const auto mapping = read_mapping(source_of(toml, "map.toml"), d);
    if (!mapping) return {};
    auto table = read_log_table(source_of(text), mapping->form, d);
    if (!table) return {};
    return measured_log(std::move(*table), *mapping, d);
}
inline MeasuredLog measure_log(const std::string& text, const std::string& toml) {
    Diagnostics d;
    auto log = try_measure(text, toml, d);
    EXPECT_TRUE(log) << render(d.all());
    return log ? std::move(*log) : MeasuredLog{};
}
inline std::string refusal(const std::string& text, const std::string& toml) {
    Diagnostics d;
    EXPECT_FALSE(try_measure(text, toml, d));
    return render(d.all());
}

/// The rule of a column: its value at a time, s.
using Course = std::function<double(double)>;
/// Rows at `rate` a second for `duration` seconds.
inline std::string text_of(const std::string& header, double duration, double rate,
                           const std::vector<Course>& courses) {
    std::string text = header + "\n";
    for (int k = 0; k <= duration * rate; ++k) {
        text += fmt::format("{:.4f}", k / rate);
        for (const auto& c : courses) text += fmt::format(",{:.4f}", c(k / rate));
        text += "\n";
    }
    return text;
}

}  // namespace made_log

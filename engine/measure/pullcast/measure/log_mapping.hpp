/// Which column of a log is what: read from TOML, guessed from the header, written for editing. The keys are described
/// in engine/measure/README.md.
#pragma once
#include <cmath>
#include <filesystem>
#include <pullcast/measure/channel_kinds.hpp>
#include <pullcast/measure/log_table.hpp>
#include <pullcast/schema.hpp>

namespace pullcast::measure {

enum class TimeStyle : std::uint8_t { number, clock, date_time, samples };

struct TimeMap {
    std::string column;  // "": none, with samples only
    TimeStyle style = TimeStyle::number;
    std::string unit = "s";
    double rate = 0;     // samples a second, with samples only
    bool sort = false;   // rows out of order are sorted instead of refused
    std::string remark;  // how it was guessed
    Place place, column_place;
};

enum class Reference : std::uint8_t { none, gauge, absolute };

/// 19 times in 20 a reading is within absolute + of_reading |reading|. SI.
struct Accuracy {
    double absolute = 0, of_reading = 0;
    bool assumed = true;
    std::string text;  // as the mapping states it

    /// As one standard deviation, for errors that are normally distributed.
    double deviation(double reading) const { return (absolute + of_reading * std::fabs(reading)) / 1.959964; }
};

/// A channel from a column, or stated as one value.
struct ChannelMap {
    const ChannelKind* kind = nullptr;
    std::string column, unit;
    Reference reference = Reference::none;
    std::optional<double> value;  // SI
    std::string value_text;
    double stoichiometric_afr = 0;  // where the unit is "AFR"
    Accuracy accuracy;
    double low = 0, high = 0;  // readings beyond are masked, SI
    std::string low_text, high_text;
    std::string remark;
    Place place, column_place, unit_place;
};

/// [faults]: thresholds of what is masked.
struct FaultRules {
    double spike = 8, stuck_samples = 50, rail_samples = 15, gap = 5;
    static void describe(Schema<FaultRules>& s);
};
/// [pulls]: what a pull is.
struct PullRules {
    double full_throttle = 0.8, least_climb = 0, least_duration = 2, least_rate = 0, dip = 0;
    static void describe(Schema<PullRules>& s);
};

struct LogMapping {
    LogForm form;
    TimeMap time;
    std::vector<ChannelMap> channels;
    FaultRules faults;
    PullRules pulls;
    std::vector<std::string> unused;  // columns that a guess left aside, for the written file

    const ChannelMap* find(std::string_view channel) const;
};

/// With the presets of [faults] and [pulls].
LogMapping empty_mapping();

/// The mapping of a TOML file, or nothing and at least one error.
std::optional<LogMapping> read_mapping(const std::filesystem::path& file, Diagnostics& diagnostics);
std::optional<LogMapping> read_mapping(const Source& source, Diagnostics& diagnostics);

/// A mapping from header words, units and readings; `us`: units that the log does not give are taken as US units
/// instead of metric ones. Where no column of time is found that is an error, and the rest is there for editing.
LogMapping guess_mapping(const LogTable& table, bool us, Diagnostics& diagnostics);

/// As TOML text, with remarks and the columns that are not used. Reads back to the same mapping.
std::string mapping_text(const LogMapping& mapping, const std::string& log_name);

}  // namespace pullcast::measure

/// A log made ready for use: SI units, times from the first row, faults masked, pulls found, and every repair listed.
#pragma once
#include <pullcast/measure/log_mapping.hpp>

namespace pullcast::measure {

enum class Fault : std::uint8_t { out_of_range, spike, stuck, at_rail };
const char* in_words(Fault fault);

/// Readings first..last (indices of the log's times, both included) of a channel that are masked for one reason.
struct FaultRun {
    Fault fault;
    std::size_t first = 0, last = 0;
    double value = 0;  // the first reading, SI
};

struct Channel {
    const ChannelKind* kind = nullptr;
    std::string column, unit;     // as the log has them; column "" for a stated value
    std::vector<double> reading;  // SI, absolute where it is a pressure; NaN where the log has none
    std::vector<bool> masked;     // by a fault
    std::vector<FaultRun> faults;
    Accuracy accuracy;
    std::size_t readings = 0;  // that are numbers, masked ones included

    bool usable(std::size_t k) const { return !masked[k] && reading[k] == reading[k]; }
    /// NaN where it is masked or missing.
    double at(std::size_t k) const { return usable(k) ? reading[k] : std::numeric_limits<double>::quiet_NaN(); }
    std::size_t masked_count() const;
};

enum class Evidence : std::uint8_t { throttle, manifold_pressure, speed_alone };

/// A climb of the crank's speed at full throttle, indices first..last, both included.
struct Pull {
    std::size_t first = 0, last = 0;
    double start = 0, end = 0;             // s
    double low_speed = 0, high_speed = 0;  // rad/s
    Evidence evidence = Evidence::throttle;
    struct Temperature {
        const ChannelKind* kind;
        double value;  // K, median of the half second up to the start
    };
    std::vector<Temperature> temperatures;

    double duration() const { return end - start; }
};

struct MeasuredLog {
    LogTable table;
    LogMapping mapping;
    std::vector<double> time;         // s from the first row
    std::vector<std::uint32_t> line;  // of each time
    double step = 0;                  // the usual one, s
    std::vector<std::size_t> gaps;    // k: between time k - 1 and k
    std::vector<Channel> channels;
    std::vector<Pull> pulls;
    std::vector<Repair> repairs;       // of the text, then of time
    std::size_t rows_left_out = 0;     // lines below the header = rows used + this
    std::vector<std::string> remarks;  // what else a reader should know

    std::size_t size() const { return time.size(); }
    const Channel* find(std::string_view channel) const;
    /// Lines of the readings first..last.
    Lines lines(std::size_t first, std::size_t last) const;
};

/// Nothing and at least one error where the mapping does not fit the log.
std::optional<MeasuredLog> measured_log(LogTable table, LogMapping mapping, Diagnostics& diagnostics);

/// Masks what is faulty, in this order: out of range, spikes, at a rail, stuck. `moving` is the channel whose movement
/// shows that a reading without a change is stuck; null: that is not looked for.
void find_faults(Channel& channel, const Channel* moving, const ChannelMap& map, const FaultRules& rules);

/// The pulls of a log whose channels are complete.
std::vector<Pull> find_pulls(const MeasuredLog& log, const PullRules& rules);

}  // namespace pullcast::measure

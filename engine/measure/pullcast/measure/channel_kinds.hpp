/// The channels that a log may give: what they mean, where readings are physical, and what is assumed of their sensors.
#pragma once
#include <span>
#include <string_view>

namespace pullcast::measure {

/// A manifold at overrun holds one low pressure for long, so that a low rail cannot be told from it.
enum class Rails : unsigned char { none, top, both };

struct ChannelKind {
    std::string_view name, unit, doc;  // unit: SI, as in schemas
    double low, high;                  // readings beyond are no readings
    double accuracy, of_reading;       // assumed: a reading is within accuracy + of_reading |reading|, 19 times in 20
    double least_spike;                // a smaller deviation is never a spike; 0: spikes are not looked for
    double patience;                   // times stuck_samples without a change that are a fault; 0: never a fault
    Rails rails;                       // ends of the sensor's range at which readings are clipped
    bool rests;                        // stays at zero while the car stands or coasts

    bool is_pressure() const { return unit == "Pa"; }
};

std::span<const ChannelKind> channel_kinds();
const ChannelKind* find_kind(std::string_view name);

}  // namespace pullcast::measure

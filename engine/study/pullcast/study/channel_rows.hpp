/// All channels of a pull as cells of a CSV file.
#pragma once
#include <pullcast/scenario/units.hpp>
#include <pullcast/solve/pull.hpp>
#include <string>
#include <vector>

namespace pullcast {

class ChannelRows {
public:
    ChannelRows(const Network& network, UnitSystem system);

    std::string header() const;  // "ambient.air.p [kPa],..."
    /// Appends the cells of a report point; empty ones for what is not there.
    void append(const Pull& pull, std::size_t point, std::string& out) const;

private:
    const Network& network_;
    std::vector<Display> units_;
};

}  // namespace pullcast

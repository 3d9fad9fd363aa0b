#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <pullcast/study/channel_rows.hpp>

namespace pullcast {

ChannelRows::ChannelRows(const Network& network, UnitSystem system) : network_(network) {
    for (const auto& c : network.channels()) units_.push_back(display_unit(c.unit, system, c.item));
}

std::string ChannelRows::header() const {
    std::string out;
    for (std::size_t c = 0; c < units_.size(); ++c)
        out += fmt::format("{}{} [{}]", c ? "," : "", network_.channels()[c].name, units_[c].unit);
    return out;
}

void ChannelRows::append(const Pull& pull, std::size_t point, std::string& out) const {
    for (std::size_t c = 0; c < units_.size(); ++c) {
        if (c) out += ',';
        const double v = pull.at(point, c);
        if (!std::isnan(v)) fmt::format_to(std::back_inserter(out), "{:.9g}", units_[c](v));
    }
}

}  // namespace pullcast

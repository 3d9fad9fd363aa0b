/// What was found in a log, as plain text.
#pragma once
#include <pullcast/measure/measured_log.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast::measure {

/// Form, channels with ranges, faults, repairs and pulls. Long lists of lines are cut and counted, unless `all`.
std::string inspection_text(const MeasuredLog& log, UnitSystem system, std::size_t width, bool all);

}  // namespace pullcast::measure

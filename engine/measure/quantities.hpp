/// Numbers with units in a study's tables of measured pulls.
#pragma once
#include <optional>
#include <pullcast/scenario/toml_document.hpp>
#include <string>

namespace pullcast::measure {

/// The unit of a difference of two values: kelvins are then no temperatures.
inline std::string difference_unit(const std::string& unit) { return unit == "K" ? "dK" : unit; }

/// The entry's number in a schema unit, or nothing and an error. `where` names its table: "[fit.core]".
std::optional<double> quantity(const Entry& e, const std::string& unit, const std::string& where, Diagnostics& d);

}  // namespace pullcast::measure

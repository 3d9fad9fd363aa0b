/// Units as loggers write them, in the words of the project's units table.
#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace pullcast::measure {

/// "C" -> "degC", "1/min" -> "rpm", "kPag" -> "kPa" and gauge, "AFR" -> "AFR"; brackets around it are taken off.
struct UnitWord {
    std::string unit;  // as parse_unit takes it; "1" for none ("lambda", "-"); "AFR": ratio of air to fuel
    bool gauge = false, absolute = false;  // what the spelling itself says of a pressure
};
std::optional<UnitWord> unit_word(std::string_view text);

/// A header's cell in name and unit: "MAP [kPa]", "MAP (kPa)", "MAP/kPa", "MAP_kPa", "MAP kPa". The unit is "" where
/// there is none.
struct Heading {
    std::string_view name, unit;
};
Heading heading(std::string_view cell);

}  // namespace pullcast::measure

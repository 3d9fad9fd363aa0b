#include "quantities.hpp"

#include <fmt/format.h>

#include <pullcast/scenario/units.hpp>

namespace pullcast::measure {

std::optional<double> quantity(const Entry& e, const std::string& unit, const std::string& where, Diagnostics& d) {
    const auto told = fmt::format("{} = {} in {}", e.key, to_text(e.value), where);
    const auto* real = e.value.as<double>();
    const auto* whole = e.value.as<std::int64_t>();
    if (!e.value.text() && unit == "1" && (real || whole)) return real ? *real : static_cast<double>(*whole);
    if (!e.value.text()) {
        const bool plain = unit == "1";
        d.error(e.value.place, told + (plain ? " must be a number" : " must be a number with its unit"),
                plain ? "0.95, or \"95 %\"" : "in quotes: \"3 K\"");
        return {};
    }
    const auto parsed = parse_quantity(*e.value.text(), unit, {.name = e.key});
    if (const auto* v = std::get_if<double>(&parsed)) return *v;
    const auto& wrong = std::get<UnitError>(parsed);
    d.error(e.value.place, fmt::format("{}: {}", told, wrong.message), wrong.hint);
    return {};
}

}  // namespace pullcast::measure

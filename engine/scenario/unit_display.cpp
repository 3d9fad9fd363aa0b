#include <pullcast/scenario/units.hpp>
#include <stdexcept>

namespace pullcast {
namespace {

/// How a unit of the schemas is shown. A row with a word serves the names that hold it; the first row that fits counts.
struct Shown {
    std::string_view schema, word, metric, us;
};
constexpr Shown shown[] = {
    {"K", "", "degC", "degF"}, {"dK", "", "K", "degF"},
    {"Pa", "", "kPa", "psi"}, {"W", "", "kW", "hp"}, {"J", "", "kJ", "Btu"}, {"N m", "", "N m", "lb ft"},
    {"kg/s", "fuel", "g/s", "lb/h"}, {"kg/s", "", "g/s", "lb/min"}, {"rad/s", "", "rpm", "rpm"},
    {"rad/s^2", "", "rpm/s", "rpm/s"}, {"m^3/s", "", "L/min", "gal/min"}, {"m^3/rev", "", "L/rev", "in^3/rev"},
    {"m", "altitude", "m", "ft"}, {"m", "hose", "m", "ft"}, {"m", "", "mm", "in"},
    {"m^2", "", "cm^2", "in^2"}, {"m^3", "coolant", "L", "gal"}, {"m^3", "reservoir", "L", "gal"},
    {"m^3", "", "L", "in^3"},
    {"s", "lasts", "min", "min"}, {"s", "comparable", "min", "min"},
    {"rad", "", "deg", "deg"}, {"kg", "", "kg", "lb"}, {"m/s", "", "km/h", "mph"}, {"N", "", "N", "lbf"},
    {"J/(kg K)", "", "kJ/(kg K)", "Btu/(lb degF)"}, {"J/kg", "", "kJ/kg", "Btu/lb"}, {"J/K", "", "kJ/K", "Btu/degF"},
    {"1", "efficiency", "%", "%"}, {"1", "effectiveness", "%", "%"}, {"1", "slip", "%", "%"},
    {"1", "distance", "%", "%"},
    {"1", "humidity", "%", "%"},
    {"1", "glycol", "%", "%"}, {"1", "opening", "%", "%"}};

/// Both sides have the schema's dimension; slopes and zero points of their conversions.
Display from_unit(std::string_view unit, std::string_view schema_unit) {
    const auto shown_unit = parse_unit(unit), schema = parse_unit(schema_unit);
    const auto *u = std::get_if<Unit>(&shown_unit), *s = std::get_if<Unit>(&schema);
    if (!u || !s) throw std::invalid_argument("no unit: '" + std::string(u ? schema_unit : unit) + "'");
    const double scale = u->den * s->num / (u->num * s->den);
    return {std::string(unit), scale, s->difference ? 0 : s->shift * scale - u->shift};
}

}  // namespace

double to_display(double si, std::string_view unit) {
    const auto parsed = parse_unit(unit);
    const auto* u = std::get_if<Unit>(&parsed);
    if (!u) throw std::invalid_argument("no unit: '" + std::string(unit) + "'");
    return si * u->den / u->num - u->shift;
}

Display display_unit(std::string_view schema_unit, UnitSystem system, std::string_view quantity_hint) {
    if (system != UnitSystem::si)
        for (const auto& row : shown)
            if (row.schema == schema_unit && quantity_hint.find(row.word) != std::string_view::npos)
                return from_unit(system == UnitSystem::us ? row.us : row.metric, schema_unit);
    return schema_unit == "dK" ? Display{"K"} : Display{std::string(schema_unit)};
}

}  // namespace pullcast

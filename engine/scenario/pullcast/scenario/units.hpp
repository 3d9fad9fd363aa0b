/// Units at the edges: text such as "68 mm", "31 degC", "9.5 psig" to numbers in the unit of the schema, and back.
/// Grammar after ISO 80000-1 and NIST SP 811, 6.1: product by space, '*', '-' or a middle dot; powers by '^'; one '/',
/// with brackets where more than one unit stands below it. Exact factors: NIST SP 811 (2008), appendix B.8.
/// Angles, and each currency, count as dimensions of their own, so that "rad/s" is no "1/s" and EUR no USD.
#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace pullcast {

/// What is wrong with a text, what to write instead, and where it is wrong (bytes from the text's start).
struct UnitError {
    std::string message, hint;
    std::size_t position = 0;
};

enum Base : std::uint8_t {
    length,
    mass,
    duration,
    temperature,
    current,
    angle,
    euro,
    dollar,
    sterling,
    substance,
    base_count
};
using Dimension = std::array<std::int8_t, base_count>;

/// SI value = (number + shift) * num / den. Two factors instead of one keep "68 mm" the double nearest to 0.068.
struct Unit {
    double num = 1, den = 1, shift = 0;
    Dimension dimension{};
    bool gauge = false;       // a pressure above ambient
    bool difference = false;  // a temperature difference
};
std::variant<Unit, UnitError> parse_unit(std::string_view text);

/// A finite number at the start of `text`, and how many characters it takes.
struct Number {
    double value = 0;
    std::size_t size = 0;
};
std::variant<Number, UnitError> parse_number(std::string_view text);

/// What a message and a gauge pressure need to know beside the unit of the schema.
struct QuantityContext {
    std::string_view name{};                   // of the parameter or column
    std::optional<double> ambient_pressure{};  // Pa; without it a gauge pressure is an error
};

/// result = (number + shift) * num / den + add
struct Conversion {
    double num = 1, den = 1, shift = 0, add = 0;
    double operator()(double number) const { return (number + shift) * num / den + add; }
};
/// From `unit` to `schema_unit`. `quoted` is the text that a message shows, `number` the part that examples repeat.
/// Throws std::invalid_argument where `schema_unit` is no unit.
std::variant<Conversion, UnitError> conversion(std::string_view unit, std::string_view schema_unit,
                                               const QuantityContext& context, std::string_view quoted,
                                               std::string_view number);

/// The number of `text` in `schema_unit`: SI, as schemas are. "K" takes temperatures, "dK" temperature differences
/// ("12 K", "12 degC", "21 degF": scale only). A number alone serves where the schema's unit is "1", nowhere else.
std::variant<double, UnitError> parse_quantity(std::string_view text, std::string_view schema_unit,
                                               const QuantityContext& context = {});

/// An SI value as a number of `unit`. Throws std::invalid_argument where `unit` is none.
double to_display(double si, std::string_view unit);

enum class UnitSystem { si, metric, us };
/// shown = si * scale + offset
struct Display {
    std::string unit;
    double scale = 1, offset = 0;
    double operator()(double si) const { return si * scale + offset; }
};
/// The unit in which tables and CSV headers show a quantity. `quantity_hint` is its name: "efficiency" is shown in
/// percent and "pressure_ratio" is not. A unit that has no customary form is shown as it is.
Display display_unit(std::string_view schema_unit, UnitSystem system, std::string_view quantity_hint = {});

}  // namespace pullcast

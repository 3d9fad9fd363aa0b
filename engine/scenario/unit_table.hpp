/// The tables behind units.cpp: names and factors, prefixes, what people write instead, and dimensions in words.
/// Factors: NIST SP 811 (2008), appendix B.8; those of defined units are exact.
#pragma once
#include <numbers>
#include <pullcast/scenario/units.hpp>
#include <utility>

namespace pullcast::units {

struct Named {
    std::string_view name;
    Unit unit;
    bool prefixable = false;
};

constexpr Dimension dim(int m, int kg, int s, int k = 0, int a = 0, int rad = 0) {
    const auto i = [](int n) { return static_cast<std::int8_t>(n); };
    return {i(m), i(kg), i(s), i(k), i(a), i(rad)};
}
/// A dimension of its own: a currency, the amount of substance.
constexpr Dimension alone(Base which) {
    Dimension d{};
    d[which] = 1;
    return d;
}
inline constexpr Dimension none = dim(0, 0, 0), metre = dim(1, 0, 0), square = dim(2, 0, 0), cubic = dim(3, 0, 0),
                    kilogram = dim(0, 1, 0), second = dim(0, 0, 1), kelvin = dim(0, 0, 0, 1),
                           turn = dim(0, 0, 0, 0, 0, 1),
                    speed = dim(1, 0, -1), newton = dim(1, 1, -2), pascal = dim(-1, 1, -2), joule = dim(2, 1, -2),
                    watt = dim(2, 1, -3), flow = dim(3, 0, -1), ampere = dim(0, 0, 0, 0, 1);

// SP 811, B.8: in, ft, mi, lb and the US gallon (231 in^3) are exact, g_n = 9.806 65 m/s^2 is exact; the others follow.
inline constexpr double inch = 0.0254, foot = 0.3048, pound = 0.45359237, gravity = 9.80665;
inline constexpr double pound_force = pound * gravity;
inline constexpr double gallon = 231 * inch * inch * inch, btu = 1055.05585262, pi = std::numbers::pi;

// Columns: water of 1000 kg/m^3, mercury of 13 595.1 kg/m^3 (0 degC = 32 degF), as SP 811's "conventional" ones.
inline constexpr Named table[] = {{"1", {}},
                                  {"%", {1, 100}},
                                  {"ppm", {1, 1e6}},
                                  {"m", {1, 1, 0, metre}, true},
                                  {"in", {254, 10000, 0, metre}},
                                  {"ft", {3048, 10000, 0, metre}},
                                  {"mi", {1609.344, 1, 0, metre}},
                                  {"L", {1, 1000, 0, cubic}, true},
                                  {"l", {1, 1000, 0, cubic}, true},
                                  {"cc", {1, 1e6, 0, cubic}},
                                  {"gal", {gallon, 1, 0, cubic}},
                                  {"qt", {gallon, 4, 0, cubic}},
                                  {"g", {1, 1000, 0, kilogram}, true},
                                  {"t", {1000, 1, 0, kilogram}},
                                  {"lb", {pound, 1, 0, kilogram}},
                                  {"oz", {pound, 16, 0, kilogram}},
                                  {"s", {1, 1, 0, second}, true},
                                  {"min", {60, 1, 0, second}},
                                  {"h", {3600, 1, 0, second}},
                                  {"Hz", {1, 1, 0, dim(0, 0, -1)}, true},
                                  {"mph", {1609.344, 3600, 0, speed}},
                                  {"K", {1, 1, 0, kelvin}, true},
                                  {"degC", {1, 1, 273.15, kelvin}},
                                  {"\u00b0C", {1, 1, 273.15, kelvin}},
                                  {"degF", {5, 9, 459.67, kelvin}},
                                  {"\u00b0F", {5, 9, 459.67, kelvin}},
                                  {"degR", {5, 9, 0, kelvin}},
                                  {"dK", {1, 1, 0, kelvin, false, true}},
                                  {"difference", {1, 1, 0, none, false, true}},
                                  {"A", {1, 1, 0, ampere}, true},
                                  {"mol", {1, 1, 0, alone(substance)}, true},
                                  {"V", {1, 1, 0, dim(2, 1, -3, 0, -1)}, true},
                                  {"rad", {1, 1, 0, turn}, true},
                                  {"deg", {pi, 180, 0, turn}},
                                  {"\u00b0", {pi, 180, 0, turn}},
                                  {"rev", {2 * pi, 1, 0, turn}},
                                  {"rpm", {2 * pi, 60, 0, dim(0, 0, -1, 0, 0, 1)}},
                                  {"RPM", {2 * pi, 60, 0, dim(0, 0, -1, 0, 0, 1)}},
                                  {"N", {1, 1, 0, newton}, true},
                                  {"lbf", {pound_force, 1, 0, newton}},
                                  {"Nm", {1, 1, 0, joule}, true},
                                  {"Pa", {1, 1, 0, pascal}, true},
                                  {"bar", {1e5, 1, 0, pascal}, true},
                                  {"bara", {1e5, 1, 0, pascal}},
                                  {"barg", {1e5, 1, 0, pascal, true}},
                                  {"atm", {101325, 1, 0, pascal}},
                                  {"psi", {pound_force, inch* inch, 0, pascal}},
                                  {"psia", {pound_force, inch* inch, 0, pascal}},
                                  {"psig", {pound_force, inch* inch, 0, pascal, true}},
                                  {"inHg", {25.4 * 133.322387415, 1, 0, pascal}},
                                  {"mmHg", {133.322387415, 1, 0, pascal}},
                                  {"inH2O", {25.4 * gravity, 1, 0, pascal}},
                                  {"mmH2O", {gravity, 1, 0, pascal}},
                                  {"J", {1, 1, 0, joule}, true},
                                  {"Wh", {3600, 1, 0, joule}, true},
                                  {"Btu", {btu, 1, 0, joule}},
                                  {"W", {1, 1, 0, watt}, true},
                                  {"hp", {550 * foot * pound_force, 1, 0, watt}},
                                  {"PS", {75 * gravity, 1, 0, watt}},
                                  {"CFM", {foot * foot * foot, 60, 0, flow}},
                                  {"cfm", {foot * foot * foot, 60, 0, flow}},
                                  {"gpm", {gallon, 60, 0, flow}},
                                  {"EUR", {1, 1, 0, alone(euro)}},
                                  {"USD", {1, 1, 0, alone(dollar)}},
                                  {"GBP", {1, 1, 0, alone(sterling)}}};

struct Prefix {
    std::string_view sign;
    double num, den;
};
inline constexpr Prefix prefixes[] = {
    {"G", 1e9, 1}, {"M", 1e6, 1}, {"k", 1e3, 1}, {"h", 100, 1}, {"d", 1, 10}, {"c", 1, 100}, {"m", 1, 1e3},
    {"u", 1, 1e6}, {"\u00b5", 1, 1e6}, {"\u03bc", 1, 1e6}, {"n", 1, 1e9}};

/// Forms that people write and this grammar does not take, beside the one that it does.
inline constexpr std::pair<std::string_view, std::string_view> spoken[] = {
    {"C", "degC"}, {"F", "degF"}, {"c", "degC"}, {"f", "degF"}, {"degc", "degC"}, {"degf", "degF"}, {"sec", "s"},
    {"secs", "s"}, {"hr", "h"}, {"mins", "min"}, {"inch", "in"}, {"inches", "in"}, {"\"", "in"}, {"feet", "ft"},
    {"lbs", "lb"}, {"pounds", "lb"}, {"liter", "L"}, {"litre", "L"}, {"liters", "L"}, {"litres", "L"},
    {"lpm", "L/min"}, {"LPM", "L/min"}, {"ci", "in^3"}, {"cid", "in^3"}, {"cuin", "in^3"}, {"ccm", "cm^3"},
    {"kmh", "km/h"}, {"kph", "km/h"}, {"kmph", "km/h"}, {"ftlb", "lb ft"}, {"lbft", "lb ft"}, {"HP", "hp"},
    {"bhp", "hp"}, {"PSI", "psi"}, {"inhg", "inHg"}, {"percent", "%"}, {"$", "USD"}, {"\u20ac", "EUR"},
    {"\u00a3", "GBP"}, {"degrees", "deg"}, {"boost", "psig"}};

/// Dimensions in words, by a unit that has them; the unit as written comes first, then the last that has the dimension.
inline constexpr std::pair<std::string_view, std::string_view> words[] = {
    {"1", "a plain number"}, {"m", "a length"}, {"m^2", "an area"}, {"m^3", "a volume"}, {"kg", "a mass"},
    {"s", "a time"}, {"K", "a temperature"}, {"A", "a current"}, {"V", "a voltage"}, {"rad", "an angle"},
    {"rad/s", "a rotational speed"}, {"rad/s^2", "a rotational acceleration"}, {"m/s", "a speed"},
    {"m/s^2", "an acceleration"}, {"1/s", "a frequency"}, {"N", "a force"}, {"N/m", "a stiffness"},
    {"Pa", "a pressure"}, {"N m", "a torque"}, {"J", "an energy"}, {"W", "a power"}, {"kg/s", "a mass flow"},
    {"m^3/s", "a volume flow"}, {"m^3/rev", "a volume per revolution"}, {"kg/m^3", "a density"},
    {"kg m^2", "a moment of inertia"}, {"J/kg", "a specific energy"}, {"J/(kg K)", "a specific heat"},
    {"W/K", "a heat conductance"}, {"W/(m^2 K)", "a heat transfer coefficient"},
    {"W/(m K)", "a thermal conductivity"}, {"J/K", "a heat capacity"}, {"Pa s", "a viscosity"},
    {"EUR", "a price in EUR"}, {"USD", "a price in USD"}, {"GBP", "a price in GBP"}};

}  // namespace pullcast::units

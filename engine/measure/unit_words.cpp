#include <algorithm>
#include <array>
#include <pullcast/measure/unit_words.hpp>
#include <pullcast/scenario/units.hpp>

#include "log_cells.hpp"

namespace pullcast::measure {
namespace {

enum Says { nothing, gauge, absolute };
struct Spelling {
    std::string_view written, unit;  // written in small letters
    Says says = nothing;
};

/// What the units table does not take as it stands. hp (550 ft lbf/s) and PS (75 m kgf/s) are different units.
constexpr Spelling spellings[] = {{"c", "degC"},
                                  {"\u00b0c", "degC"},
                                  {"\xB0"
                                   "c",
                                   "degC"},
                                  {"degc", "degC"},
                                  {"deg c", "degC"},
                                  {"deg.c", "degC"},
                                  {"grad c", "degC"},
                                  {"celsius", "degC"},
                                  {"grdc", "degC"},
                                  {"\u00ba"
                                   "c",
                                   "degC"},
                                  {"\u2103", "degC"},
                                  {"f", "degF"},
                                  {"\u00b0"
                                   "f",
                                   "degF"},
                                  {"\xB0"
                                   "f",
                                   "degF"},
                                  {"degf", "degF"},
                                  {"deg f", "degF"},
                                  {"deg.f", "degF"},
                                  {"fahrenheit", "degF"},
                                  {"\u00ba"
                                   "f",
                                   "degF"},
                                  {"\u2109", "degF"},
                                  {"kelvin", "K"},
                                  {"1/min", "rpm"},
                                  {"min-1", "rpm"},
                                  {"min^-1", "rpm"},
                                  {"/min", "rpm"},
                                  {"u/min", "rpm"},
                                  {"rpm", "rpm"},
                                  {"r/min", "rpm"},
                                  {"rev/min", "rpm"},
                                  {"tr/min", "rpm"},
                                  {"giri/min", "rpm"},
                                  {"g/1'", "rpm"},
                                  {"upm", "rpm"},
                                  {"kpa", "kPa"},
                                  {"kpaa", "kPa", absolute},
                                  {"kpa abs", "kPa", absolute},
                                  {"kpa(abs)", "kPa", absolute},
                                  {"kpag", "kPa", gauge},
                                  {"kpa gauge", "kPa", gauge},
                                  {"kpa rel", "kPa", gauge},
                                  {"hpa", "hPa"},
                                  {"pa", "Pa"},
                                  {"psi", "psi"},
                                  {"psia", "psi", absolute},
                                  {"psig", "psi", gauge},
                                  {"psi(g)", "psi", gauge},
                                  {"lb/in^2", "psi"},
                                  {"psi(a)", "psi", absolute},
                                  {"bara", "bar", absolute},
                                  {"bar abs", "bar", absolute},
                                  {"bar(a)", "bar", absolute},
                                  {"barg", "bar", gauge},
                                  {"bar rel", "bar", gauge},
                                  {"bar(g)", "bar", gauge},
                                  {"mbar", "mbar"},
                                  {"bar", "bar"},
                                  {"inhg", "inHg"},
                                  {"in hg", "inHg"},
                                  {"\"hg", "inHg"},
                                  {"in.hg", "inHg"},
                                  {"mmhg", "mmHg"},
                                  {"\u00b0", "deg"},
                                  {"\xB0", "deg"},
                                  {"deg", "deg"},
                                  {"degrees", "deg"},
                                  {"degree", "deg"},
                                  {"\u00b0ca", "deg"},
                                  {"\u00b0kw", "deg"},
                                  {"degkw", "deg"},
                                  {"\u00b0v", "deg"},
                                  {"deg btdc", "deg"},
                                  {"btdc", "deg"},
                                  {"degbtdc", "deg"},
                                  {"\u00b0btdc", "deg"},
                                  {"percent", "%"},
                                  {"pct", "%"},
                                  {"prozent", "%"},
                                  {"%rh", "%"},
                                  {"% rh", "%"},
                                  {"km/h", "km/h"},
                                  {"kmh", "km/h"},
                                  {"kph", "km/h"},
                                  {"kmph", "km/h"},
                                  {"mph", "mph"},
                                  {"m/s", "m/s"},
                                  {"kw", "kW"},
                                  {"hp", "hp"},
                                  {"bhp", "hp"},
                                  {"whp", "hp"},
                                  {"ps", "PS"},
                                  {"cv", "PS"},
                                  {"ch", "PS"},
                                  {"nm", "N m"},
                                  {"n.m", "N m"},
                                  {"n\u00b7m", "N m"},
                                  {"n*m", "N m"},
                                  {"lbft", "lb ft"},
                                  {"lb-ft", "lb ft"},
                                  {"ft-lb", "lb ft"},
                                  {"ftlb", "lb ft"},
                                  {"ft lb", "lb ft"},
                                  {"ft-lbs", "lb ft"},
                                  {"ftlbs", "lb ft"},
                                  {"lb.ft", "lb ft"},
                                  {"lbs-ft", "lb ft"},
                                  {"lb ft", "lb ft"},
                                  {"lbf ft", "lb ft"},
                                  {"lpm", "L/min"},
                                  {"l/min", "L/min"},
                                  {"l/h", "L/h"},
                                  {"gpm", "gal/min"},
                                  {"sec", "s"},
                                  {"secs", "s"},
                                  {"second", "s"},
                                  {"seconds", "s"},
                                  {"sek", "s"},
                                  {"s", "s"},
                                  {"ms", "ms"},
                                  {"msec", "ms"},
                                  {"millis", "ms"},
                                  {"us", "us"},
                                  {"usec", "us"},
                                  {"\u00b5s", "us"},
                                  {"min", "min"},
                                  {"lambda", "1"},
                                  {"\u03bb", "1"},
                                  {"lam", "1"},
                                  {"la", "1"},
                                  {"-", "1"},
                                  {"ratio", "1"},
                                  {"afr", "AFR"},
                                  {"a/f", "AFR"},
                                  {":1", "AFR"},
                                  {"v", "V"},
                                  {"volt", "V"},
                                  {"volts", "V"}};

std::string small(std::string_view s) {
    std::string out(s);
    for (auto& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

/// Without one pair of brackets around all of it.
std::string_view without_brackets(std::string_view s) {
    s = trimmed(s);
    constexpr std::string_view open = "[({<", close = "])}>";
    const auto kind = s.size() >= 2 ? open.find(s.front()) : open.npos;
    if (kind != open.npos && s.back() == close[kind]) return trimmed(s.substr(1, s.size() - 2));
    return s;
}

/// "name <sign> unit" where what follows the sign is a unit. A letter alone is none ("Sensor C" is a name), nor is a
/// number ("Lambda 1") or "min" ("Lambda min").
std::optional<Heading> cut_at(std::string_view cell, std::size_t at) {
    if (at == cell.npos || at < 2 || at + 1 >= cell.size()) return {};
    const auto unit = trimmed(cell.substr(at + 1));
    const bool letter = unit.size() == 1 && unit != "%" && unit != "s";
    const bool number = unit.find_first_not_of("0123456789") == unit.npos;
    if (letter || number || small(unit) == "min" || !unit_word(unit)) return {};
    return Heading{trimmed(cell.substr(0, at)), unit};
}

}  // namespace

std::optional<UnitWord> unit_word(std::string_view text) {
    const auto inner = without_brackets(text);
    if (inner.empty()) return {};
    const auto written = small(inner);
    for (const auto& s : spellings)
        if (s.written == written && inner != "S")
            return UnitWord{std::string(s.unit), s.says == gauge, s.says == absolute};
    const auto parsed = parse_unit(inner);
    const auto* unit = std::get_if<Unit>(&parsed);
    if (!unit || unit->difference) return {};
    return UnitWord{std::string(inner)};
}

Heading heading(std::string_view cell) {
    cell = trimmed(cell);
    for (const auto& [open, close] : {std::pair{'[', ']'}, {'(', ')'}, {'{', '}'}}) {
        const auto at = cell.rfind(open);
        if (at == cell.npos || at == 0 || cell.back() != close) continue;
        const auto first = cell.find(open);  // "Pressure (kPa(abs))" has its unit from the first bracket on
        const auto whole = trimmed(cell.substr(first + 1, cell.size() - first - 2));
        if (first != at && unit_word(whole)) return {trimmed(cell.substr(0, first)), whole};
        return {trimmed(cell.substr(0, at)), trimmed(cell.substr(at + 1, cell.size() - at - 2))};
    }
    for (const auto at : {cell.rfind(' '), cell.rfind('_'), cell.find('/')})
        if (const auto h = cut_at(cell, at)) return *h;
    return {cell, ""};
}

}  // namespace pullcast::measure

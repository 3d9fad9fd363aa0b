#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <pullcast/network/names.hpp>
#include <pullcast/scenario/units.hpp>
#include <stdexcept>
#include <vector>

#include "unit_table.hpp"

namespace pullcast {
namespace {

using namespace units;

bool letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool digit(char c) { return c >= '0' && c <= '9'; }
bool blank(char c) { return c == ' ' || c == '\t'; }

std::optional<Unit> find_unit(std::string_view name) {
    for (const auto& u : table)
        if (u.name == name) return u.unit;
    if (name == "kg") return Unit{1, 1, 0, kilogram};  // exactly 1, not 1000/1000
    for (const auto& p : prefixes) {
        if (!name.starts_with(p.sign)) continue;
        for (const auto& u : table)
            if (u.prefixable && u.name == name.substr(p.sign.size()))
                return Unit{u.unit.num * p.num, u.unit.den * p.den, 0, u.unit.dimension};
    }
    return {};
}

std::string lower(std::string_view s) {
    std::string out(s);
    for (auto& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

/// Letters that one of the names has and the other has not.
std::size_t letters_apart(std::string a, std::string b) {
    std::sort(a.begin(), a.end());
    std::sort(b.begin(), b.end());
    std::string apart;
    std::set_symmetric_difference(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(apart));
    return apart.size();
}

std::vector<std::string> all_names() {
    std::vector<std::string> names;
    for (const auto& u : table) names.emplace_back(u.name);
    for (const auto& p : prefixes)
        for (const auto& u : table)
            if (u.prefixable) names.push_back(std::string(p.sign) + std::string(u.name));
    return names;
}

std::string name_hint(std::string_view name) {
    const auto meant = [](std::string_view unit) { return fmt::format("did you mean '{}'?", unit); };
    for (const auto& [wrong, right] : spoken)
        if (wrong == name) return meant(right);
    const auto stem = name.substr(0, name.size() - 1);
    if (digit(name.back()) && find_unit(stem)) return meant(fmt::format("{}^{}", stem, name.back()));
    const auto names = all_names();
    for (const auto& n : names)
        if (lower(n) == lower(name)) return meant(n);
    std::vector<std::string> near;  // one letter more, fewer or other, or two swapped, in names long enough to tell
    for (const auto& u : table)
        if (name.size() > 2 && u.name.size() > 2 && letters_apart(std::string(u.name), std::string(name)) <= 2)
            near.emplace_back(u.name);
    const auto best = nearest_name(name, near);
    return best.empty() ? "" : meant(best);
}

/// Recursive descent over one unit text. Errors are thrown here and caught in parse_unit.
class UnitParser {
    std::string_view text_;
    std::size_t at_ = 0;
    std::vector<std::pair<std::string_view, int>> factors_;  // names and powers, for what has to stand alone

    [[noreturn]] void fail(std::size_t where, std::string message, std::string hint = "") const {
        throw UnitError{std::move(message), std::move(hint), where};
    }
    bool done() const { return at_ == text_.size(); }
    char peek() const { return done() ? '\0' : text_[at_]; }
    void skip() {
        while (!done() && blank(peek())) ++at_;
    }
    bool take(std::string_view sign) {
        if (!text_.substr(at_).starts_with(sign)) return false;
        at_ += sign.size();
        return true;
    }
    static bool name_char(char c, bool first) {
        return letter(c) || c == '%' || c == '$' || c == '"' || static_cast<unsigned char>(c) >= 0x80 ||
               (!first && digit(c));
    }
    bool sign_ahead() const {
        const auto rest = text_.substr(at_);
        return rest.starts_with("\u00b7") || rest.starts_with("\u00b2") || rest.starts_with("\u00b3");
    }
    std::string_view name() {
        const auto from = at_;
        while (!done() && name_char(peek(), at_ == from) && !sign_ahead()) ++at_;
        return text_.substr(from, at_ - from);
    }
    int power() {
        if (take("\u00b2")) return 2;
        if (take("\u00b3")) return 3;
        if (!take("^")) return 1;
        int n = 0;
        const auto rest = text_.substr(at_);
        const auto end = std::from_chars(rest.data(), rest.data() + rest.size(), n).ptr;
        if (end == rest.data() || n == 0 || n < -6 || n > 6) fail(at_, "a power is a whole number from -6 to 6, not 0");
        at_ += static_cast<std::size_t>(end - rest.data());
        return n;
    }
    /// "deg C" is one name, "cu in" and "sq ft" are powers.
    std::string_view spaced(std::string_view word, int& of) {
        const auto mark = at_;
        skip();
        const auto next = name();
        if (word == "deg" && (next == "C" || next == "F")) return next == "C" ? "degC" : "degF";
        if ((word == "cu" || word == "sq") && (next == "in" || next == "ft")) {
            of = word == "cu" ? 3 : 2;
            return next;
        }
        at_ = mark;
        return word;
    }
    void multiply(Unit& u, const Unit& v, int n) const {
        for (int i = 0; i < std::abs(n); ++i) {
            u.num *= n > 0 ? v.num : v.den;
            u.den *= n > 0 ? v.den : v.num;
        }
        for (std::size_t i = 0; i < base_count; ++i)
            u.dimension[i] = static_cast<std::int8_t>(u.dimension[i] + n * v.dimension[i]);
        u.difference = u.difference || v.difference;
    }
    void factor(Unit& u, int sign) {
        const auto where = at_;
        int of = 1;
        if (peek() == '1' && (at_ + 1 == text_.size() || !digit(text_[at_ + 1]))) {
            ++at_;
            return factors_.emplace_back("1", sign), void();
        }
        const auto word = name();
        if (word.empty())
            fail(where, done() ? fmt::format("a unit is missing at the end of '{}'", text_)
                               : fmt::format("unexpected '{}' in the unit '{}'", peek(), text_));
        const auto unit = find_unit(word == "deg" || word == "cu" || word == "sq" ? spaced(word, of) : word);
        if (!unit) fail(where, fmt::format("unknown unit '{}'", word), name_hint(word));
        of *= power();
        multiply(u, *unit, sign * of);
        if (factors_.empty()) u.shift = unit->shift, u.gauge = unit->gauge;
        else if (unit->gauge) u.gauge = true;
        factors_.emplace_back(word, sign * of);
    }
    bool separator() {
        const auto mark = at_;
        skip();
        if (!take("*") && !take("\u00b7")) {
            if (peek() == '-' && at_ + 1 < text_.size() && letter(text_[at_ + 1])) ++at_;
        }
        skip();
        if (done() || peek() == '/' || peek() == ')') return at_ = mark, skip(), false;
        return at_ != mark;
    }
    void product(Unit& u, int sign) {
        factor(u, sign);
        while (separator()) factor(u, sign);
    }
    void below(Unit& u) {
        ++at_;
        skip();
        if (!take("(")) {
            const auto where = at_;
            factor(u, -1);
            const auto first = text_.substr(where, at_ - where);
            if (!separator() && done()) return;
            const auto rest = text_.substr(at_);
            if (rest.starts_with(")")) fail(at_, fmt::format("unexpected ')' in the unit '{}'", text_));
            const auto above = text_.substr(0, where);
            fail(at_, fmt::format("'{}' is ambiguous", text_),
                 rest.starts_with("/") ? "write one '/', with brackets below it: W/(m^2 K)"
                                       : fmt::format("write brackets below the '/': {}({} {})", above, first, rest));
        }
        skip();
        product(u, -1);
        if (!take(")")) fail(at_, fmt::format("a ')' is missing in the unit '{}'", text_));
    }
    /// "lb ft" is a torque: the pound is a force there, and only there ("lb ft^2" is an inertia).
    void pound_force_of_torque(Unit& u) const {
        if (factors_.size() != 2) return;
        const auto a = std::min(factors_[0], factors_[1]), b = std::max(factors_[0], factors_[1]);
        if (a.second != 1 || b.second != 1 || b.first != "lb" || (a.first != "ft" && a.first != "in")) return;
        u.num *= gravity;
        u.dimension = joule;
    }

public:
    explicit UnitParser(std::string_view text) : text_(text) {}

    Unit operator()() {
        Unit u;
        skip();
        if (done()) fail(at_, "a unit is missing");
        product(u, 1);
        if (peek() == '/') below(u);
        skip();
        if (!done()) fail(at_, fmt::format("unexpected '{}' in the unit '{}'", peek(), text_));
        pound_force_of_torque(u);
        const bool alone = factors_.size() == 1 && factors_[0].second == 1;
        if (u.gauge && !alone) fail(0, fmt::format("a gauge pressure stands alone, not in '{}'", text_));
        if (u.difference && u.dimension != kelvin)
            fail(0, fmt::format("a temperature difference stands alone, not in '{}'", text_));
        if (!alone) u.shift = 0;  // as a factor, a temperature unit is a scale
        return u;
    }
};

std::string in_words(const Unit& u, std::string_view text) {
    if (u.gauge) return "a gauge pressure";
    if (u.difference) return "a temperature difference";
    for (const auto& [unit, word] : words)
        if (unit == text) return std::string(word);
    if (text == "Nm" || text == "lb ft") return "a torque";
    for (auto w = std::rbegin(words); w != std::rend(words); ++w)
        if (std::get<Unit>(parse_unit(w->first)).dimension == u.dimension) return std::string(w->second);
    return fmt::format("a quantity in {}", text);
}

std::string example(std::string_view schema_unit, std::string_view number, std::string_view name) {
    if (schema_unit == "1") return "give a number without a unit, or a percentage";
    const auto unit = schema_unit == "dK" ? "K" : display_unit(schema_unit, UnitSystem::metric, name).unit;
    return fmt::format("for example \"{} {}\"", number.empty() ? "1" : number, unit);
}

std::string_view trim(std::string_view s) {
    while (!s.empty() && blank(s.front())) s.remove_prefix(1);
    while (!s.empty() && blank(s.back())) s.remove_suffix(1);
    return s;
}

UnitError gauge_error(std::string_view quoted, std::string_view unit, const Unit& u, std::string_view number,
                      const QuantityContext& context) {
    const std::string plain(unit.substr(0, unit.size() - 1));
    double n = 0;
    std::from_chars(number.data(), number.data() + number.size(), n);
    const auto absolute = n + 101325 * u.den / u.num;
    return {fmt::format("'{}' is a gauge pressure, {}an absolute pressure", quoted,
                        context.name.empty() ? "wanted is " : fmt::format("'{}' wants ", context.name)),
            fmt::format("add the ambient pressure, for example \"{:.3g} {}a\", or write \"{} {}\" for a difference",
                        absolute, plain, number.empty() ? "1" : number, plain)};
}

}  // namespace

std::variant<Unit, UnitError> parse_unit(std::string_view text) {
    try {
        return UnitParser(text)();
    } catch (const UnitError& e) {
        return e;
    }
}

std::variant<Number, UnitError> parse_number(std::string_view text) {
    if (text.empty()) return UnitError{"a number is missing", ""};
    if (text.starts_with("+")) return UnitError{"'+' before a number", "leave the '+' out"};
    if (text.starts_with("\u2212")) return UnitError{"this minus sign is not the plain '-'", "type '-'"};
    Number n;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n.value);
    n.size = static_cast<std::size_t>(end - text.data());
    const auto number = text.substr(0, n.size);
    if (error == std::errc::invalid_argument) return UnitError{fmt::format("no number in '{}'", text), ""};
    if (error == std::errc::result_out_of_range)
        return UnitError{fmt::format("'{}' is beyond the range of numbers", number), ""};
    if (!std::isfinite(n.value)) return UnitError{fmt::format("'{}' is not a finite number", number), ""};
    const auto rest = text.substr(n.size);
    if (rest.size() > 1 && rest[0] == ',' && digit(rest[1]))
        return UnitError{"',' in a number", "write a decimal point, and no separator of thousands", n.size};
    if (rest.size() > 1 && (rest[0] == '.' || rest[0] == '/') && digit(rest[1]))
        return UnitError{fmt::format("unexpected '{}' in a number", rest[0]), "write one decimal number", n.size};
    return n;
}

std::variant<Conversion, UnitError> conversion(std::string_view unit, std::string_view schema_unit,
                                               const QuantityContext& context, std::string_view quoted,
                                               std::string_view number) {
    const auto parsed = parse_unit(unit), schema = parse_unit(schema_unit);
    if (const auto* e = std::get_if<UnitError>(&schema)) throw std::invalid_argument("schema unit: " + e->message);
    const auto& to = std::get<Unit>(schema);
    if (auto e = std::get_if<UnitError>(&parsed)) {
        auto told = *e;
        if (told.hint.empty()) told.hint = example(schema_unit, number, context.name);
        return told;
    }
    const auto& from = std::get<Unit>(parsed);
    if (from.dimension != to.dimension || (from.difference && !to.difference)) {
        const auto word = in_words(to, schema_unit);
        const auto shown = schema_unit == "dK" ? std::string_view("K") : schema_unit;
        const auto wanted = word.ends_with(schema_unit) ? word : fmt::format("{} ({})", word, shown);
        const auto is = fmt::format("'{}' is {}", quoted, in_words(from, unit));
        return UnitError{context.name.empty() ? fmt::format("{}, wanted is {}", is, wanted)
                                              : fmt::format("{}, '{}' wants {}", is, context.name, wanted),
                         example(schema_unit, number, context.name)};
    }
    if (from.gauge && !context.ambient_pressure) return gauge_error(quoted, unit, from, number, context);
    const double ambient = from.gauge ? *context.ambient_pressure * to.den / to.num : 0;
    return Conversion{from.num * to.den, from.den * to.num, to.difference ? 0 : from.shift, ambient - to.shift};
}

std::variant<double, UnitError> parse_quantity(std::string_view text, std::string_view schema_unit,
                                               const QuantityContext& context) {
    const auto inner = trim(text);
    const auto lead = inner.empty() ? 0 : static_cast<std::size_t>(inner.data() - text.data());
    const auto read = parse_number(inner);
    if (const auto* e = std::get_if<UnitError>(&read)) {
        auto told = *e;
        if (told.hint.empty()) told.hint = example(schema_unit, "", context.name);
        return told.position += lead, told;
    }
    const auto& number = std::get<Number>(read);
    const auto digits = inner.substr(0, number.size), unit = trim(inner.substr(number.size));
    if (unit.empty()) {
        if (schema_unit == "1") return number.value;
        return UnitError{fmt::format("'{}' has no unit", inner),
                         "give a unit, " + example(schema_unit, digits, context.name), lead + number.size};
    }
    const auto where = static_cast<std::size_t>(unit.data() - text.data());
    if (digit(unit[0]) && (unit.size() < 2 || unit[0] != '1' || digit(unit[1])))
        return UnitError{fmt::format("two numbers in '{}'", inner), "write one number, without spaces in it", where};
    const auto convert = conversion(unit, schema_unit, context, inner, digits);
    if (const auto* e = std::get_if<UnitError>(&convert)) {
        auto told = *e;
        return told.position += where, told;
    }
    const double result = std::get<Conversion>(convert)(number.value);
    if (std::isfinite(result)) return result;
    return UnitError{fmt::format("'{}' is beyond the range of numbers", inner),
                     example(schema_unit, "", context.name), lead};
}

}  // namespace pullcast

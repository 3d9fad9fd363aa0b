// Documentation: everything that the schema says to people.
#include <fmt/format.h>

#include <cmath>
#include <set>
#include <string_view>

#include "conformance_checks.hpp"

namespace pullcast::test {
namespace {

/// Reads a unit from left to right: factors separated by spaces, each a base symbol with an optional integer power.
class UnitReader {
    std::string_view rest_;

    bool take(char c) {
        if (rest_.empty() || rest_[0] != c) return false;
        return rest_.remove_prefix(1), true;
    }
    bool factor() {
        static const std::set<std::string_view> symbols{"m", "kg", "s",  "K", "dK", "Pa",
                                                        "J", "W",  "N", "rad", "V", "A", "rev", "mol"};
        std::size_t n = 0;
        while (n < rest_.size() && std::isalpha(static_cast<unsigned char>(rest_[n]))) ++n;
        if (!symbols.count(rest_.substr(0, n))) return false;
        rest_.remove_prefix(n);
        if (!take('^')) return true;
        take('-');
        n = 0;
        while (n < rest_.size() && std::isdigit(static_cast<unsigned char>(rest_[n]))) ++n;
        rest_.remove_prefix(n);
        return n > 0;
    }
    bool product() {
        do
            if (!factor()) return false;
        while (take(' '));
        return true;
    }

public:
    explicit UnitReader(std::string_view unit) : rest_(unit) {}
    bool whole() {
        if (!take('1') && !product()) return false;
        if (take('/')) {
            const bool bracket = take('(');
            if (!(bracket ? product() && take(')') : factor())) return false;
        }
        return rest_.empty();
    }
};

bool blank(const char* text) { return !text || !*text; }
bool is_handle(Kind k) { return k >= Kind::node && k <= Kind::reads; }

void check_text(const Field& f, Faults& faults) {
    if (blank(f.name)) faults.push_back("a field has no name");
    if (blank(f.doc)) faults.push_back(fmt::format("'{}' has no doc", f.name));
    const bool has_unit = !is_handle(f.kind) || (f.kind == Kind::node && f.domain == Signal::id);
    const bool table = f.kind == Kind::curve || f.kind == Kind::map;
    std::vector<const char*> units;
    if (has_unit) units.push_back(f.unit);
    if (table) units.push_back(f.x_unit);
    if (f.kind == Kind::map) units.push_back(f.y_unit);
    for (const char* unit : units)
        if (!unit_parses(unit)) faults.push_back(fmt::format("the unit '{}' of '{}' does not parse", unit, f.name));
    if (table && (blank(f.x_name) || (f.kind == Kind::map && blank(f.y_name))))
        faults.push_back(fmt::format("an axis of '{}' has no name", f.name));
    if (f.kind == Kind::choice && blank(f.choices)) faults.push_back(fmt::format("'{}' has no choices", f.name));
    if ((std::isfinite(f.warn_lo) || std::isfinite(f.warn_hi)) && blank(f.warning))
        faults.push_back(fmt::format("'{}' warns without words", f.name));
}

void check_numbers(const Field& f, Faults& faults) {
    if (f.kind == Kind::state && !(f.preset > 0)) faults.push_back(fmt::format("'{}' has no nominal size", f.name));
    if (f.kind != Kind::number && f.kind != Kind::integer) return;
    const bool required = std::isnan(f.preset);
    if (required && !std::isfinite(f.lo) && !std::isfinite(f.hi))
        faults.push_back(fmt::format("'{}' must be given, and may be anything: it needs bounds", f.name));
    if (!required && !(f.preset >= f.lo && f.preset <= f.hi))
        faults.push_back(fmt::format("the preset of '{}' is outside its own bounds", f.name));
    if (f.kind == Kind::integer && !(std::isfinite(f.lo) && std::isfinite(f.hi)))
        faults.push_back(fmt::format("the integer '{}' needs bounds on both sides", f.name));
}

/// Handles may share a name among themselves, outputs may repeat a parameter's or a state's; nothing else repeats.
void check_names(const ComponentType& type, Faults& faults) {
    std::set<std::string_view> keys, states, outcomes, handles;
    for (std::uint32_t i = 0; i < type.field_count; ++i) {
        const Field& f = type.fields[i];
        if (is_handle(f.kind)) {
            handles.insert(f.name);
            continue;
        }
        auto& set = f.kind <= Kind::map ? keys : f.kind == Kind::state ? states : outcomes;
        const bool account = f.kind == Kind::account;
        if (!account && !set.insert(f.name).second) faults.push_back(fmt::format("two fields are named '{}'", f.name));
    }
    for (const auto key : keys)
        if (handles.count(key)) faults.push_back(fmt::format("'{}' is both a parameter and an end or node", key));
}

}  // namespace

bool unit_parses(const std::string& unit) { return UnitReader(unit).whole(); }

Faults documented(const ComponentType& type) {
    Faults faults;
    const std::pair<const char*, const char*> texts[] = {
        {"role", type.role}, {"summary", type.summary}, {"reference", type.reference}, {"validity", type.validity}};
    for (const auto& [what, text] : texts)
        if (blank(text)) faults.push_back(fmt::format("it has no {}", what));
    for (std::uint32_t i = 0; i < type.field_count; ++i) {
        check_text(type.fields[i], faults);
        check_numbers(type.fields[i], faults);
    }
    check_names(type, faults);
    return faults;
}

}  // namespace pullcast::test

#include <cmath>
#include <fmt/format.h>
#include <pullcast/network/names.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

bool has_unit(std::string_view unit) { return !unit.empty() && unit != "1"; }

std::string shown_unit(std::string_view unit) { return std::string(unit == "dK" ? "K" : unit); }

/// What the value must be, in the unit that it is written in.
std::string limits(const Field& f, const std::string& unit) {
    const auto shown = [&](double si) { return fmt::format("{:.6g}", unit.empty() ? si : to_display(si, unit)); };
    const auto with_unit = [&](double si) {
        const auto u = unit.empty() ? shown_unit(f.unit) : unit;
        return has_unit(u) ? shown(si) + " " + u : shown(si);
    };
    if (f.lo == std::numeric_limits<double>::min())
        return std::isinf(f.hi) ? "must be greater than 0" : "must be greater than 0 and at most " + with_unit(f.hi);
    if (std::isinf(f.hi)) return "must be at least " + with_unit(f.lo);
    if (std::isinf(f.lo)) return "must be at most " + with_unit(f.hi);
    return fmt::format("must lie within {} .. {}", shown(f.lo), with_unit(f.hi));
}

/// The unit of a valid quantity; "" where it has none, and for temperature differences, whose units mean absolute
/// temperatures elsewhere.
std::string unit_of(const Field& f, const Value& v) {
    if (!v.text() || std::string_view(f.unit) == "dK") return {};
    std::string_view rest = *v.text();
    const auto skip_blanks = [&] { rest.remove_prefix(std::min(rest.find_first_not_of(" \t"), rest.size())); };
    skip_blanks();
    if (const auto number = parse_number(rest); const auto* n = std::get_if<Number>(&number))
        rest.remove_prefix(n->size);
    skip_blanks();
    return std::string(rest.substr(0, rest.find_last_not_of(" \t") + 1));
}

/// Where in a string a unit error stands: behind the opening quote, if the string has no escapes before it.
Place within(const Place& at, const std::string& text, std::size_t position) {
    if (at.length != text.size() + 2 || position >= text.size()) return at;
    return {at.source, at.line, static_cast<std::uint32_t>(at.column + 1 + position),
            static_cast<std::uint32_t>(text.size() - position)};
}

std::optional<double> quantity(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    const auto what = [&] { return setting_text(owner, s); };
    if (const auto* text = s.value.text()) {
        const auto parsed = parse_quantity(*text, f.unit, {.name = s.key});
        if (const auto* value = std::get_if<double>(&parsed)) return *value;
        const auto& wrong = std::get<UnitError>(parsed);
        d.error(within(s.value.place, *text, wrong.position), fmt::format("{}: {}", what(), wrong.message), wrong.hint);
        return {};
    }
    const auto* real = s.value.as<double>();
    const auto* integer = s.value.as<std::int64_t>();
    if (!real && !integer) {
        d.error(s.value.place, fmt::format("{} must be a number{}, not {} {}", what(),
                                           has_unit(f.unit) ? " with its unit" : "", kind_of(s.value), field_note(f)));
        return {};
    }
    if (has_unit(f.unit)) {
        const auto parsed = parse_quantity(to_text(s.value), f.unit, {.name = s.key});
        const auto* missing = std::get_if<UnitError>(&parsed);
        d.error(s.value.place, fmt::format("{} has no unit {}", what(), field_note(f)), missing ? missing->hint : "");
        return {};
    }
    return real ? *real : static_cast<double>(*integer);
}

std::optional<ParameterValue> bind_number(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    const auto value = quantity(f, owner, s, d);
    if (!value || in_bounds(f, *value)) return value;
    tell_bounds(f, setting_text(owner, s), s.value.place, d, unit_of(f, s.value));
    return {};
}

std::optional<ParameterValue> bind_integer(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    const auto what = [&] { return setting_text(owner, s); };
    const auto* n = s.value.as<std::int64_t>();
    if (!n) {
        d.error(s.value.place,
                fmt::format("{} must be an integer, not {} {}", what(), kind_of(s.value), field_note(f)));
        return {};
    }
    if (*n != static_cast<std::int32_t>(*n)) {
        d.error(s.value.place, fmt::format("{} is too large {}", what(), field_note(f)));
        return {};
    }
    if (in_bounds(f, static_cast<double>(*n))) return static_cast<std::int32_t>(*n);
    tell_bounds(f, what(), s.value.place, d);
    return {};
}

std::optional<ParameterValue> bind_choice(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    const auto choices = choices_of(f);
    if (const auto* text = s.value.text())
        for (std::size_t i = 0; i < choices.size(); ++i)
            if (choices[i] == *text) return static_cast<std::int32_t>(i);
    const auto near = s.value.text() ? nearest_name(*s.value.text(), choices) : "";
    d.error(s.value.place, fmt::format("{} must be one of \"{}\" ({})", setting_text(owner, s),
                                       fmt::join(choices, "\", \""), f.doc),
            near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    return {};
}

}  // namespace

std::vector<std::string> choices_of(const Field& f) {
    std::vector<std::string> all;
    for (std::string_view rest = f.choices;;) {
        const auto bar = rest.find('|');
        all.emplace_back(rest.substr(0, bar));
        if (bar == rest.npos) return all;
        rest.remove_prefix(bar + 1);
    }
}

std::string field_note(const Field& f) {
    if (f.kind == Kind::integer) return fmt::format("(integer, {})", f.doc);
    if (f.kind == Kind::curve) return fmt::format("(curve over {}, {})", f.x_name, f.doc);
    if (f.kind == Kind::map) return fmt::format("(map over {} and {}, {})", f.x_name, f.y_name, f.doc);
    return f.kind == Kind::number && has_unit(f.unit) ? fmt::format("({}, {})", shown_unit(f.unit), f.doc)
                                                      : fmt::format("({})", f.doc);
}

std::string field_suggestion(std::string_view name, const std::vector<const Field*>& fields) {
    std::vector<std::string> names;
    for (const auto* f : fields) names.emplace_back(f->name);
    const auto near = nearest_name(name, names);
    for (const auto* f : fields)
        if (near == f->name) return fmt::format("did you mean '{}' {}?", near, field_note(*f));
    return suggestion(name, names);
}

std::string setting_text(const std::string& owner, const Setting& s) {
    return fmt::format("{}.{} = {}", owner, s.key, to_text(s.value));
}

void tell_bounds(const Field& f, const std::string& what, const Place& at, Diagnostics& d, const std::string& unit) {
    d.error(at, fmt::format("{} {} ({})", what, limits(f, unit), f.doc));
}

std::optional<ParameterValue> bind_value(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    switch (f.kind) {
        case Kind::integer: return bind_integer(f, owner, s, d);
        case Kind::choice: return bind_choice(f, owner, s, d);
        case Kind::curve:
        case Kind::map: return bind_table(f, owner, s, d);
        default: return bind_number(f, owner, s, d);
    }
}

}  // namespace pullcast

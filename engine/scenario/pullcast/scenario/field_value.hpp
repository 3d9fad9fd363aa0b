/// One value of a file against one field of a schema: type, unit, bounds, choice.
#pragma once
#include <pullcast/network/rig.hpp>
#include <pullcast/scenario/rig_file.hpp>
#include <set>
#include <span>

namespace pullcast {

inline std::span<const Field> fields_of(const ComponentType& t) { return {t.fields, t.field_count}; }
inline bool is_parameter(const Field& f) { return f.kind <= Kind::map; }
/// A component's parameter by name; null where its model has none of that name.
inline const Field* parameter_of(const ComponentSpec& c, std::string_view key) {
    for (const auto& f : fields_of(*c.type))
        if (is_parameter(f) && key == f.name) return &f;
    return nullptr;
}
inline bool is_connection(const Field& f) {
    return f.kind == Kind::end || f.kind == Kind::sees || f.kind == Kind::reads;
}

/// The words that a choice may take.
std::vector<std::string> choices_of(const Field& f);

/// "(m^3, inner volume)": unit, choices or axes, and meaning.
std::string field_note(const Field& f);
/// "did you mean 'volume' (m^3, inner volume)?"; all names where none is near.
std::string field_suggestion(std::string_view name, const std::vector<const Field*>& fields);

/// Message for a wrong value: `manifold.volume = "-3 L"` and what is wrong with it.
std::string setting_text(const std::string& owner, const Setting& s);

/// The value in SI, or nothing and an error. `owner` is the component's name, for messages.
std::optional<ParameterValue> bind_value(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d);

/// A curve or map (table_value.cpp), written as
///     head = { "flow [L/min]" = [0, 10, 20], "head [kPa]" = [60, 55, 40] }
///     efficiency = { "pressure_ratio" = [1, 2], "speed [rpm]" = [4e3, 8e3, 12e3], "efficiency" = [[..3], [..3]] }
///     head = { file = "pump.csv" }                        long form, see table_file.hpp
/// The columns of a CSV file are named in the same way. A map has one row for each point of its first axis.
std::optional<ParameterValue> bind_table(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d);

inline bool in_bounds(const Field& f, double value) { return value >= f.lo && value <= f.hi; }
/// An error at `at` that starts with `what` and tells the field's bounds in `unit` (SI if that is "").
void tell_bounds(const Field& f, const std::string& what, const Place& at, Diagnostics& d,
                 const std::string& unit = "");

}  // namespace pullcast

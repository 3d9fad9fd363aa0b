// The settings of [faults] and [pulls] with their units, bounds and presets.
#include "mapping_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <numbers>
#include <pullcast/scenario/field_value.hpp>

namespace pullcast::measure {
namespace {

constexpr double rpm = std::numbers::pi / 30;

template <class T> const std::vector<Field>& fields() {
    static const std::vector<Field> all = [] {
        std::vector<Field> list;
        Schema<T> schema(list);
        T::describe(schema);
        return list;
    }();
    return all;
}
template <class T> double& member(T& of, const Field& f) {
    return *reinterpret_cast<double*>(reinterpret_cast<std::byte*>(&of) + f.offset);
}

template <class T> T presets() {
    T out;
    for (const auto& f : fields<T>()) member(out, f) = f.preset;
    return out;
}

template <class T> T read(const char* table, const Entry* e, Diagnostics& d) {
    T out = presets<T>();
    if (!e) return out;
    std::vector<const Field*> known;
    for (const auto& f : fields<T>()) known.push_back(&f);
    for (const auto& entry : *e->value.table()) {
        const auto f = std::find_if(known.begin(), known.end(), [&](const Field* k) { return entry.key == k->name; });
        if (f == known.end()) {
            d.error(entry.place, fmt::format("unknown key '{}' in [{}]", entry.key, table),
                    field_suggestion(entry.key, known));
            continue;
        }
        const auto value = bind_value(**f, table, {entry.key, entry.place, entry.value, table, 0, false}, d);
        if (value) member(out, **f) = std::get<double>(*value);
    }
    return out;
}

/// The settings that are not at their presets.
template <class T> std::string text(const char* table, const T& rules) {
    std::string out;
    for (const auto& f : fields<T>()) {
        const double v = member(const_cast<T&>(rules), f);
        if (v == f.preset) continue;
        const std::string_view unit = f.unit;
        out += unit == "1" ? fmt::format("{} = {}\n", f.name, v) : fmt::format("{} = \"{} {}\"\n", f.name, v, unit);
    }
    return out.empty() ? "" : fmt::format("\n[{}]\n{}", table, out);
}

}  // namespace

void FaultRules::describe(Schema<FaultRules>& s) {
    s.number(&FaultRules::spike, "spike", "1", "spike: distance from the running median over the usual scatter or step")
        .in(3, 1000)
        .preset(8);
    s.number(&FaultRules::stuck_samples, "stuck_samples", "1", "readings without a change while the engine speeds up")
        .in(5, 1e6)
        .preset(50);
    s.number(&FaultRules::rail_samples, "rail_samples", "1", "readings in a row at the end of a sensor's range")
        .in(5, 1e6)
        .preset(15);
    s.number(&FaultRules::gap, "gap", "1", "gap: time step over the usual one").in(2, 1e6).preset(5);
}

void PullRules::describe(Schema<PullRules>& s) {
    s.number(&PullRules::full_throttle, "full_throttle", "1", "throttle opening that counts as full")
        .in(0.2, 1)
        .preset(0.8);
    s.number(&PullRules::least_climb, "least_climb", "rad/s", "least climb of crank speed in a pull")
        .positive()
        .preset(1500 * rpm);
    s.number(&PullRules::least_duration, "least_duration", "s", "shortest pull").in(0.1, 600).preset(2);
    s.number(&PullRules::least_rate, "least_rate", "rad/s^2", "slowest climb of a pull on average")
        .positive()
        .preset(100 * rpm);
    s.number(&PullRules::dip, "dip", "rad/s", "fall of crank speed that ends a climb").positive().preset(150 * rpm);
}

FaultRules read_fault_rules(const Entry* e, Diagnostics& d) { return read<FaultRules>("faults", e, d); }
PullRules read_pull_rules(const Entry* e, Diagnostics& d) { return read<PullRules>("pulls", e, d); }
std::string rules_text(const FaultRules& f, const PullRules& p) { return text("faults", f) + text("pulls", p); }

LogMapping empty_mapping() {
    LogMapping m;
    m.faults = presets<FaultRules>(), m.pulls = presets<PullRules>();
    return m;
}

}  // namespace pullcast::measure

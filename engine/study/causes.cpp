#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/study/causes.hpp>
#include <stdexcept>

namespace pullcast {
namespace {

constexpr const char* model_key = "model";
constexpr std::string_view procedure_role = "procedure";

/// Which cause a difference belongs to. The first rule that fits decides. `key` is the parameter's, or the common key
/// that it shares with other components; a '*' at its end stands for anything, and so does the role "*".
struct Rule {
    const char *role, *key, *title;
    const char* joins = nullptr;  // goes with the cause of that title where there is one
};
constexpr Rule rules[] = {
    {"ambient", "temperature", "ambient temperature"},
    {"ambient", "humidity", "relative humidity"},  // the same is more water where it is warmer
    {"ambient", "*", "ambient pressure"},
    {"*", "start_pressure", "pressure at start", "ambient pressure"},
    {"*", "start_humidity", "humidity at start", "relative humidity"},
    {"*", "start_temperature", "charge at start"},
    {"*", "start_wall_temperature", "walls at start", "charge at start"},
    {"*", "start_coolant_temperature", "coolant at start"},
    {"*", "engine_temperature", "engine at start"},
    {"*", "start_coolant_flow", "coolant flow at start", "pump"},
    {"*", "glycol", "glycol"},
    {"*", "fuel_*", "fuel"},
    {"*", "realised_evaporation", "fuel"},
    {"*", "spark_mode", "spark"},
    {"*", "knock_reserve", "spark"},
    {"calibration", "lambda_*", "lambda"},
    {"calibration", "constant_lambda", "lambda"},
    {"calibration", "model", "calibration"},
    {"calibration", "*", "spark"},
    {"drive", "crank_pulley_diameter", "pulley"},
    {"drive", "pulley_diameter", "pulley"},
    {"drive", "pitch_offset", "pulley"},
    {"drive", "intermediate_ratio", "pulley"},
    {"drive", "*", "belt"},
    {"cooler", "*", "core"},
    {"pump", "*", "pump"},
    {"front_exchanger", "*", "front exchanger"},
    {"load", "tyre_*", "tyre"},
    {"*", "displacement", "engine size"},
    {"*", "bore", "engine size"},
    {"*", "stroke", "engine size"},
    {"*", "compression_ratio", "compression ratio"},
    {"*", "start_speed", "speed at start"},
    {"*", "pull_start", "procedure"},
    {"load", "*", "dyno and car"},
    {"knock", "*", "knock model"},
    {"procedure", "settle", "wait before the pull"},
    {"procedure", "*", "procedure"},
};

bool fits(std::string_view pattern, std::string_view text) {
    if (!pattern.ends_with('*')) return pattern == text;
    return text.starts_with(pattern.substr(0, pattern.size() - 1));
}

const Rule* rule_of(std::string_view role, std::string_view key) {
    const auto at = std::find_if(std::begin(rules), std::end(rules),
                                 [&](const Rule& r) { return fits(r.role, role) && fits(r.key, key); });
    return at == std::end(rules) ? nullptr : at;
}

bool same(const CurveData& a, const CurveData& b) { return a.x == b.x && a.y == b.y && a.dy == b.dy; }
bool same(const MapData& a, const MapData& b) { return a.x == b.x && a.y == b.y && a.f == b.f; }
bool same(double a, double b) { return a == b; }
bool same(std::int32_t a, std::int32_t b) { return a == b; }
template <class T> bool same(const std::shared_ptr<const T>& a, const std::shared_ptr<const T>& b) {
    return a == b || same(*a, *b);
}
bool same(const std::optional<ParameterValue>& a, const std::optional<ParameterValue>& b) {
    if (!a || !b || a->index() != b->index()) return !a && !b;
    return std::visit([&](const auto& x) { return same(x, std::get<std::decay_t<decltype(x)>>(*b)); }, *a);
}

/// Of the first rule with that title; what no rule names comes last.
std::size_t order_of(std::string_view title) {
    const auto at = std::find_if(std::begin(rules), std::end(rules), [&](const Rule& r) { return title == r.title; });
    return static_cast<std::size_t>(at - std::begin(rules));
}

std::string spaced(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

/// Gathers differences under titles.
class Gatherer {
    struct Heap {
        Cause cause;
        const char* joins;
    };
    std::vector<Heap> heaps_;

    Heap* find(std::string_view title) {
        const auto at =
            std::find_if(heaps_.begin(), heaps_.end(), [&](const Heap& h) { return h.cause.title == title; });
        return at == heaps_.end() ? nullptr : &*at;
    }

public:
    void add(const Difference& d, std::string_view role, std::string_view key, const std::string& name) {
        const auto* rule = rule_of(role, key);
        const std::string title = rule ? rule->title : spaced(name);
        auto* heap = find(title);
        if (!heap) heap = &heaps_.emplace_back(Heap{{title, {}}, rule ? rule->joins : nullptr});
        heap->cause.differences.push_back(d);
    }

    std::vector<Cause> causes() {
        for (auto& h : heaps_) {
            auto* other = h.joins ? find(h.joins) : nullptr;
            if (!other) continue;
            auto& all = other->cause.differences;
            all.insert(all.end(), h.cause.differences.begin(), h.cause.differences.end());
            h.cause.differences.clear();
        }
        std::erase_if(heaps_, [](const Heap& h) { return h.cause.differences.empty(); });
        std::vector<Cause> all;
        for (auto& h : heaps_) all.push_back(std::move(h.cause));
        std::stable_sort(all.begin(), all.end(),
                         [](const Cause& a, const Cause& b) { return order_of(a.title) < order_of(b.title); });
        return all;
    }
};

void compare(const ComponentSpec& a, const ComponentSpec& b, std::size_t index, Gatherer& all) {
    const auto* role = a.type->role;
    if (a.type != b.type || a.connections != b.connections) all.add({index, model_key}, role, model_key, a.name);
    for (const auto& f : fields_of(*a.type)) {
        const auto* other = is_parameter(f) ? parameter_of(b, f.name) : nullptr;
        if (other && !same(parameter_in_effect(a, f), parameter_in_effect(b, *other)))
            all.add({index, f.name}, role, f.common ? f.common : f.name, a.name);
    }
}

void check_same_components(const RigSpec& a, const RigSpec& b) {
    const auto alike = [](const ComponentSpec& x, const ComponentSpec& y) { return x.name == y.name; };
    if (!std::equal(a.components.begin(), a.components.end(), b.components.begin(), b.components.end(), alike))
        throw std::invalid_argument("the two rigs have not the same components");
}

void take_procedure(Procedure& to, const Procedure& from, const std::string& key) {
    for (const auto& f : procedure_fields())
        if (key == f.name) {
            const auto* value = reinterpret_cast<const std::byte*>(&from) + f.offset;
            std::copy_n(value, sizeof(double), reinterpret_cast<std::byte*>(&to) + f.offset);
        }
}

/// A component of `own` with some parameters of `other`, both of which have them.
void take(ComponentSpec& own, const ComponentSpec& other, const std::string& key) {
    const auto value = parameter_in_effect(other, *parameter_of(other, key));
    if (value) own.parameters[key] = *value;
    else own.parameters.erase(key);
}

}  // namespace

std::optional<ParameterValue> parameter_in_effect(const ComponentSpec& c, const Field& f) {
    if (const auto set = c.parameters.find(f.name); set != c.parameters.end()) return set->second;
    if (std::isnan(f.preset)) return std::nullopt;
    if (f.kind == Kind::number) return f.preset;
    return static_cast<std::int32_t>(f.preset);
}

std::vector<Cause> causes_between(const Variant& from, const Variant& to) {
    check_same_components(from.rig, to.rig);
    Gatherer all;
    const auto count = from.rig.components.size();
    for (std::size_t k = 0; k < count; ++k) compare(from.rig.components[k], to.rig.components[k], k, all);
    for (const auto& f : procedure_fields())
        if (value_of(from.procedure, f) != value_of(to.procedure, f))
            all.add({count, f.name}, procedure_role, f.name, "procedure");
    return all.causes();
}

std::vector<Cause> together(std::vector<Cause> causes, const std::vector<std::string>& titles) {
    std::vector<std::string> known;
    for (const auto& c : causes) known.push_back(c.title);
    Cause joined{listed(titles), {}};
    std::size_t place = causes.size();
    for (const auto& title : titles) {
        const auto at = std::find_if(causes.begin(), causes.end(), [&](const Cause& c) { return c.title == title; });
        if (at == causes.end())
            throw ScenarioError({}, fmt::format("no cause is called '{}'", title), suggestion(title, known));
        place = std::min<std::size_t>(place, at - causes.begin());
        joined.differences.insert(joined.differences.end(), at->differences.begin(), at->differences.end());
        causes.erase(at);
    }
    if (!titles.empty()) causes.insert(causes.begin() + static_cast<std::ptrdiff_t>(place), std::move(joined));
    return causes;
}

std::vector<Cause> at_most(std::vector<Cause> causes, std::size_t count) {
    std::vector<std::string> last;
    for (std::size_t k = count - 1; k < causes.size(); ++k) last.push_back(causes[k].title);
    return last.size() < 2 ? causes : together(std::move(causes), last);
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t k = 0; k < names.size(); ++k)
        text += (k == 0 ? "" : k + 1 == names.size() ? " and " : ", ") + names[k];
    return text;
}

Variant between(const Variant& from, const Variant& to, const std::vector<Cause>& causes, Coalition taken) {
    Variant v;
    v.rig = from.rig, v.procedure = from.procedure;
    const auto count = from.rig.components.size();
    std::vector<bool> other_model(count);
    const auto each = [&](auto does) {
        for (std::size_t c = 0; c < causes.size(); ++c)
            for (const auto& d : causes[c].differences) does(d, (taken >> c & 1) != 0);
    };
    each([&](const Difference& d, bool is_taken) {
        if (d.component == count) {
            if (is_taken) take_procedure(v.procedure, to.procedure, d.key);
        } else if (d.key == model_key && is_taken) {
            v.rig.components[d.component] = to.rig.components[d.component], other_model[d.component] = true;
        }
    });
    each([&](const Difference& d, bool is_taken) {
        if (d.component == count || d.key == model_key || is_taken == other_model[d.component]) return;
        take(v.rig.components[d.component], (is_taken ? to : from).rig.components[d.component], d.key);
    });
    return v;
}

}  // namespace pullcast

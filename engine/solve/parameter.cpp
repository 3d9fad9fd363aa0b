#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/network/names.hpp>
#include <pullcast/solve/parameter.hpp>
#include <stdexcept>

namespace pullcast {

namespace {

[[noreturn]] void refuse(const Parameter& p, const std::string& why) {
    throw std::invalid_argument(fmt::format("parameter '{}': {}", p.name, why));
}

bool is_parameter(const Field& f) { return f.kind <= Kind::map; }

std::size_t component_of(const RigSpec& rig, const Parameter& p, const Parameter::Place& place) {
    std::vector<std::string> names;
    for (std::size_t k = 0; k < rig.components.size(); ++k) {
        if (rig.components[k].name == place.component) return k;
        names.push_back(rig.components[k].name);
    }
    const auto near = nearest_name(place.component, names);
    refuse(p, fmt::format("the rig has no component '{}'{}", place.component,
                          near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
}

const Field& field_of(const ComponentSpec& c, const Parameter& p, const Parameter::Place& place) {
    std::vector<std::string> names;
    for (const Field* f = c.type->fields; f != c.type->fields + c.type->field_count; ++f) {
        if (is_parameter(*f) && f->name == place.key) return *f;
        if (is_parameter(*f)) names.emplace_back(f->name);
    }
    const auto near = nearest_name(place.key, names);
    refuse(p, fmt::format("{} has no key '{}'{}", c.type->name, place.key,
                          near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
}

/// What stands at a place; a preset where the rig says nothing.
ParameterValue standing(const ComponentSpec& c, const Field& f, const Parameter& p) {
    const auto where = [&] { return c.name + "." + f.name; };
    const bool table = f.kind == Kind::curve || f.kind == Kind::map;
    if (f.kind != Kind::number && !(table && p.kind == Parameter::Kind::factor))
        refuse(p, where() + (table ? " is a table: only a factor can move it" : " is not a number that can move"));
    if (f.breakpoint) refuse(p, where() + " is a time at which something jumps: no derivative is computed along it");
    if (const auto at = c.parameters.find(f.name); at != c.parameters.end()) return at->second;
    if (table || std::isnan(f.preset)) refuse(p, where() + " is not set in this rig");
    return f.preset;
}

void multiply(std::vector<double>& all, double factor) {
    for (double& v : all) v *= factor;
}
ParameterValue times(const ParameterValue& v, double factor) {
    if (const auto* curve = std::get_if<std::shared_ptr<const CurveData>>(&v)) {
        auto copy = std::make_shared<CurveData>(**curve);
        multiply(copy->y, factor), multiply(copy->dy, factor);
        return copy;
    }
    if (const auto* map = std::get_if<std::shared_ptr<const MapData>>(&v)) {
        auto copy = std::make_shared<MapData>(**map);
        for (auto* all : {&copy->f, &copy->fx, &copy->fy, &copy->fxy}) multiply(*all, factor);
        return copy;
    }
    return std::get<double>(v) * factor;
}

/// `change(component, field, value)` gives what is to stand at each place.
template <class F> RigSpec changed(const RigSpec& rig, const Parameter& p, F&& change) {
    if (p.places.empty()) refuse(p, "it has no place in the rig");
    RigSpec copy = rig;
    for (const auto& place : p.places) {
        ComponentSpec& c = copy.components[component_of(rig, p, place)];
        const Field& f = field_of(c, p, place);
        c.parameters[f.name] = change(f, standing(c, f, p));
    }
    return copy;
}

bool within_bounds(const RigSpec& rig, const Parameter& p, double by) {
    bool inside = true;
    changed(rig, p, [&](const Field& f, ParameterValue v) {
        if (const double* number = std::get_if<double>(&v)) {
            const double to = p.kind == Parameter::Kind::factor ? *number * (1 + by) : *number + by;
            inside = inside && to >= f.lo && to <= f.hi;
        }
        return v;
    });
    return inside;
}

}  // namespace

double value_of(const RigSpec& rig, const Parameter& p) {
    double first = std::nan("");
    changed(rig, p, [&](const Field&, ParameterValue v) {
        if (const double* number = std::get_if<double>(&v); number && std::isnan(first)) first = *number;
        return v;
    });
    return p.kind == Parameter::Kind::factor ? 1 : first;
}

RigSpec moved(const RigSpec& rig, const Parameter& p, double by) {
    return changed(rig, p, [&](const Field&, const ParameterValue& v) {
        return p.kind == Parameter::Kind::factor ? times(v, 1 + by) : ParameterValue(std::get<double>(v) + by);
    });
}

RigSpec with_value(const RigSpec& rig, const Parameter& p, double value) {
    return changed(rig, p, [&](const Field&, const ParameterValue& v) {
        return p.kind == Parameter::Kind::factor ? times(v, value) : ParameterValue(value);
    });
}

Direction direction_along(const RigSpec& rig, const Parameter& p) {
    constexpr double step = 6e-6;  // near the cube root of the rounding unit, where a central difference is best
    const double scale = p.scale > 0 ? p.scale : std::fabs(value_of(rig, p));
    if (!(scale > 0) || !std::isfinite(scale)) refuse(p, "it is 0 in this rig: its typical size must be given");
    const auto inside = [&](double shift) { return within_bounds(rig, p, shift * scale); };
    if (inside(step) && inside(-step)) return {scale, {{-step, -0.5 / step}, {step, 0.5 / step}}};
    for (const double h : {step, -step})
        if (inside(h) && inside(2 * h)) return {scale, {{0, -1.5 / h}, {h, 2 / h}, {2 * h, -0.5 / h}}};
    refuse(p, "its bounds leave no room for a difference");
}

}  // namespace pullcast

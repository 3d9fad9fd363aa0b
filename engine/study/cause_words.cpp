#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/study/causes.hpp>
#include <set>

namespace pullcast {
namespace {

std::string number_text(double si, const Field& f, UnitSystem system) {
    const auto d = display_unit(f.unit, system, f.name);
    return fmt::format("{:.5g}{}", d(si), d.unit == "1" ? "" : " " + d.unit);
}

std::string value_text(const ParameterValue& v, const Field& f, UnitSystem system) {
    if (const auto* x = std::get_if<double>(&v)) return number_text(*x, f, system);
    const auto* n = std::get_if<std::int32_t>(&v);
    if (!n) return "a table";
    return f.kind == Kind::choice ? choices_of(f).at(static_cast<std::size_t>(*n)) : fmt::format("{}", *n);
}

/// One side of a difference: what stands there, and the part that says so.
struct Side {
    std::string value, part;
};

class Teller {
public:
    Teller(const Variant& variant, UnitSystem system) : variant_(variant), system_(system) {}

    Side side(const Difference& d) const {
        const auto& all = variant_.rig.components;
        if (d.component == all.size()) return {procedure_value(d.key), ""};
        const auto& c = all[d.component];
        const auto* f = field(d);
        if (!f) return {c.type->name, part(c.name, "model")};
        const auto value = parameter_in_effect(c, *f);
        return {value ? value_text(*value, *f, system_) : "none", part(c.name, f->name)};
    }

    /// "start temperature" of a value that several components share, else "wall conductance".
    std::string label(const Difference& d) const {
        const auto* f = d.component == variant_.rig.components.size() ? nullptr : field(d);
        std::string name = f && f->common ? f->common : d.key;
        std::replace(name.begin(), name.end(), '_', ' ');
        return name;
    }
    std::string own_label(const Difference& d) const {
        if (d.component == variant_.rig.components.size()) return label(d);
        std::string name = variant_.rig.components[d.component].name + " " + d.key;
        std::replace(name.begin(), name.end(), '_', ' ');
        return name;
    }

private:
    const Field* field(const Difference& d) const {
        for (const auto& f : fields_of(*variant_.rig.components[d.component].type))
            if (is_parameter(f) && d.key == f.name) return &f;
        return nullptr;
    }
    std::string procedure_value(const std::string& key) const {
        for (const auto& f : procedure_fields())
            if (key == f.name) return number_text(value_of(variant_.procedure, f), f, system_);
        return "";
    }
    /// Name of the part whose file sets a value; "" where a study or rig does.
    std::string part(const std::string& component, const std::string& key) const {
        const auto at = variant_.places.find(component + "." + key);
        if (at == variant_.places.end() || !at->second.source) return "";
        for (const auto& p : variant_.parts)
            if (p.file == at->second.source->name) return p.name;
        return "";
    }

    const Variant& variant_;
    UnitSystem system_;
};

}  // namespace

std::vector<std::string> change_in_words(const Cause& cause, const Variant& from, const Variant& to,
                                         UnitSystem system) {
    const Teller before(from, system), after(to, system);
    std::set<std::string> labels;
    for (const auto& d : cause.differences) labels.insert(before.label(d));
    std::vector<std::string> all;
    std::set<std::string> told;
    for (const auto& d : cause.differences) {
        const auto a = before.side(d), b = after.side(d);
        const bool parts = labels.size() > 1 && !a.part.empty() && !b.part.empty() && a.part != b.part;
        const auto change = parts                ? fmt::format("{} -> {}", a.part, b.part)
                            : a.value == b.value ? std::string("changed")
                                                 : fmt::format("{} -> {}", a.value, b.value);
        auto text = parts ? change : before.label(d) + " " + change;
        if (std::find(all.begin(), all.end(), text) != all.end()) continue;
        if (!parts && !told.insert(before.label(d)).second) text = before.own_label(d) + " " + change;
        all.push_back(text);
    }
    return all;
}

}  // namespace pullcast

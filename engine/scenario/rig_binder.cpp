#include <algorithm>
#include <cmath>
#include <cstring>
#include <fmt/format.h>
#include <pullcast/scenario/connections.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/rig_binder.hpp>

namespace pullcast {
namespace {

const Field* field_of(const ComponentType& t, std::string_view key) {
    for (const auto& f : fields_of(t))
        if ((is_parameter(f) || is_connection(f)) && key == f.name) return &f;
    return nullptr;
}

bool needed(const Field& f) { return std::isnan(f.preset) && !f.optional; }

std::vector<Field> shared_fields(const Registry& registry) {
    std::map<std::string_view, Field> by_key;
    for (const auto* t : registry.types())
        for (Field f : fields_of(*t))
            if (is_parameter(f) && f.common) f.name = f.common, by_key.emplace(f.common, f);
    std::vector<Field> all;
    for (const auto& [key, f] : by_key) all.push_back(f);
    return all;
}

void note_value(Variant& out, const std::string& key, const ParameterValue& v) {
    if (const auto* x = std::get_if<double>(&v)) out.common[key] = *x;
    if (const auto* n = std::get_if<std::int32_t>(&v)) out.common[key] = *n;
}

}  // namespace

RigBinder::RigBinder(const Registry& registry, PartShelf& shelf, Diagnostics& d)
    : registry_(registry), shelf_(shelf), d_(d), shared_fields_(shared_fields(registry)) {}

RigBinder::Roles RigBinder::roles(const RigTree& tree) {
    Roles all;
    for (const auto& section : tree.components) {
        const auto f = fit(section, shelf_, d_);
        const auto* model = f.find("model");
        const auto* type = model && model->value.text() ? registry_.find(*model->value.text()) : nullptr;
        if (type) all[section.name] = type->role;
    }
    return all;
}

void RigBinder::bind(const RigTree& tree, const Roles& before, Variant& out) {
    common_ = fit(tree.common, shelf_, d_);
    used_.clear();
    std::vector<FittedSection> components;
    for (const auto& section : tree.components) {
        components.push_back(fit(section, shelf_, d_));
        find_model(components.back());
        check_role(components.back(), before);
    }
    const Connections connections(components, d_);
    list_parts(common_, out);
    for (const auto& f : components) {
        out.places[f.name()] = f.section->place;
        if (!f.type) continue;
        check_part_roles(f);
        auto spec = bind_component(f, out);
        connections.bind(f, spec);
        out.rig.components.push_back(std::move(spec));
        list_parts(f, out);
    }
    check_common(components, out);
}

void RigBinder::find_model(FittedSection& f) {
    const auto* s = f.find("model");
    if (!s && f.incomplete) return;
    if (!s) {
        d_.error(f.section->place, fmt::format("missing key 'model' in [component.{}]", f.name()),
                 "model = \"family.type\", or a part that names one");
        return;
    }
    const auto* text = s->value.text();
    f.type = text ? registry_.find(*text) : nullptr;
    if (f.type) return;
    std::vector<std::string> names;
    for (const auto* t : registry_.types()) names.emplace_back(t->name);
    d_.error(s->value.place, fmt::format("{} is no model", setting_text(f.name(), *s)),
             text ? suggestion(*text, names) : "");
}

void RigBinder::check_role(FittedSection& f, const Roles& before) {
    const auto known = before.find(f.name());
    if (!f.type || known == before.end() || known->second == f.type->role) return;
    std::vector<std::string> names;
    for (const auto* t : registry_.types())
        if (known->second == t->role) names.emplace_back(t->name);
    const auto* s = f.find("model");
    d_.error(s->value.place, fmt::format("{} has the role '{}', and a swap keeps the role '{}'",
                                         setting_text(f.name(), *s), f.type->role, known->second),
             fmt::format("one of: {}", fmt::join(names, ", ")));
    f.type = nullptr;
}

void RigBinder::check_part_roles(const FittedSection& f) {
    for (const auto& [slot, part] : f.parts) {
        if (!part->role || *part->role->value.text() == f.type->role) continue;
        auto& error = d_.error(slot->value.place,
                               fmt::format("part '{}' has the role '{}', {} ({}) has the role '{}'", part->name,
                                           *part->role->value.text(), f.name(), f.type->name, f.type->role));
        error.notes.push_back({Severity::note, part->role->value.place, "the role is set here", {}, {}});
    }
}

ComponentSpec RigBinder::bind_component(const FittedSection& f, Variant& out) {
    ComponentSpec spec{f.name(), f.type, {}, {}};
    for (const auto& s : f.settings) {
        check_key(f, s);
        out.places[f.name() + "." + s.key] = s.value.place;
    }
    for (const auto& field : fields_of(*f.type)) {
        if (!is_parameter(field)) continue;
        if (const auto* s = f.find(field.name)) {
            if (auto v = bind_value(field, f.name(), *s, d_)) spec.parameters[field.name] = std::move(*v);
        } else {
            bind_from_common(field, f, spec, out);
        }
    }
    return spec;
}

void RigBinder::bind_from_common(const Field& field, const FittedSection& f, ComponentSpec& spec, Variant& out) {
    const auto* s = field.common ? common_.find(field.common) : nullptr;
    if (!s) {
        if (needed(field) && !f.incomplete) report_missing(f, field);
        return;
    }
    used_.insert(field.common);
    out.places[f.name() + "." + field.name] = s->value.place;
    if (auto v = bind_value(field, "common", *s, d_)) {
        note_value(out, field.common, *v);
        spec.parameters[field.name] = std::move(*v);
    }
}

void RigBinder::report_missing(const FittedSection& f, const Field& field) {
    d_.error(f.section->place,
             fmt::format("missing key '{}' in [component.{}] {}", field.name, f.name(), field_note(field)),
             field.common ? fmt::format("set it here, or '{}' in [common]", field.common) : "");
}

/// A key that the model does not have is an error. Not so if another model of the role has it, and it is a connection
/// (the rig's wiring serves every model) or stands in a part.
void RigBinder::check_key(const FittedSection& f, const Setting& s) {
    if (s.key == "model" || field_of(*f.type, s.key)) return;
    const auto* other = other_model_with(f, s.key);
    if (other && (s.of_part || is_connection(*field_of(*other, s.key)))) return;
    const bool own = s.of_part || s.where == fmt::format("[component.{}]", f.name());
    const auto message = fmt::format("unknown key '{}{}' in {}", own ? "" : f.name() + ".", s.key, s.where);
    if (!other) {
        std::vector<const Field*> fields;
        for (const auto& field : fields_of(*f.type))
            if (is_parameter(field) || is_connection(field)) fields.push_back(&field);
        d_.error(s.place, message, field_suggestion(s.key, fields));
        return;
    }
    auto& error = d_.error(
        s.place, message,
        fmt::format("{} has it and {} has not; move it into a part, which may serve both", other->name, f.type->name));
    error.notes.push_back({Severity::note, f.find("model")->value.place, "the model is set here", {}, {}});
}

const ComponentType* RigBinder::other_model_with(const FittedSection& f, std::string_view key) const {
    for (const auto* t : registry_.types())
        if (!std::strcmp(t->role, f.type->role) && field_of(*t, key)) return t;
    return nullptr;
}

void RigBinder::check_common(const std::vector<FittedSection>& components, Variant& out) {
    for (const auto& s : common_.settings) {
        out.places["common." + s.key] = s.value.place;
        if (used_.count(s.key)) continue;
        const auto field = std::find_if(shared_fields_.begin(), shared_fields_.end(),
                                        [&](const Field& f) { return s.key == f.name; });
        if (field == shared_fields_.end()) {
            std::vector<const Field*> all;
            for (const auto& f : shared_fields_) all.push_back(&f);
            const bool own = s.of_part || s.where == "[common]";
            d_.error(s.place,
                     fmt::format("unknown key '{}{}' in {}: no model shares it", own ? "" : "common.", s.key, s.where),
                     field_suggestion(s.key, all));
            continue;
        }
        if (auto v = bind_value(*field, "common", s, d_)) note_value(out, s.key, *v);
        const bool could_be = std::any_of(components.begin(), components.end(), [&](const FittedSection& c) {
            return c.type && std::any_of(c.type->fields, c.type->fields + c.type->field_count,
                                         [&](const Field& f) { return f.common && s.key == f.common; });
        });
        if (!s.of_part) report_unused(s, could_be);
    }
}

/// In a rig it may wait for another model; a change of a study that changes nothing is a mistake.
void RigBinder::report_unused(const Setting& s, bool could_be_used) {
    const auto message = fmt::format("{} is used by no component of this rig", setting_text("common", s));
    const char* hint = could_be_used ? "every component that could take it has a value of its own" : "";
    if (s.where == "[common]") d_.warning(s.place, message, hint);
    else d_.error(s.place, message, hint);
}

/// A part of which the model takes nothing is not fitted, and not paid.
void RigBinder::list_parts(const FittedSection& f, Variant& out) {
    for (const auto& [slot, part] : f.parts) {
        const auto taken = [&](const Setting& s) {
            return s.key == "model" ? s.value.text() && *s.value.text() == f.type->name
                                    : field_of(*f.type, s.key) != nullptr;
        };
        if (!f.type || part->settings.empty() || std::any_of(part->settings.begin(), part->settings.end(), taken))
            out.parts.push_back({slot->key, f.name(), part->name, part->file, part->price});
        else
            d_.warning(slot->value.place,
                       fmt::format("part '{}' is left out: {} takes nothing of it", part->name, f.type->name));
    }
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/knob_reader.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/scenario/session_reader.hpp>

#include "knob_lookup.hpp"

namespace pullcast {
namespace {

constexpr std::string_view of_a_step = "step.";

Field length_of_a_step() {
    Field f;
    f.kind = Kind::number, f.name = "lasts", f.unit = "s", f.doc = "how long the step takes at most";
    f.lo = std::numeric_limits<double>::min(), f.hi = longest_step;
    return f;
}

}  // namespace

const ComponentSpec* component_of(const Variant& v, std::string_view name) {
    const auto& all = v.rig.components;
    const auto at = std::find_if(all.begin(), all.end(), [&](const ComponentSpec& c) { return c.name == name; });
    return at == all.end() ? nullptr : &*at;
}

const Section* section_of(const RigTree& tree, std::string_view name) {
    const auto& all = tree.components;
    if (name == "common") return &tree.common;
    const auto at = std::find_if(all.begin(), all.end(), [&](const Section& s) { return s.name == name; });
    return at == all.end() ? nullptr : &*at;
}

std::optional<Field> key_of(const ComponentSpec* c, std::string_view key) {
    for (const auto& f : c ? fields_of(*c->type) : std::span<const Field>())
        if (key == f.name && (is_parameter(f) || is_connection(f))) return f;
    return {};
}

std::optional<Field> common_key(const Variant& v, const std::string& key) {
    for (const auto& c : v.rig.components)
        for (const auto& f : fields_of(*c.type))
            if (is_parameter(f) && f.common && key == f.common) return f;
    return {};
}

KnobReader::Target KnobReader::target(const Value& path) const {
    if (path.text()->starts_with(of_a_step)) return step_target(path);
    Target t{*path.text(), {}, {}, path.place, {}, {}, *path.text(), {}};
    const auto words = path_words(t.path);
    const bool part = words.size() == 3 && words[1] == "parts" && words[0] != "procedure";
    if (!part && words.size() != 2) return t;
    t.owner = words[0], t.key = words.back();
    if (!part) resolve(t);
    else if (section_of(trees_[base_], t.owner)) t.turns = Turns::part;
    return t;
}

/// "step.wait.lasts", or "step.wait.set." and a path. A session that could not be read has told why.
KnobReader::Target KnobReader::step_target(const Value& path) const {
    Target t{*path.text(), {}, {}, path.place, {}, {}, {}, {}};
    const auto words = path_words(t.path);
    t.broken = !study_.session;
    if (t.broken && !d_.failed()) refuse(t, t.path + " turns a step, and the study has no session", "");
    if (t.broken) return t;
    std::vector<std::string> names;
    for (const auto& step : study_.session->steps) names.push_back(step.name);
    const auto at = std::find(names.begin(), names.end(), words[1]);
    if (at == names.end()) refuse(t, fmt::format("{}: no step '{}'", t.path, words[1]), suggestion(words[1], names));
    if (t.broken) return t;
    t.step = static_cast<std::size_t>(at - names.begin());
    t.key = words.back();
    if (words.size() == 3 && t.key == "lasts") {
        t.owner = fmt::format("step.{}", words[1]), t.field = length_of_a_step(), t.turns = Turns::number;
        return t;
    }
    if (words.size() == 5 && words[2] == "set") {
        t.owner = words[3], t.within = fmt::format("{}.{}", t.owner, t.key);
        resolve(t);
    }
    const bool part = words.size() == 6 && words[2] == "set" && words[4] == "parts";
    if (part || t.turns == Turns::model)
        refuse(t, fmt::format("{} is a {}", t.path, part ? "part" : "model"),
               "a knob turns numbers and words of a step's settings");
    else if (t.within.empty())
        refuse(t, fmt::format("'{}' is no setting of a step", t.path),
               fmt::format("write \"step.{0}.lasts\" or \"step.{0}.set.component.key\"", words[1]));
    return t;
}

void KnobReader::refuse(Target& t, const std::string& message, const std::string& hint) const {
    d_.error(t.place, message, hint);
    t.broken = true;
}

/// The variant under the settings of the step that is turned, if it is one.
const Variant& KnobReader::variant_of(const Target& t, std::size_t variant) const {
    return t.step ? study_.session->steps[*t.step].variants[variant] : study_.variants[variant];
}

void KnobReader::resolve(Target& t) const {
    const auto& base = variant_of(t, base_);
    const auto* component = component_of(base, t.owner);
    if (component && t.key == "model") return void(t.turns = Turns::model);
    if (t.owner == "procedure") {
        for (const auto& f : procedure_fields())
            if (t.key == f.name) t.field = f;
    } else {
        t.field = t.owner == "common" ? common_key(base, t.key) : key_of(component, t.key);
    }
    if (!t.field) return;
    if (t.field->kind == Kind::number) t.turns = Turns::number;
    if (t.field->kind == Kind::integer) t.turns = Turns::whole;
    if (t.field->kind == Kind::choice) t.turns = Turns::word;
}

/// What a path is, for messages.
std::string KnobReader::described(const Target& t) {
    switch (*t.turns) {
        case Turns::part:
            return t.path + " is a part";
        case Turns::model:
            return t.path + " is a model";
        case Turns::word:
            return t.path + " is a choice of words";
        case Turns::whole:
            return t.path + " is a whole number";
        default:
            break;
    }
    const std::string_view unit = t.field->unit;
    if (unit == "1") return t.path + " is a number";
    return fmt::format("{} is a {} in {}", t.path, unit == "dK" ? "difference" : "number", unit == "dK" ? "K" : unit);
}

}  // namespace pullcast

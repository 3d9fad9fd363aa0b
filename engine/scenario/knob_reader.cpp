#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/knob_reader.hpp>
#include <pullcast/scenario/procedure.hpp>
#include <pullcast/scenario/units.hpp>

#include "knob_lookup.hpp"

namespace pullcast {
namespace {

constexpr const char* forms = "choices for parts, models and words; from and to for numbers";
constexpr int last_layer = std::numeric_limits<int>::max();

bool same_dimension(const Field& a, const Field& b) {
    const auto x = parse_unit(a.unit), y = parse_unit(b.unit);
    const auto *u = std::get_if<Unit>(&x), *v = std::get_if<Unit>(&y);
    return u && v && u->dimension == v->dimension && u->difference == v->difference;
}

const char* kind_name(const Field& f) {
    return f.kind == Kind::curve ? "a curve" : f.kind == Kind::map ? "a map" : "a connection";
}

std::string label_of(const Part& p) { return p.price ? fmt::format("{} ({})", p.name, show_price(*p.price)) : p.name; }

}  // namespace

KnobReader::KnobReader(const Registry& registry, PartShelf& shelf, const RigBinder::Roles& roles, const Study& study,
                       const std::vector<RigTree>& trees, std::size_t base, Diagnostics& d)
    : shelf_(shelf),
      roles_(roles),
      study_(study),
      trees_(trees),
      base_(base),
      d_(d),
      binder_(registry, shelf, tried_) {}

std::vector<Knob> KnobReader::read(const Entry& table) {
    std::vector<Knob> knobs;
    for (const auto& e : *table.value.table())
        if (auto knob = read_knob(e)) knobs.push_back(std::move(*knob));
    return knobs;
}

std::optional<Knob> KnobReader::read_knob(const Entry& e) {
    Draft draft{fmt::format("[knob.{}]", e.key), e.place};
    if (!e.value.table()) {
        d_.error(e.value.place, fmt::format("knob '{}' must be a table, not {}", e.key, kind_of(e.value)),
                 "write " + draft.where);
        return {};
    }
    Keys keys(e.value, draft.where, d_);
    Knob knob;
    knob.name = e.key, knob.place = e.place, knob.title = keys.text_or("title", e.key),
    knob.note = keys.text_or("note");
    const auto* sets = keys.find("sets");
    draft.list = keys.find("choices"), draft.from = keys.find("from"), draft.to = keys.find("to");
    draft.step = keys.find("step");
    keys.finish();
    if (!sets)
        d_.error(e.place, fmt::format("missing key 'sets' in {} (the path that it turns, or a list)", draft.where));
    bool good = true;
    for (const auto* path : sets ? texts(*sets, draft) : std::vector<const Value*>()) {
        draft.targets.push_back(target(*path));
        knob.sets.push_back(draft.targets.back().path);
        claim(draft.targets.back(), e.key);
        good &= is_turnable(draft.targets.back());
    }
    if (!good || draft.targets.empty() || !agree(draft) || !has_form(draft) || !fits_form(draft)) return {};
    if (draft.list) read_choices(draft, knob);
    else read_range(draft, knob);
    find_starts(draft, knob);
    return knob;
}

std::vector<const Value*> KnobReader::texts(const Entry& list, const Draft& draft) {
    std::vector<const Value*> all;
    const auto* array = list.value.as<std::vector<Value>>();
    if (array && array->empty()) d_.error(list.value.place, fmt::format("'{}' in {} is empty", list.key, draft.where));
    for (std::size_t k = 0; k < (array ? array->size() : 1); ++k) {
        const auto& v = array ? (*array)[k] : list.value;
        const auto same = [&](const Value* other) { return *other->text() == *v.text(); };
        if (!v.text())
            d_.error(v.place, fmt::format("'{}' in {} must hold strings, not {}", list.key, draft.where, kind_of(v)));
        else if (std::any_of(all.begin(), all.end(), same))
            d_.error(v.place, fmt::format("{} stands twice in '{}' of {}", to_text(v), list.key, draft.where));
        else all.push_back(&v);
    }
    return all;
}

void KnobReader::claim(const Target& t, const std::string& knob) {
    const auto [known, fresh] = claimed_.emplace(t.path, std::pair(knob, t.place));
    if (fresh || known->second.first == knob) return;
    auto& error =
        d_.error(t.place, fmt::format("{} is set by two knobs: '{}' and '{}'", t.path, known->second.first, knob));
    error.notes.push_back({Severity::note, known->second.second, "the other one", {}, {}});
}

bool KnobReader::is_turnable(const Target& t) {
    if (t.broken) return false;
    if (!t.field || t.turns) return true;
    d_.error(t.place, fmt::format("{} is {} ({}), nothing to turn", t.path, kind_name(*t.field), t.field->doc),
             "a knob turns a part, a model, a choice or a number");
    return false;
}

bool KnobReader::agree(const Draft& draft) {
    const auto& first = draft.targets[0];
    for (const auto& t : draft.targets) {
        if (!t.turns || !first.turns) continue;
        const bool numbers = *t.turns >= Turns::number;
        if (*t.turns == *first.turns && (!numbers || same_dimension(*t.field, *first.field))) continue;
        d_.error(t.place, fmt::format("{} and {}", described(first), described(t)),
                 fmt::format("the paths of {} must be of one kind and dimension", draft.where));
        return false;
    }
    return true;
}

bool KnobReader::has_form(const Draft& draft) {
    const auto fail = [&](const Place& at, const std::string& message, const char* hint) {
        d_.error(at, message, hint);
        return false;
    };
    const auto* range = draft.from ? draft.from : draft.to ? draft.to : draft.step;
    if (draft.list && range) return fail(range->place, draft.where + " has both choices and a range", forms);
    if (!draft.list && !range) return fail(draft.place, draft.where + " has neither choices nor a range", forms);
    if (draft.list) return true;
    if (!draft.from) return fail(draft.place, fmt::format("missing key 'from' in {} (least value)", draft.where), "");
    if (!draft.to) return fail(draft.place, fmt::format("missing key 'to' in {} (largest value)", draft.where), "");
    return true;
}

bool KnobReader::fits_form(const Draft& draft) {
    const auto& t = draft.targets[0];
    if (!t.turns || (*t.turns >= Turns::number) == !draft.list) return true;
    d_.error(draft.list ? draft.list->place : draft.from->place,
             fmt::format("{} of {}: {}", draft.list ? "choices" : "range", draft.where, described(t)), forms);
    return false;
}

void KnobReader::read_choices(Draft& draft, Knob& knob) {
    const auto& t = draft.targets[0];
    for (const auto* value : texts(*draft.list, draft)) {
        turn(draft, *value);
        const auto* part = t.turns == Turns::part
                               ? shelf_.find({t.key, value->place, *value, draft.where, last_layer, false})
                               : nullptr;
        draft.parts.push_back(part);
        knob.choices.push_back({*value->text(), part ? label_of(*part) : *value->text()});
    }
    if (t.field && knob.note.empty()) knob.note = t.field->doc;
}

void KnobReader::read_range(const Draft& draft, Knob& knob) {
    const auto from = end_of_range(draft, *draft.from), to = end_of_range(draft, *draft.to);
    const auto known = [](const Target& t) { return t.field && t.owner != "common"; };
    const auto& all = draft.targets;
    if (!std::all_of(all.begin(), all.end(), known)) turn(draft, draft.from->value);
    if (!from || !to) return;
    const auto& t = draft.targets[0];
    knob.from = *from, knob.to = *to, knob.whole = t.turns == Turns::whole;
    knob.unit = t.field->unit, knob.quantity = t.key;
    if (knob.note.empty()) knob.note = t.field->doc;
    if (*from < *to) return read_step(draft, knob);
    d_.error(draft.to->value.place, fmt::format("to = {} in {} must be above from = {}", to_text(draft.to->value),
                                                draft.where, to_text(draft.from->value)));
}

/// Checked against every path; the number is the same for all.
std::optional<double> KnobReader::end_of_range(const Draft& draft, const Entry& e) {
    std::optional<double> number;
    for (const auto& t : draft.targets) {
        if (!t.field) return {};
        const auto v = bind_value(*t.field, t.owner, {t.key, e.place, e.value, draft.where, last_layer, false}, d_);
        if (!v) return {};
        const auto* n = std::get_if<std::int32_t>(&*v);
        number = n ? *n : std::get<double>(*v);
    }
    return number;
}

void KnobReader::read_step(const Draft& draft, Knob& knob) {
    const auto& whole = draft.targets[0];
    Field f;
    f.kind = whole.field->kind, f.name = "step", f.doc = "step of the knob";
    f.unit = knob.unit == "K" ? "dK" : whole.field->unit;
    f.lo = knob.whole ? 1 : std::numeric_limits<double>::min(), f.hi = knob.to - knob.from;
    knob.step = knob.whole ? 1 : f.hi / 50;
    if (!draft.step) return;
    const auto& s = *draft.step;
    const auto v = bind_value(f, "knob." + knob.name, {s.key, s.place, s.value, draft.where, 0, false}, d_);
    if (!v) return;
    const auto* n = std::get_if<std::int32_t>(&*v);
    knob.step = n ? *n : std::get<double>(*v);
}

/// Binds the base variant with the value, and tells the errors that this makes.
void KnobReader::turn(const Draft& draft, const Value& value) {
    const auto before = tried_.all().size();
    RigTree tree = trees_[base_];
    Table changes;
    for (const auto& t : draft.targets)
        if (!t.is_length()) changes.push_back({t.within, t.place, value});
    apply_changes(tree, changes, draft.where, last_layer, tried_);
    Variant turned;
    binder_.bind(tree, roles_, turned);
    read_procedure(tree.procedure, tried_);
    for (std::size_t k = before; k < tried_.all().size(); ++k)
        if (const auto& e = tried_.all()[k]; e.severity == Severity::error) tell(e, draft, value);
}

/// With the value, where the fault shows in another file. What the base variant itself has wrong is told already.
void KnobReader::tell(const Diagnostic& e, const Draft& draft, const Value& value) {
    const auto told = d_.all().size();
    auto& error = d_.error(e.place, e.message, e.hint);
    error.notes = e.notes;
    const bool elsewhere = !e.place.source || e.place.source->name != value.place.source->name;
    if (elsewhere && d_.all().size() > told)
        error.notes.push_back({Severity::note, value.place, "with this value of " + draft.where, {}, {}});
}

void KnobReader::find_starts(const Draft& draft, Knob& knob) {
    const auto& t = draft.targets[0];
    if (!t.turns) return;
    for (std::size_t k = 0; k < study_.variants.size(); ++k) {
        const auto& v = variant_of(t, k);
        if (*t.turns >= Turns::number) {
            if (const auto number = number_in(v, t)) knob.start[v.name] = *number;
        } else if (auto choice = choice_in(k, draft, knob)) {
            knob.start[v.name] = std::move(*choice);
        }
    }
}

std::optional<double> KnobReader::number_in(const Variant& v, const Target& t) const {
    if (t.is_length()) return study_.session->steps[*t.step].longest;
    if (t.owner == "procedure") return value_of(v.procedure, *t.field);
    const auto* component = component_of(v, t.owner);
    const auto f = t.owner == "common" ? common_key(v, t.key) : key_of(component, t.key);
    if (!f || f->kind != t.field->kind || std::strcmp(f->unit, t.field->unit) ||
        std::strcmp(f->choices, t.field->choices))
        return {};
    if (t.owner == "common") {
        if (const auto at = v.common.find(t.key); at != v.common.end()) return at->second;
    } else if (const auto at = component->parameters.find(t.key); at != component->parameters.end()) {
        const auto* n = std::get_if<std::int32_t>(&at->second);
        return n ? *n : std::get<double>(at->second);
    }
    return std::isnan(f->preset) ? std::nullopt : std::optional(f->preset);
}

std::optional<std::string> KnobReader::choice_in(std::size_t variant, const Draft& draft, const Knob& knob) {
    const auto& t = draft.targets[0];
    const auto& v = variant_of(t, variant);
    std::string now;
    if (t.turns == Turns::part) {
        const auto* section = section_of(trees_[variant], t.owner);
        for (const auto& slot : section->parts)
            if (const auto* part = slot.key == t.key ? shelf_.find(slot) : nullptr)
                for (std::size_t k = 0; k < knob.choices.size(); ++k)
                    if (draft.parts[k] == part) return knob.choices[k].value;
        return {};
    }
    if (const auto* component = component_of(v, t.owner); component && t.turns == Turns::model)
        now = component->type->name;
    else if (const auto index = t.turns == Turns::word ? number_in(v, t) : std::nullopt)
        now = choices_of(*t.field).at(static_cast<std::size_t>(*index));
    const auto same = [&](const Choice& c) { return c.value == now; };
    return std::any_of(knob.choices.begin(), knob.choices.end(), same) ? std::optional(now) : std::nullopt;
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <pullcast/network/network.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/session_reader.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

constexpr double never = 1e9;  // s: when the throttle opens in a step that is no pull
constexpr double usual_rows = 200;
constexpr std::int64_t most_times = 1000;
const std::vector<std::string> kinds = {"pull", "held", "idle"};

/// Sets a shared value of all components that know it.
void set_shared(RigSpec& rig, std::string_view key, const ParameterValue& value) {
    for (auto& c : rig.components)
        for (const auto& f : fields_of(*c.type))
            if (is_parameter(f) && f.common && key == f.common) c.parameters[f.name] = value;
}

const Channel* channel_named(const Network& network, const std::string& name, std::vector<std::string>& known) {
    for (const auto& c : network.channels()) {
        known.push_back(c.name);
        if (c.name == name) return &c;
    }
    return nullptr;
}

/// The models of a step must be those of the first one, whose states it takes over.
bool same_models(const RigSpec& a, const RigSpec& b, std::string& which) {
    for (std::size_t k = 0; k < a.components.size(); ++k)
        if (a.components[k].type != b.components[k].type && b.components[k].type) {
            which = a.components[k].name;
            return false;
        }
    return true;
}

}  // namespace

void set_controls(RigSpec& rig, SessionStep::Kind kind) {
    const bool pull = kind == SessionStep::Kind::pull, idle = kind == SessionStep::Kind::idle;
    set_shared(rig, "pull_start", pull ? 0.0 : never);
    set_shared(rig, "clutch", std::int32_t{idle});
}

Session SessionReader::read(const Entry& session, const Entry* steps) {
    if (!steps || steps->value.table()->empty())
        d_.error(session.place, "[session] has no steps", "[step.NAME] describes one");
    else
        for (const auto& e : *steps->value.table()) read_step(e);
    Keys keys(session.value, "[session]", d_);
    const auto* order = keys.find("steps");
    keys.finish();
    const auto* list = order ? order->value.as<std::vector<Value>>() : nullptr;
    if (!list || list->empty())
        d_.error(order ? order->value.place : session.place, "[session] needs steps = [...]",
                 "names of steps in their order, or { repeat = [...], times = 3 }");
    else
        for (const auto& v : *list) read_turn(v);
    return std::move(out_);
}

void SessionReader::read_step(const Entry& e) {
    const auto where = fmt::format("[step.{}]", e.key);
    if (!e.value.table())
        return void(d_.error(e.value.place, fmt::format("step '{}' must be a table, not {}", e.key, kind_of(e.value)),
                             "write " + where));
    Keys keys(e.value, where, d_);
    SessionStep step{e.key, keys.text_or("title", e.key), SessionStep::Kind::idle, 0, 0, {}, {}, e.place};
    bool known_kind = false;
    if (const auto* kind = keys.required_text("kind", "pull, held or idle")) {
        const auto at = std::find(kinds.begin(), kinds.end(), *kind->value.text());
        if (at == kinds.end())
            d_.error(kind->value.place, fmt::format("kind = {} in {} is none", to_text(kind->value), where),
                     suggestion(*kind->value.text(), kinds));
        else step.kind = static_cast<SessionStep::Kind>(at - kinds.begin()), known_kind = true;
    }
    const bool pull = step.kind == SessionStep::Kind::pull;
    const auto *lasts = keys.text("lasts"), *every = keys.text("report_every");
    const auto* until = keys.table("until");
    const auto* set = keys.table("set");
    keys.finish();
    if (set) step.set = *set;
    step.variants = bind_(set, fmt::format("[step.{}.set]", e.key));
    if (step.variants.empty()) return;
    const auto& procedure = step.variants[0].procedure;
    step.longest = lasts ? positive(*lasts, where, "s").value_or(1) : pull ? procedure.longest : 0;
    if (!lasts && !pull && known_kind)
        d_.error(e.value.place, fmt::format("missing key 'lasts' in {} (how long it takes at most)", where));
    if (step.longest > longest_step)
        d_.error(lasts->value.place, fmt::format("lasts = {} in {}: at most a day", to_text(lasts->value), where));
    step.report_step = every  ? positive(*every, where, "s").value_or(1)
                       : pull ? procedure.output_step
                              : step.longest / usual_rows;
    for (auto& v : step.variants) {
        set_controls(v.rig, step.kind);
        std::string which;
        const auto k = static_cast<std::size_t>(&v - step.variants.data());
        if (!out_.steps.empty() && !same_models(out_.steps[0].variants[k].rig, v.rig, which))
            d_.error(e.value.place,
                     fmt::format("{} changes the model of '{}': states would not carry over", where, which),
                     "another part of the same model, or other settings");
    }
    out_.steps.push_back(std::move(step));
    if (until) out_.steps.back().until = read_until(*until, where);
}

std::optional<StepEnd> SessionReader::read_until(const Entry& e, const std::string& where) {
    Keys keys(e.value, where + " until", d_);
    const auto* channel = keys.required_text("channel", "what is looked at, such as sensor.reading");
    const auto *below = keys.text("below"), *above = keys.text("above");
    keys.finish();
    if (!below == !above) {
        d_.error(e.value.place, fmt::format("until in {} needs either 'below' or 'above'", where));
        return {};
    }
    if (!channel || out_.steps.empty() || d_.failed()) return {};
    std::vector<std::string> known;
    const auto& rig = out_.steps[0].variants[0];
    try {
        const Network network(rig.rig);
        const auto* found = channel_named(network, *channel->value.text(), known);
        if (!found) {
            d_.error(channel->value.place,
                     fmt::format("until in {}: the rig has no channel '{}'", where, *channel->value.text()),
                     suggestion(*channel->value.text(), known));
            return {};
        }
        const auto& limit = below ? *below : *above;
        const auto parsed = parse_quantity(*limit.value.text(), found->unit, {.name = limit.key});
        if (const auto* v = std::get_if<double>(&parsed)) return StepEnd{found->name, below != nullptr, *v, e.place};
        const auto& wrong = std::get<UnitError>(parsed);
        d_.error(limit.value.place, fmt::format("{} in {}: {}", limit.key, where, wrong.message), wrong.hint);
    } catch (const RigError& error) {
        const auto located = locate(error, rig);
        for (const auto& x : located.diagnostics()) d_.error(x.place, x.message, x.hint);
    }
    return {};
}

void SessionReader::read_turn(const Value& v) {
    if (v.table()) return read_repetition(v);
    if (const auto step = step_named(v)) out_.turns.push_back({{*step}, 1, {}});
}

void SessionReader::read_repetition(const Value& v) {
    const std::string where = "a repetition in [session]";
    Keys keys(v, where, d_);
    const auto *repeat = keys.find("repeat"), *times = keys.find("times");
    const auto* until = keys.table("until");
    keys.finish();
    SessionTurn turn;
    const auto* names = repeat ? repeat->value.as<std::vector<Value>>() : nullptr;
    if (!names || names->empty()) d_.error(v.place, "a repetition needs repeat = [...]", "names of steps");
    else
        for (const auto& name : *names)
            if (const auto step = step_named(name)) turn.steps.push_back(*step);
    const auto* n = times ? times->value.as<std::int64_t>() : nullptr;
    if (!n || *n < 1 || *n > most_times)
        d_.error(times ? times->value.place : v.place, "a repetition needs times = a whole number from 1",
                 "how often, or how often at most");
    else turn.times = static_cast<std::size_t>(*n);
    if (until) turn.until = read_until(*until, where);
    out_.turns.push_back(std::move(turn));
}

std::optional<double> SessionReader::positive(const Entry& e, const std::string& where, std::string_view unit) {
    const auto parsed = parse_quantity(*e.value.text(), unit, {.name = e.key});
    const auto* v = std::get_if<double>(&parsed);
    if (v && *v > 0) return *v;
    const auto told = fmt::format("{} = {} in {}", e.key, to_text(e.value), where);
    if (v) d_.error(e.value.place, told + " must be greater than 0");
    else d_.error(e.value.place, told + ": " + std::get<UnitError>(parsed).message, std::get<UnitError>(parsed).hint);
    return {};
}

std::optional<std::size_t> SessionReader::step_named(const Value& v) {
    std::vector<std::string> known;
    for (std::size_t k = 0; k < out_.steps.size(); ++k) {
        if (v.text() && *v.text() == out_.steps[k].name) return k;
        known.push_back(out_.steps[k].name);
    }
    d_.error(v.place, fmt::format("no step {}", to_text(v)), v.text() ? suggestion(*v.text(), known) : "");
    return {};
}

}  // namespace pullcast

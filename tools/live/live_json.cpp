#include "live_json.hpp"

#include <nlohmann/json.hpp>
#include <page.hpp>
#include <pullcast/scenario/knobs.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

/// The unit that a number of this knob is sent in; "" for a bare number.
std::string written_unit(const Knob& knob, UnitSystem system) {
    auto shown = display_unit(knob.unit, system, knob.quantity);
    if (shown.unit == "1") shown.unit.clear();
    return std::move(shown.unit);
}

Json choices_json(const Knob& knob) {
    if (knob.choices.empty()) return nullptr;
    Json out = Json::array();
    for (const auto& c : knob.choices) out.push_back({{"value", c.value}, {"label", c.label}});
    return out;
}

Json start_json(const Knob& knob, const Study& study) {
    Json out = Json::object();
    for (const auto& v : study.variants) {
        const auto at = knob.start.find(v.name);
        if (at == knob.start.end()) out[v.name] = nullptr;
        else std::visit([&](const auto& value) { out[v.name] = value; }, at->second);
    }
    return out;
}

Json knob_json(const Knob& knob, const Study& study) {
    return {
        {"name", knob.name},
        {"title", knob.title},
        {"sets", knob.sets},
        {"doc", knob.note},
        {"choices", choices_json(knob)},
        {"unit", unit_key(knob.unit, knob.quantity)},
        {"step_unit", difference_key(knob.unit, knob.quantity)},
        {"from", knob.from},
        {"to", knob.to},
        {"step", knob.step},
        {"start", start_json(knob, study)},
        {"write", {{"metric", written_unit(knob, UnitSystem::metric)}, {"us", written_unit(knob, UnitSystem::us)}}}};
}

}  // namespace

Json live_json(const Study& study, const std::string& token) {
    Json knobs = Json::array();
    for (const auto& k : study.knobs) knobs.push_back(knob_json(k, study));
    return {{"token", token}, {"knobs", knobs}, {"start", study.base}};
}

}  // namespace pullcast

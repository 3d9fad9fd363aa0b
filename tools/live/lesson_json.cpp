#include "lesson_json.hpp"

#include <fmt/format.h>

#include <cmath>
#include <in_systems.hpp>
#include <page.hpp>
#include <page_parts.hpp>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

/// What is known when the day begins.
struct Given {
    const char *label, *role, *item;
};
constexpr Given all_given[] = {{"outside air", "ambient", "air.T"},
                               {"intake (sensor)", "sensor", "reading"},
                               {"coolant before the core", "cooler", "coolant_in"}};
constexpr const char *temperature = "K", *quantity = "temperature";

/// The states that a rig starts from, as a pull of one row.
Pull start_of(const Network& network) {
    std::vector<double> x(network.size());
    network.start(x.data());
    Pull start;
    start.channels = network.channels().size();
    start.time = {0};
    start.values.resize(start.channels);
    RigSystem(network, {}).record(0, x.data(), start.values.data());
    return start;
}

Json given_json(const Network& network) {
    const auto start = start_of(network);
    const PullView view(network, start);
    Json values = Json::array();
    for (const auto& g : all_given) {
        const double v = view.at(g.role, g.item, 0);
        values.push_back(std::isfinite(v) ? Json(v) : Json(nullptr));
    }
    return values;
}

/// The day's first step as a variant runs it.
Network first_network(const Study& study, std::size_t variant) {
    const auto& session = *study.session;
    const auto& v = session.steps[session.turns.front().steps.front()].variants[variant];
    try {
        return Network(v.rig);
    } catch (const RigError& e) {
        throw locate(e, v);
    }
}

Json variants_json(const Study& study) {
    Json all = Json::array();
    for (std::size_t k = 0; k < study.variants.size(); ++k) {
        const auto& v = study.variants[k];
        all.push_back({{"name", v.name},
                       {"title", v.title},
                       {"base", k == base_index(study)},
                       {"new_parts", new_parts(study, k)},
                       {"parts", parts_json(v)},
                       {"changes", changes_json(v)},
                       {"given", given_json(first_network(study, k))}});
    }
    return all;
}

std::string until_in_words(const StepEnd& until, const Network& network, UnitSystem system) {
    for (const auto& c : network.channels())
        if (c.name == until.channel) {
            const auto shown = display_unit(c.unit, system, c.item);
            return fmt::format("until {} is {} {:.4g} {}", c.name, until.below ? "below" : "above", shown(until.value),
                               shown.unit == "1" ? "" : shown.unit);
        }
    return {};
}

Json until_json(const std::optional<StepEnd>& until, const Network& network) {
    return in_systems([&](UnitSystem s) { return until ? until_in_words(*until, network, s) : std::string(); });
}

/// What a step sets beyond its variant.
Json settings_json(const Study& study, const SessionStep& step) {
    const auto base = base_index(study);
    const auto& all = step.variants[base].changes;
    Json settings = Json::array();
    for (std::size_t k = study.variants[base].changes.size(); k < all.size(); ++k)
        settings.push_back({{"path", all[k].path}, {"value", all[k].after}});
    return settings;
}

Json steps_json(const Study& study, const Network& network) {
    constexpr const char* kinds[] = {"pull", "held", "idle"};
    Json all = Json::array();
    for (const auto& step : study.session->steps)
        all.push_back({{"title", step.title},
                       {"kind", kinds[static_cast<int>(step.kind)]},
                       {"lasts", step.kind == SessionStep::Kind::pull ? Json(nullptr) : Json(step.longest)},
                       {"until", until_json(step.until, network)},
                       {"settings", settings_json(study, step)}});
    return all;
}

Json turns_json(const Study& study, const Network& network) {
    Json all = Json::array();
    for (const auto& turn : study.session->turns)
        all.push_back({{"times", turn.times}, {"steps", turn.steps}, {"until", until_json(turn.until, network)}});
    return all;
}

Json questions_json(const Study& study, const std::vector<Asked>& asked) {
    Json all = Json::array();
    for (std::size_t k = 0; k < asked.size(); ++k) {
        const auto& q = study.questions[k];
        const auto& a = asked[k];
        all.push_back({{"name", q.name},
                       {"text", q.text},
                       {"label", a.label},
                       {"unit", unit_key(a.unit, a.quantity)},
                       {"difference", difference_key(a.unit, a.quantity)},
                       {"decimals", a.decimals},
                       {"less", a.less},
                       {"more", a.more},
                       {"is_difference", q.minus.has_value()},
                       {"alike_within", a.alike_within ? Json(*a.alike_within) : Json(nullptr)}});
    }
    return all;
}

Json links_json(const std::vector<LessonLink>& links) {
    Json all = Json::array();
    for (const auto& l : links) all.push_back({{"title", l.title}, {"address", l.address}});
    return all;
}

Json labels_json() {
    Json all = Json::array();
    for (const auto& g : all_given) all.push_back(g.label);
    return {{"labels", all}, {"unit", unit_key(temperature, quantity)}, {"decimals", 1}};
}

}  // namespace

Json lesson_json(const Study& study, const std::vector<Asked>& asked, const std::vector<LessonLink>& links,
                 UnitSystem shown_first) {
    const auto network = first_network(study, base_index(study));
    Json page = page_head("lesson", study, shown_first);
    page.update(Json{{"length", {{"unit", unit_key("s", "lasts")}, {"decimals", 1}}},
                     {"given", labels_json()},
                     {"variants", variants_json(study)},
                     {"steps", steps_json(study, network)},
                     {"turns", turns_json(study, network)},
                     {"questions", questions_json(study, asked)},
                     {"links", links_json(links)},
                     {"load_notes", study.notes},
                     {"cautions", cautions()}});
    return page;
}

Json answers_json(const Study& study, const std::vector<Asked>& asked, const std::vector<SessionResult>& results) {
    Json all = Json::array();
    for (std::size_t k = 0; k < asked.size(); ++k) {
        const auto answer = answer_to(study.questions[k], study, results);
        all.push_back({{"value", answer.value ? Json(*answer.value) : Json(nullptr)},
                       {"words", in_systems([&](UnitSystem s) { return answer_in_words(asked[k], answer, s); })}});
    }
    return all;
}

}  // namespace pullcast

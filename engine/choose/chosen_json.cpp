#include <nlohmann/json.hpp>
#include <pullcast/choose/chosen.hpp>
#include <pullcast/study/version.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast::choose {
namespace {

using Json = nlohmann::ordered_json;  // writes what is not finite as null

const char* word(Better b) { return b == Better::more ? "more" : "less"; }

template <class T> Json maybe(const std::optional<T>& v) { return v ? Json(*v) : Json(nullptr); }

const char* unit_of(const Chosen& c, const Wish& w) {
    return w.column ? c.choices.columns[*w.column].figure->unit : c.plan.currency.c_str();
}

Json axes_json(const std::vector<Axis>& axes) {
    Json all = Json::array();
    for (const auto& a : axes) {
        Json one = {{"knob", a.knob->name}, {"title", a.knob->title}};
        if (a.is_range()) {
            one.update({{"unit", a.knob->unit}, {"from", a.knob->from}, {"to", a.knob->to}});
            if (a.normal) one.update({{"mean", a.normal->mean}, {"deviation", a.normal->deviation}});
        } else {
            Json choices = Json::array();
            for (std::size_t k = 0; k < a.levels(); ++k)
                choices.push_back(
                    {{"value", a.knob->choices[k].value}, {"label", a.knob->choices[k].label}, {"share", a.shares[k]}});
            one["choices"] = std::move(choices);
        }
        all.push_back(std::move(one));
    }
    return all;
}

/// What an axis is set to: the word of a choice, or a number in SI.
Json value_json(const Axis& a, double value) {
    if (a.is_range()) return value;
    return a.knob->choices[static_cast<std::size_t>(value)].value;
}

Json values_json(const std::vector<Axis>& axes, const std::vector<double>& values) {
    Json all = Json::object();
    for (std::size_t a = 0; a < values.size(); ++a) all[axes[a].knob->name] = value_json(axes[a], values[a]);
    return all;
}

Json wishes_json(const Chosen& c) {
    Json all = Json::array();
    for (std::size_t w = 0; w < c.choices.wishes.size(); ++w) {
        const auto& wish = c.choices.wishes[w];
        all.push_back({{"name", wish.name},
                       {"title", wish.title},
                       {"figure", wish.column ? Json(c.choices.columns[*wish.column].name()) : Json("price")},
                       {"unit", unit_of(c, wish)},
                       {"at_least", maybe(wish.at_least)},
                       {"at_most", maybe(wish.at_most)},
                       {"confidence", maybe(wish.confidence)},
                       {"prefer", wish.prefer ? Json(word(*wish.prefer)) : Json(nullptr)},
                       {"refused", c.ranking.refused[w]},
                       {"refused_alone", c.ranking.refused_alone[w]}});
    }
    return all;
}

Json standing_json(const Chosen& c, const Standing& s) {
    const auto& combination = c.plan.combinations[s.combination];
    Json out = {{"bought", values_json(c.choices.buy, combination.values)}, {"price", combination.price}};
    if (s.failed) {
        out.update({{"failed", s.failed}, {"failure", s.failure}});
        return out;
    }
    Json wishes = Json::object();
    for (std::size_t w = 0; w < s.wishes.size(); ++w) {
        const auto& g = s.wishes[w];
        wishes[c.choices.wishes[w].name] = {{"mean", g.mean}, {"sure", g.sure}, {"share", g.share}, {"holds", g.holds}};
    }
    out.update({{"eligible", s.eligible}, {"wishes", std::move(wishes)}});
    return out;
}

Json money_json(const Chosen& c) {
    Json all = Json::array();
    for (const auto& s : c.ranking.money)
        all.push_back({{"from", s.from},
                       {"to", s.to},
                       {"price", s.price},
                       {"gain", s.gain},
                       {"lowest", s.lowest},
                       {"highest", s.highest},
                       {"better_in", s.better}});
    return all;
}

Json share_json(const Sensitivity::Share& s) { return {{"value", s.value}, {"low", s.low}, {"high", s.high}}; }

Json sensitivity_json(const Chosen& c) {
    const auto& s = c.sensitivity;
    if (!s.left_out.empty()) return {{"left_out", s.left_out}};
    Json columns = Json::object();
    for (std::size_t k = 0; k < s.shares.size(); ++k) {
        if (s.shares[k].empty()) continue;
        Json axes = Json::object();
        for (std::size_t a = 0; a < s.shares[k].size(); ++a)
            axes[c.choices.meet[a].knob->name] = {{"first", share_json(s.shares[k][a].first)},
                                                  {"total", share_json(s.shares[k][a].total)}};
        columns[c.choices.columns[k].name()] = std::move(axes);
    }
    return {{"combination", s.combination}, {"runs", s.runs}, {"shares", std::move(columns)}};
}

Json conditions_json(const Chosen& c) {
    Json all = Json::array();
    for (const auto& condition : c.plan.conditions)
        all.push_back({{"met", values_json(c.choices.meet, condition.values)}, {"share", condition.share}});
    return all;
}

}  // namespace

std::string chosen_json(const Chosen& c) {
    Json standings = Json::array();
    for (const auto& s : c.ranking.standings) standings.push_back(standing_json(c, s));
    const Json root = {{"schema", chosen_schema},
                       {"schema_version", chosen_schema_version},
                       {"program", std::string("pullcast ") + version},
                       {"study", c.study->file},
                       {"title", title_of(*c.study)},
                       {"hash", c.plan.hash},
                       {"runs", c.plan.runs()},
                       {"seed", c.choices.seed},
                       {"currency", c.plan.currency},
                       {"bought", axes_json(c.choices.buy)},
                       {"met", axes_json(c.choices.meet)},
                       {"conditions", conditions_json(c)},
                       {"wishes", wishes_json(c)},
                       {"eligible", c.ranking.eligible},
                       {"failed", c.ranking.failed},
                       {"front", c.ranking.front},
                       {"shortlist", c.ranking.shortlist},
                       {"money", money_json(c)},
                       {"sensitivity", sensitivity_json(c)},
                       {"combinations", std::move(standings)},
                       {"cautions", cautions()}};
    return root.dump(2) + "\n";
}

}  // namespace pullcast::choose

#include "choice_page.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <pullcast/study/explain_words.hpp>
#include <pullcast/study/words.hpp>
#include <set>

#include "in_systems.hpp"
#include "page.hpp"
#include "page_parts.hpp"

namespace pullcast {
namespace {

using namespace choose;
using Json = nlohmann::ordered_json;  // writes what is not finite as null

constexpr std::size_t text_width = 100;
constexpr const char* money = "money";  // its key in `units`: no unit of a schema

const char* word(Better b) { return b == Better::more ? "more" : "less"; }

template <class T> Json maybe(const std::optional<T>& v) { return v ? Json(*v) : Json(nullptr); }

Json units_of(const Figure& f) {
    return {{"unit", unit_key(f.unit, f.quantity)},
            {"difference", difference_key(f.unit, f.quantity)},
            {"decimals", f.decimals}};
}

Json bought_json(const Chosen& c) {
    Json all = Json::array();
    for (std::size_t a = 0; a < c.choices.buy.size(); ++a) {
        const auto& axis = c.choices.buy[a];
        Json choices = Json::array();
        for (std::size_t k = 0; !axis.is_range() && k < axis.levels(); ++k)
            choices.push_back(part_text(c, axis, axis.level(k), UnitSystem::metric));
        all.push_back({{"title", axis.knob->title},
                       {"choices", axis.is_range() ? Json(nullptr) : choices},
                       {"unit", unit_key(axis.is_range() ? axis.knob->unit : "1", axis.knob->quantity)},
                       {"decimals", axis.knob->whole ? 0 : 1},
                       {"own", exact(value_of(c, 0, a))}});
    }
    return all;
}

Json met_json(const Chosen& c) {
    Json all = Json::array();
    for (const auto& axis : c.choices.meet)
        all.push_back(
            {{"title", axis.knob->title}, {"words", in_systems([&](UnitSystem s) { return met_text(axis, s); })}});
    return all;
}

int decimals_of_prices(const Chosen& c) {
    for (const auto& k : c.plan.combinations)
        if (k.price != std::round(k.price) && !std::isnan(k.price)) return 2;
    return 0;
}

Json wishes_json(const Chosen& c) {
    Json all = Json::array();
    for (std::size_t w = 0; w < c.choices.wishes.size(); ++w) {
        const auto& wish = c.choices.wishes[w];
        Json one = {{"name", wish.name}, {"title", wish.title}, {"price", !wish.column}};
        if (wish.column) one.update(units_of(*c.choices.columns[*wish.column].figure));
        else one.update({{"unit", money}, {"difference", money}, {"decimals", decimals_of_prices(c)}});
        const bool limited = wish.at_least || wish.at_most;
        one.update({{"at_least", maybe(wish.at_least)},
                    {"at_most", maybe(wish.at_most)},
                    {"confidence", maybe(wish.confidence)},
                    {"prefer", wish.prefer ? Json(word(*wish.prefer)) : Json(nullptr)},
                    {"told", wish.confidence || (limited && !wish.prefer) ? "sure" : "mean"},
                    {"words", in_systems([&](UnitSystem s) { return wish_text(c, wish, s); })},
                    {"refused", c.ranking.refused[w]},
                    {"refused_alone", c.ranking.refused_alone[w]}});
        all.push_back(std::move(one));
    }
    return all;
}

/// Combinations that tables show: their numbers stand in full.
std::set<std::size_t> in_tables(const Chosen& c) {
    std::set<std::size_t> all{0};
    all.insert(c.ranking.front.begin(), c.ranking.front.end());
    for (const auto& s : c.ranking.money) all.insert(s.from), all.insert(s.to);
    return all;
}

/// One list a member, one entry a combination.
Json combinations_json(const Chosen& c) {
    const auto full = in_tables(c);
    const auto number = [&](std::size_t k, double v) { return full.contains(k) ? exact(v) : rounded(v); };
    Json bought = Json::array(), price = Json::array(), eligible = Json::array(), wishes = Json::array();
    for (std::size_t a = 0; a < c.choices.buy.size(); ++a) {
        auto& list = bought.emplace_back(Json::array());
        for (std::size_t k = 0; k < c.plan.combinations.size(); ++k) {
            const double v = value_of(c, k, a);
            list.push_back(c.choices.buy[a].is_range() || std::isnan(v) ? rounded(v) : Json(std::llround(v)));
        }
    }
    for (std::size_t k = 0; k < c.plan.combinations.size(); ++k) {
        price.push_back(exact(c.plan.combinations[k].price));
        eligible.push_back(c.ranking.standings[k].eligible ? 1 : 0);
    }
    for (std::size_t w = 0; w < c.choices.wishes.size(); ++w) {
        Json one = {
            {"mean", Json::array()}, {"sure", Json::array()}, {"share", Json::array()}, {"holds", Json::array()}};
        for (std::size_t k = 0; k < c.ranking.standings.size(); ++k) {
            const auto& s = c.ranking.standings[k];
            const auto g = s.failed ? Granted{std::nan(""), std::nan(""), 0, false} : s.wishes[w];
            one["mean"].push_back(number(k, g.mean));
            one["sure"].push_back(number(k, g.sure));
            one["share"].push_back(rounded(g.share));
            one["holds"].push_back(g.holds ? 1 : 0);
        }
        wishes.push_back(std::move(one));
    }
    return {{"bought", bought}, {"price", price}, {"eligible", eligible}, {"wishes", wishes}};
}

Json failed_json(const Chosen& c) {
    Json all = Json::array();
    for (const auto& s : c.ranking.standings)
        if (s.failed) all.push_back({{"combination", s.combination}, {"conditions", s.failed}, {"failure", s.failure}});
    return all;
}

Json steps_json(const Chosen& c, const std::vector<MoneyStep>& steps) {
    Json all = Json::array();
    for (const auto& s : steps)
        all.push_back({{"from", s.from},
                       {"to", s.to},
                       {"price", s.price},
                       {"gain", s.gain},
                       {"lowest", s.lowest},
                       {"highest", s.highest},
                       {"better", s.better},
                       {"words", in_systems([&](UnitSystem u) { return money_text(c, s, u); })}});
    return all;
}

Json share_json(const Sensitivity::Share& s) { return {{"value", s.value}, {"low", s.low}, {"high", s.high}}; }

Json sensitivity_json(const Chosen& c) {
    const auto& s = c.sensitivity;
    Json columns = Json::array();
    for (std::size_t k = 0; k < s.shares.size(); ++k) {
        if (s.shares[k].empty()) continue;
        const auto& column = c.choices.columns[k];
        Json shares = Json::array();
        for (const auto& one : s.shares[k])
            shares.push_back({{"first", share_json(one.first)}, {"total", share_json(one.total)}});
        columns.push_back({{"name", column.name()},
                           {"label", figure_name(*column.figure) +
                                         (column.pull ? ", pull " + std::to_string(column.pull) : std::string())},
                           {"shares", shares}});
    }
    return {{"left_out", s.left_out},
            {"combination", s.combination},
            {"runs", s.runs},
            {"columns", columns},
            {"words", in_systems([&](UnitSystem u) { return sensitivity_words(c, u); })},
            {"how_to_read", how_to_read_shares()}};
}

Json money_unit(const Chosen& c) {
    return in_systems([&](UnitSystem) { return Json{{"unit", c.plan.currency}, {"scale", 1}, {"offset", 0}}; });
}

}  // namespace

Json choice_json(const Chosen& c, UnitSystem shown_first) {
    const auto& study = *c.study;
    Json page = page_head("choice", study, shown_first);
    page.update(Json{
        {"hash", c.plan.hash},
        {"seed", c.choices.seed},
        {"runs", c.plan.runs()},
        {"conditions", c.plan.conditions.size()},
        {"sampled", c.choices.combinations.has_value()},
        {"headline", in_systems([&](UnitSystem s) { return answer(c, s); })},
        {"done", headline(c)},
        {"findings", in_systems([&](UnitSystem s) { return findings(c, s); })},
        {"bought", bought_json(c)},
        {"met", met_json(c)},
        {"wishes", wishes_json(c)},
        {"lead", c.ranking.lead},
        {"combinations", combinations_json(c)},
        {"failed", failed_json(c)},
        {"front", c.ranking.front},
        {"shortlist", c.ranking.shortlist},
        {"money", steps_json(c, c.ranking.money)},
        {"furthest", steps_json(c, c.ranking.furthest)},
        {"sensitivity", sensitivity_json(c)},
        {"how_to_read", how_to_read_choices(c)},
        {"load_notes", study.notes},
        {"cautions", cautions()},
    });
    Json units = {{money, money_unit(c)}};
    add_units(page, units);
    page["units"] = std::move(units);
    return page;
}

std::string choice_html(const Chosen& c, UnitSystem shown_first) {
    return page_html(choice_json(c, shown_first), title_of(*c.study), chosen_text(c, shown_first, text_width));
}

}  // namespace pullcast

#include "matched_page.hpp"

#include <fmt/format.h>

#include "explained_page.hpp"
#include "in_systems.hpp"
#include "page.hpp"
#include "page_parts.hpp"

namespace pullcast {
namespace {

using namespace measure;
using Json = nlohmann::ordered_json;  // writes what is not finite as null

constexpr std::size_t text_width = 100;

Json named(const Variant& v) { return {{"name", v.name}, {"title", v.title}}; }

Json units_of(std::string_view unit, std::string_view quantity, int decimals) {
    return {{"unit", unit_key(unit, quantity)}, {"difference", difference_key(unit, quantity)}, {"decimals", decimals}};
}

template <class F> Json words(F lines) {
    return in_systems([&](UnitSystem s) { return lines(s); });
}

Json checklist_json(const MeasuredResults& r) {
    const auto metric = checklist(r, UnitSystem::metric), us = checklist(r, UnitSystem::us);
    Json all = Json::array();
    for (std::size_t k = 0; k < metric.size(); ++k)
        all.push_back({{"item", metric[k].item},
                       {"state", in_words(metric[k].state)},
                       {"words", {{"metric", metric[k].words}, {"us", us[k].words}}}});
    return all;
}

Json conditions_json(const MeasuredResults& r) {
    const auto& study = r.measured.study;
    Json all = Json::array();
    for (const auto& c : conditions()) {
        const auto unit = find_kind(c.kind)->unit;
        const bool known = !study.reference.empty();
        all.push_back(
            {{"label", c.label},
             {"unit", unit_key(unit, c.quantity)},
             {"decimals", c.decimals},
             {"reference", known ? Json(condition_of(study.reference[base_index(study)], c)) : Json(nullptr)}});
    }
    return all;
}

Json channels_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (const auto& c : compared_channels()) {
        bool any = false;
        for (const auto& p : r.measured.pulls) any = any || p.find(c.kind);
        if (!any) continue;
        Json channel = {{"key", c.kind}, {"label", c.label}, {"fitted", c.fitted}};
        channel.update(units_of(find_kind(c.kind)->unit, c.quantity, c.decimals));
        all.push_back(channel);
    }
    return all;
}

Json pulls_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (std::size_t p = 0; p < r.measured.pulls.size(); ++p) {
        const auto& pull = r.measured.pulls[p];
        Json overlays = Json::array();
        for (const auto& x : r.fit.residuals[p])
            overlays.push_back({{"channel", x.measured->what->kind},
                                {"speed", x.measured->speed},
                                {"measured", x.measured->value},
                                {"computed", x.computed},
                                {"rms", x.rms},
                                {"worst", x.worst},
                                {"worst_speed", x.worst_speed},
                                {"lag_correlation", x.lag_correlation}});
        const auto lines = pull.lines();
        all.push_back({{"name", pull.name},
                       {"title", pull.title},
                       {"variant", pull.of},
                       {"log", pull.log.path.string()},
                       {"lines", fmt::format("lines {} to {}", lines.first, lines.last)},
                       {"conditions", pull.conditions},
                       {"remarks", words([&](UnitSystem) { return pull.readings->remarks; })},
                       {"overlays", overlays}});
    }
    return all;
}

Json figure_json(const MatchedFigure& m) {
    const auto& f = *m.figure;
    Json out = {{"key", f.key}, {"label", figure_name(f)}};
    out.update(units_of(f.unit, f.quantity, f.decimals));
    out.update({{"from", m.from},
                {"to", m.to},
                {"low", m.change() - m.half_width},
                {"high", m.change() + m.half_width},
                {"verdict", in_words(m.verdict)},
                {"no_worse", nullptr},
                {"words", in_systems([&](UnitSystem s) { return figure_in_words(m, s); })}});
    if (m.no_worse.limit > 0)
        out["no_worse"] = {{"limit", m.no_worse.limit},
                           {"worse", in_words(worse_way(f) > 0 ? Verdict::rises : Verdict::falls)},
                           {"shown", m.no_worse.shown}};
    return out;
}

Json comparisons_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (const auto& c : r.comparisons) {
        Json figures = Json::array();
        for (const auto& m : c.figures) figures.push_back(figure_json(m));
        all.push_back({{"from", named(r.measured.study.variants[c.from])},
                       {"to", named(r.measured.study.variants[c.to])},
                       {"question", in_words(c.question)},
                       {"words", words([&](UnitSystem s) { return comparison_in_words(r, c, s); })},
                       {"figures", figures}});
    }
    return all;
}

Json parameters_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (std::size_t k = 0; k < r.fit.unknowns.size(); ++k) {
        const auto& u = r.fit.unknowns[k];
        const auto& e = r.fit.result.solution.estimates[k];
        const auto& prior = u.parameter.prior;
        Json parameter = {{"title", u.choice->title}, {"of", u.of}};
        parameter.update(units_of(u.choice->unit, u.choice->quantity, u.choice->decimals()));
        parameter.update(
            {{"value", e.value},
             {"deviation", e.deviation},
             {"expected", prior ? Json{{"value", prior->mean}, {"deviation", prior->deviation}} : Json(nullptr)},
             {"at_bound", e.at_bound}});
        all.push_back(parameter);
    }
    return all;
}

Json correlations_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (std::size_t a = 0; a < r.fit.unknowns.size(); ++a) {
        Json row = Json::array();
        for (std::size_t b = 0; b < r.fit.unknowns.size(); ++b) row.push_back(r.fit.result.solution.correlation(a, b));
        all.push_back(row);
    }
    return all;
}

Json explanations_json(const MeasuredResults& r) {
    if (!r.explained) return Json::array();
    const auto& e = *r.explained;
    const Explained explained{r.measured.study, e.from, e.to, e.explanation};
    auto page = explained_json(explained);
    return Json::array({{{"from", named(e.from)},
                         {"to", named(e.to)},
                         {"pulls", e.explanation.pulls},
                         {"causes", page["causes"]},
                         {"figures", page["figures"]},
                         {"words", words([&](UnitSystem s) { return measured_in_words(e, s); })}}});
}

Json page_json(const MeasuredResults& r, UnitSystem shown_first) {
    const auto& study = r.measured.study;
    Json page = page_head("matched", study, shown_first);
    page.update(Json{
        {"speed_unit", unit_key("rad/s", "speed")},
        {"headline", in_systems([&](UnitSystem s) { return headline(r, s); })},
        {"checklist", checklist_json(r)},
        {"conditions", conditions_json(r)},
        {"channels", channels_json(r)},
        {"pulls", pulls_json(r)},
        {"comparisons", comparisons_json(r)},
        {"parameters", parameters_json(r)},
        {"correlations", correlations_json(r)},
        {"fit_words", words([&](UnitSystem s) { return fit_in_words(r, s); })},
        {"explanations", explanations_json(r)},
        {"how_to_read", words([&](UnitSystem) { return how_to_read_matches(); })},
        {"cautions", cautions()},
    });
    Json units = Json::object();
    add_units(page, units);
    page["units"] = std::move(units);
    return page;
}

}  // namespace

std::string matched_html(const MeasuredResults& r, UnitSystem shown_first) {
    return page_html(page_json(r, shown_first), title_of(r.measured.study), measured_text(r, shown_first, text_width));
}

}  // namespace pullcast

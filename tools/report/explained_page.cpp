#include "explained_page.hpp"

#include "in_systems.hpp"
#include "page.hpp"
#include "page_parts.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t text_width = 100;

Json named(const Variant& v) { return {{"name", v.name}, {"title", v.title}}; }

Json figure_json(const Explained& e, std::size_t k) {
    const auto& f = e.explanation.figures[k];
    const auto& figure = *f.figure;
    Json shares = Json::array();
    for (const auto& s : f.shares) shares.push_back({{"share", s.value}, {"alone", s.first}, {"last", s.last}});
    return {{"key", figure.key},
            {"label", figure_name(figure)},
            {"unit", unit_key(figure.unit, figure.quantity)},
            {"difference", difference_key(figure.unit, figure.quantity)},
            {"decimals", figure.decimals},
            {"from", f.from},
            {"to", f.to},
            {"shares", shares},
            {"words", in_systems([&](UnitSystem s) { return figure_in_words(e, k, s); })}};
}

Json page_json(const Explained& e, UnitSystem shown_first) {
    auto explained = explained_json(e);
    Json units = Json::object();
    Json page = page_head("explained", e.study, shown_first);
    page.update(Json{
        {"from", named(e.from)},
        {"to", named(e.to)},
        {"pulls", e.explanation.pulls},
        {"causes", std::move(explained["causes"])},
        {"figures", std::move(explained["figures"])},
        {"not_there", in_systems([&](UnitSystem) { return not_there_in_words(e); })},
        {"how_to_read", how_to_read()},
        {"cautions", cautions()},
    });
    add_units(page, units);
    page["units"] = std::move(units);
    return page;
}

}  // namespace

Json explained_json(const Explained& e) {
    Json causes = Json::array(), figures = Json::array();
    for (const auto& c : e.explanation.causes)
        causes.push_back({{"title", c.title},
                          {"changes", in_systems([&](UnitSystem s) { return change_in_words(c, e.from, e.to, s); })}});
    for (std::size_t k = 0; k < e.explanation.figures.size(); ++k) figures.push_back(figure_json(e, k));
    return {{"causes", causes}, {"figures", figures}};
}

std::string explained_html(const Explained& e, UnitSystem shown_first) {
    return page_html(page_json(e, shown_first), title_of(e.study), explanation_text(e, shown_first, text_width));
}

}  // namespace pullcast

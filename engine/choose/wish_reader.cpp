#include "wish_reader.hpp"

#include <fmt/format.h>

#include <pullcast/scenario/units.hpp>
#include <pullcast/study/explain_words.hpp>

namespace pullcast::choose {
namespace {

constexpr std::string_view price = "price";

}  // namespace

void WishReader::read(const Entry& e) {
    const auto where = fmt::format("[wish.{}]", e.key);
    if (!e.value.table())
        return void(d_.error(e.value.place, fmt::format("wish '{}' must be a table, not {}", e.key, kind_of(e.value)),
                             "write " + where));
    Keys keys(e.value, where, d_);
    Wish w;
    w.name = e.key, w.place = e.place;
    const auto* figure = keys.required_text("figure", "key of a figure, or \"price\"");
    const auto title = keys.text_or("title");
    const auto *least = keys.find("at_least"), *most = keys.find("at_most"), *pull = keys.find("pull");
    const auto *confidence = keys.find("confidence"), *prefer = keys.text("prefer"), *on = keys.table("on");
    keys.finish();
    if (!figure) return;
    const bool is_price = *figure->value.text() == price;
    const auto* f = is_price ? nullptr : figure_named(figure->value, true);
    if (!f && !is_price) return;
    w.title = !title.empty() ? title : is_price ? std::string(price) : figure_name(*f);
    const auto number = pull ? whole(*pull, where, 1, most_levels) : std::nullopt;
    if (f) w.column = column_of(f, number.value_or(0));
    for (const auto* other : {pull, confidence, on})
        if (is_price && other)
            d_.error(other->place, fmt::format("{} in {}: a price is the same whatever is met", other->key, where));
    const auto limit = [&](const Entry& l) {
        return is_price ? price_limit(l, where, w) : quantity(l.value, f->unit, l.key, where);
    };
    if (least) w.at_least = limit(*least);
    if (most) w.at_most = limit(*most);
    if (confidence) w.confidence = read_confidence(*confidence, where);
    if (prefer) read_preference(*prefer, where, w);
    if (on && !is_price) read_on(*on, where, w);
    if (!least && !most && !prefer)
        d_.error(e.place, fmt::format("{} wishes nothing", where), "at_least, at_most or prefer");
    if (least && most)
        d_.error(most->place, fmt::format("{} has both at_least and at_most", where), "write two wishes");
    read_.wishes.push_back(std::move(w));
}

/// An amount, with the currency of the parts or without.
std::optional<double> WishReader::price_limit(const Entry& e, const std::string& where, Wish& w) {
    for (const char* currency : {"EUR", "USD", "GBP"})
        if (const auto* text = e.value.text())
            if (const auto v = parse_quantity(*text, currency); std::holds_alternative<double>(v)) {
                w.currency = currency;
                return std::get<double>(v);
            }
    if (const auto n = number(e.value)) return n;
    d_.error(e.value.place, fmt::format("{} = {} in {} is no price", e.key, to_text(e.value), where), "\"900 EUR\"");
    return {};
}

std::optional<double> WishReader::read_confidence(const Entry& e, const std::string& where) {
    const auto v = quantity(e.value, "1", e.key, where);
    if (v && *v > 0 && *v <= 1) return v;
    if (v)
        d_.error(e.value.place,
                 fmt::format("confidence = {} in {} must be above 0 and at most 100 %", to_text(e.value), where));
    return {};
}

void WishReader::read_preference(const Entry& e, const std::string& where, Wish& w) {
    const auto& word = *e.value.text();
    if (word == "more" || word == "less") w.prefer = word == "more" ? Better::more : Better::less;
    else
        d_.error(e.value.place, fmt::format("prefer = {} in {} is none", to_text(e.value), where),
                 "\"more\" or \"less\"");
}

void WishReader::read_on(const Entry& table, const std::string& where, Wish& w) {
    for (const auto& e : *table.value.table()) {
        std::vector<std::string> names;
        std::size_t axis = 0;
        for (const auto& a : read_.meet)
            if (!a.is_range()) names.push_back(a.knob->name);
        while (axis < read_.meet.size() && (read_.meet[axis].is_range() || read_.meet[axis].knob->name != e.key))
            ++axis;
        if (axis == read_.meet.size()) {
            d_.error(e.place, fmt::format("on in {}: no choices '{}' are met", where, e.key), suggestion(e.key, names));
            continue;
        }
        const auto* list = e.value.as<std::vector<Value>>();
        if (list && list->empty())
            d_.error(e.value.place, fmt::format("on in {}: no choice of '{}' is named", where, e.key));
        for (std::size_t k = 0; k < (list ? list->size() : 1); ++k)
            if (const auto c = choice_of(*read_.meet[axis].knob, list ? (*list)[k] : e.value, where))
                w.on[axis].push_back(*c);
    }
}

std::optional<double> WishReader::choice_of(const Knob& knob, const Value& v, const std::string& where) {
    std::vector<std::string> names;
    for (std::size_t k = 0; k < knob.choices.size(); ++k) {
        names.push_back(knob.choices[k].value);
        if (v.text() && *v.text() == names.back()) return static_cast<double>(k);
    }
    d_.error(v.place, fmt::format("on in {}: {} is no choice of the knob '{}'", where, to_text(v), knob.name),
             suggestion(v.text() ? *v.text() : "", names));
    return {};
}

}  // namespace pullcast::choose

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/chosen.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast::choose {
namespace {

std::string percent(double share) { return fmt::format("{:.0f} %", 100 * share); }

std::string plural(std::size_t n, const char* one, const char* many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}

/// "pulley, charge cooler and coolant pump".
std::string listed(const std::vector<std::string>& words) {
    if (words.size() < 2) return words.empty() ? "" : words[0];
    return fmt::format("{} and {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

std::vector<std::string> titles_of(const std::vector<Axis>& axes) {
    std::vector<std::string> all;
    for (const auto& a : axes) all.push_back(a.knob->title);
    return all;
}

const Figure& figure_of(const Chosen& c, const Wish& w) { return *c.choices.columns[*w.column].figure; }

std::string where_met(const Chosen& c, const Wish& w) {
    std::vector<std::string> all;
    for (const auto& [axis, choices] : w.on)
        for (const double k : choices)
            all.push_back(c.choices.meet[axis].knob->choices[static_cast<std::size_t>(k)].label);
    return all.empty() ? "" : " (" + listed(all) + ")";
}

std::string refused_text(const Chosen& c, std::size_t w) {
    const auto& r = c.ranking;
    if (r.refused[w] == 0) return "";
    auto text = fmt::format("; keeps out {} of {}", r.refused[w], c.plan.combinations.size() - 1);
    if (r.refused_alone[w]) text += fmt::format(", {} of them alone", r.refused_alone[w]);
    return text;
}

std::string cell(const Chosen& c, const Standing& s, std::size_t w, UnitSystem system) {
    const auto& wish = c.choices.wishes[w];
    if (s.failed) return "-";
    const auto& g = s.wishes[w];
    const bool only_limited = (wish.at_least || wish.at_most) && !wish.prefer;
    return number_text(c, wish, only_limited || wish.confidence ? g.sure : g.mean, system);
}

std::string shortlist_table(const Chosen& c, UnitSystem system, std::size_t width) {
    std::vector<std::string> heads{"as it stands"};
    for (std::size_t k = 0; k < c.ranking.shortlist.size(); ++k) heads.push_back(fmt::format("choice {}", k + 1));
    std::vector<std::size_t> columns{0};
    columns.insert(columns.end(), c.ranking.shortlist.begin(), c.ranking.shortlist.end());
    std::vector<TableRow> rows;
    for (std::size_t a = 0; a < c.choices.buy.size(); ++a) {
        auto& row = rows.emplace_back(TableRow{c.choices.buy[a].knob->title, "", {}});
        for (const auto k : columns) {
            const auto& values = c.plan.combinations[k].values;
            row.cells.push_back(values.empty() ? "" : value_text(c.choices.buy[a], values[a], system));
        }
    }
    auto& price = rows.emplace_back(TableRow{"price", "", {}});
    for (const auto k : columns) price.cells.push_back(price_text(c, c.plan.combinations[k].price));
    for (std::size_t w = 0; w < c.choices.wishes.size(); ++w) {
        if (!c.choices.wishes[w].column) continue;
        auto& row = rows.emplace_back(TableRow{c.choices.wishes[w].title, "", {}});
        for (const auto k : columns) row.cells.push_back(cell(c, c.ranking.standings[k], w, system));
    }
    return table(heads, rows, width);
}

std::string sensitivity_text(const Chosen& c, UnitSystem, std::size_t width) {
    const auto& s = c.sensitivity;
    if (!s.left_out.empty()) return wrapped("Not computed: " + s.left_out + ".", width);
    std::vector<std::string> heads;
    std::vector<TableRow> rows;
    for (const auto& a : c.choices.meet) rows.push_back({a.knob->title, "%", {}});
    for (std::size_t k = 0; k < s.shares.size(); ++k) {
        if (s.shares[k].empty()) continue;
        heads.push_back(c.choices.columns[k].figure->label);
        for (std::size_t a = 0; a < rows.size(); ++a) {
            const auto& t = s.shares[k][a].total;
            rows[a].cells.push_back(fmt::format("{:.0f} ({:.0f} to {:.0f})", 100 * t.value, 100 * t.low, 100 * t.high));
        }
    }
    return table(heads, rows, width);
}

}  // namespace

std::string value_text(const Axis& axis, double value, UnitSystem system) {
    if (!axis.is_range()) return axis.knob->choices[static_cast<std::size_t>(value)].label;
    if (axis.knob->whole) return fmt::format("{}", std::llround(value));
    return show(value, axis.knob->unit.c_str(), axis.knob->quantity.c_str(), 1, system);
}

std::string headline(const Chosen& c) {
    const auto n = c.plan.combinations.size() - 1, m = c.plan.conditions.size();
    auto text = fmt::format("{} of {}", plural(n, "combination", "combinations"), listed(titles_of(c.choices.buy)));
    if (!c.choices.meet.empty())
        text +=
            fmt::format(", each under {} of {}", m == 1 ? "one condition" : fmt::format("the same {} conditions", m),
                        listed(titles_of(c.choices.meet)));
    return text +
           fmt::format(": {} with the car as it stands.", plural(c.plan.runs(), c.choices.pulls ? "session" : "pull",
                                                                 c.choices.pulls ? "sessions" : "pulls"));
}

std::string number_text(const Chosen& c, const Wish& w, double value, UnitSystem system) {
    if (!w.column) return price_text(c, value);
    const auto& f = figure_of(c, w);
    return show(value, f.unit, f.quantity, f.decimals, system);
}

std::string difference_text(const Chosen& c, const Wish& w, double value, UnitSystem system) {
    if (!w.column) return number_text(c, w, value, system);
    const auto& f = figure_of(c, w);
    return show(value, std::string_view(f.unit) == "K" ? "dK" : f.unit, f.quantity, f.decimals, system);
}

std::string wish_text(const Chosen& c, const Wish& w, UnitSystem system) {
    std::string text;
    if (w.at_least) text = "at least " + number_text(c, w, *w.at_least, system);
    if (w.at_most) text = "at most " + number_text(c, w, *w.at_most, system);
    if (w.prefer)
        text +=
            fmt::format("{}the {} the better", text.empty() ? "" : ", ", *w.prefer == Better::more ? "more" : "less");
    if (!w.column) return text;
    if (const auto pull = c.choices.columns[*w.column].pull) text += fmt::format(", in pull {}", pull);
    if (w.confidence) text += fmt::format(", in {} of what is met", percent(*w.confidence));
    else if (w.at_least || w.at_most) text += ", whatever is met";
    else text += ", on average";
    return text + where_met(c, w);
}

std::string money_text(const Chosen& c, const MoneyStep& s, UnitSystem system) {
    const auto& w = c.choices.wishes[c.ranking.lead];
    const auto size = [&](double v) { return difference_text(c, w, v, system); };
    return fmt::format("{} more: {} {} by {} ({} to {}; better in {} of what is met)", price_text(c, s.price), w.title,
                       *w.prefer == Better::more ? "rises" : "falls", size(s.gain), size(s.lowest), size(s.highest),
                       percent(s.better));
}

std::vector<std::string> findings(const Chosen& c, UnitSystem system) {
    const auto& r = c.ranking;
    const auto all = c.plan.combinations.size() - 1;
    std::vector<std::string> out;
    const auto front = r.front.size() - static_cast<std::size_t>(std::count(r.front.begin(), r.front.end(), 0));
    if (r.eligible == 0) out.push_back(fmt::format("None of {} grants every wish.", all));
    else
        out.push_back(
            fmt::format("{} of {} grant every wish; {} of them {} beaten by no other in everything that is preferred.",
                        r.eligible, all, front, front == 1 ? "is" : "are"));
    if (!r.shortlist.empty()) {
        const auto& lead = c.choices.wishes[r.lead];
        const auto best = r.shortlist[0];
        out.push_back(fmt::format("Foremost by {}: {}, {} ({} as it stands) for {}.", lead.title,
                                  name_of(c, best, system), cell(c, r.standings[best], r.lead, system),
                                  cell(c, r.standings[0], r.lead, system),
                                  price_text(c, c.plan.combinations[best].price)));
    }
    if (r.failed) {
        const auto& first =
            *std::find_if(r.standings.begin(), r.standings.end(), [](const Standing& s) { return s.failed; });
        out.push_back(fmt::format("{} could not be run in every condition and {} left out; the first: {}: {}",
                                  plural(r.failed, "combination", "combinations"), r.failed == 1 ? "is" : "are",
                                  name_of(c, first.combination, system), first.failure));
    }
    return out;
}

std::string chosen_text(const Chosen& c, UnitSystem system, std::size_t width) {
    std::string out = wrapped(title_of(*c.study), width, "", "");
    if (!c.study->question.empty()) out += wrapped(c.study->question, width);
    out += "\n" + wrapped(answer(c, system), width, "", "") + wrapped(headline(c), width, "", "") + "\nWishes\n";
    for (std::size_t w = 0; w < c.choices.wishes.size(); ++w)
        out += wrapped(fmt::format("{}: {}{}", c.choices.wishes[w].title, wish_text(c, c.choices.wishes[w], system),
                                   refused_text(c, w)),
                       width);
    out += "\nFindings\n";
    for (const auto& line : findings(c, system)) out += wrapped(line, width);
    if (!c.ranking.shortlist.empty()) out += "\nShortlist\n" + shortlist_table(c, system, width);
    if (!c.ranking.money.empty()) {
        out += "\nWhat more money buys\n";
        out += wrapped(fmt::format("from {}", name_of(c, c.ranking.money[0].from, system)), width);
        for (const auto& s : c.ranking.money)
            out += wrapped(fmt::format("{}: {}", name_of(c, s.to, system), money_text(c, s, system)), width);
    }
    if (!c.ranking.shortlist.empty()) {
        out +=
            "\nWhich of what is met matters for choice 1: share of the variance that would remain without the others "
            "(in "
            "brackets: 90 % of resamplings)\n";
        out += sensitivity_text(c, system, width);
    }
    out += "\n";
    for (const auto& line : cautions()) out += wrapped(line, width);
    return out;
}

}  // namespace pullcast::choose

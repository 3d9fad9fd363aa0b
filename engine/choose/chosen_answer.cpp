#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <limits>
#include <pullcast/choose/chosen.hpp>
#include <pullcast/study/explain_words.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast::choose {
namespace {

std::string joined(const std::vector<std::string>& words) {
    std::vector<std::string> said;
    std::copy_if(words.begin(), words.end(), std::back_inserter(said), [](const auto& w) { return !w.empty(); });
    return fmt::format("{}", fmt::join(said, " + "));
}

const char* moves(const Wish& lead) { return *lead.prefer == Better::more ? "rises" : "falls"; }

double lead_of(const Chosen& c, std::size_t combination) {
    const auto& wish = c.choices.wishes[c.ranking.lead];
    return c.ranking.standings[combination].wishes[c.ranking.lead].compared(wish);
}

/// "80 mm pulley for 104 EUR: peak power 301.2 kW".
std::string bought_for(const Chosen& c, std::size_t combination, UnitSystem system) {
    const auto& lead = c.choices.wishes[c.ranking.lead];
    return fmt::format("{} for {}: {} {}", name_of(c, combination, system),
                       price_text(c, c.plan.combinations[combination].price), lead.title,
                       number_text(c, lead, lead_of(c, combination), system));
}

std::string as_it_stands(const Chosen& c, UnitSystem system) {
    if (c.ranking.standings[0].failed) return "";
    const auto& lead = c.choices.wishes[c.ranking.lead];
    return fmt::format(" ({} as it stands)", number_text(c, lead, lead_of(c, 0), system));
}

/// "For 93 EUR more: 83 mm pulley + deep core: peak power rises by 2.3 kW to 264.3 kW".
std::string step_text(const Chosen& c, const MoneyStep& s, UnitSystem system) {
    const auto& lead = c.choices.wishes[c.ranking.lead];
    auto text = fmt::format("For {} more: {}: {} {} by {} to {}", price_text(c, s.price), name_of(c, s.to, system),
                            lead.title, moves(lead), difference_text(c, lead, s.gain, system),
                            number_text(c, lead, lead_of(c, s.to), system));
    if (s.better < 1 - 1e-9)
        text += fmt::format(" on average, but better only in {:.0f} % of what is met", 100 * s.better);
    return text + ".";
}

std::string none_eligible(const Chosen& c, UnitSystem system) {
    const auto& r = c.ranking;
    std::size_t worst = 0;
    for (std::size_t w = 0; w < r.refused.size(); ++w)
        if (r.refused[w] > r.refused[worst]) worst = w;
    auto text =
        fmt::format("Buy nothing yet: none of {} combinations grants every wish.", c.plan.combinations.size() - 1);
    const auto& wish = c.choices.wishes[worst];
    if (r.refused[worst])
        text +=
            fmt::format(" Most are kept out by {} ({}): {}.", wish.title, wish_text(c, wish, system), r.refused[worst]);
    return text;
}

/// Lowest and highest of a column for a combination over the conditions; nothing where it is not known everywhere.
std::optional<std::pair<double, double>> range_of(const Chosen& c, std::size_t combination, std::size_t column) {
    const auto n = c.plan.conditions.size();
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (std::size_t k = 0; k < n; ++k) {
        const auto& values = c.runs.at(combination * n + k).values;
        if (values.empty() || std::isnan(values[column])) return {};
        low = std::min(low, values[column]), high = std::max(high, values[column]);
    }
    return std::pair(low, high);
}

std::string shares_text(const Chosen& c, const std::vector<Sensitivity>& shares) {
    std::vector<std::size_t> order(shares.size());
    for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return shares[a].total.value > shares[b].total.value; });
    const auto& first = shares[order[0]].total;
    if (!(first.value > 0)) return "the same whatever is met";
    const auto title = [&](std::size_t k) { return c.choices.meet[order[k]].knob->title; };
    const auto percent = [&](std::size_t k) {
        return fmt::format("{:.0f} %", 100 * std::min(1.0, shares[order[k]].total.value));
    };
    const auto& second = shares[order[1]].total;
    constexpr double wide = 0.6, above_all = 1.1;  // an estimate this uncertain gives an order at best
    if (first.high - first.low > wide || first.value > above_all)
        return second.high < first.low
                   ? fmt::format("{} matters most; these runs are too few to tell how much", title(0))
                   : std::string("these runs are too few to tell what matters most");
    if (second.value < 0.05)  // of the variance
        return fmt::format("{} matters most: {} of the variance comes with it; hardly anything else matters", title(0),
                           percent(0));
    if (second.high >= first.low)
        return fmt::format("{} ({}) and {} ({}) matter most; these runs do not tell which of them more", title(0),
                           percent(0), title(1), percent(1));
    return fmt::format(
        "{} matters most: {} of the variance comes with it, alone or together with others; next is {} ({})", title(0),
        percent(0), title(1), percent(1));
}

}  // namespace

std::string price_text(const Chosen& c, double price) {
    if (std::isnan(price)) return "a price that is not known";
    return c.plan.currency.empty() ? "no money" : show_price({price, c.plan.currency});
}

double value_of(const Chosen& c, std::size_t combination, std::size_t axis) {
    const auto& values = c.plan.combinations[combination].values;
    return values.empty() ? start_of(c.choices.buy[axis], c.study->base) : values[axis];
}

std::string part_text(const Chosen& c, const Axis& axis, double value, UnitSystem system) {
    auto text = value_text(axis, value, system);
    const auto open = text.rfind(" (");
    if (!axis.is_range() && !c.plan.currency.empty() && open != text.npos && text.ends_with(c.plan.currency + ")"))
        text.erase(open);
    return text;
}

std::vector<std::string> instead_of(const Chosen& c, std::size_t combination, std::size_t other, UnitSystem system) {
    std::vector<std::string> all;
    for (std::size_t a = 0; a < c.choices.buy.size(); ++a) {
        const double value = value_of(c, combination, a);
        all.push_back(
            value == value_of(c, other, a) || std::isnan(value) ? "" : part_text(c, c.choices.buy[a], value, system));
    }
    return all;
}

std::string name_of(const Chosen& c, std::size_t combination, UnitSystem system) {
    const auto text = joined(instead_of(c, combination, 0, system));
    return text.empty() ? "as it stands" : text;
}

std::string met_text(const Axis& axis, UnitSystem system) {
    if (!axis.is_range()) {
        const bool alike = std::all_of(axis.shares.begin(), axis.shares.end(),
                                       [&](double s) { return std::fabs(s - axis.shares[0]) < 1e-12; });
        if (alike) return fmt::format("one of {}, each as often", axis.levels());
        std::vector<std::string> all;
        for (std::size_t k = 0; k < axis.levels(); ++k)
            all.push_back(fmt::format("{} in {:.0f} %", axis.knob->choices[k].label, 100 * axis.shares[k]));
        return fmt::format("{}", fmt::join(all, ", "));
    }
    const auto number = [&](double v) { return value_text(axis, v, system); };
    if (!axis.normal)
        return fmt::format("anything from {} to {}, alike", number(axis.knob->from), number(axis.knob->to));
    const auto& unit = axis.knob->unit;
    return fmt::format(
        "about {}, standard deviation {}, between {} and {}", number(axis.normal->mean),
        show(axis.normal->deviation, unit == "K" ? "dK" : unit.c_str(), axis.knob->quantity.c_str(), 1, system),
        number(axis.knob->from), number(axis.knob->to));
}

std::string answer(const Chosen& c, UnitSystem system) {
    const auto& r = c.ranking;
    if (r.eligible == 0 && !r.standings[0].eligible) return none_eligible(c, system);
    if (r.furthest.empty()) {
        const auto best = r.shortlist.empty() ? 0 : r.shortlist[0];
        if (best == 0) return "Nothing that can be bought brings more than the car as it stands.";
        return bought_for(c, best, system) + as_it_stands(c, system) + ". No dearer combination brings more.";
    }
    const auto& first = r.furthest[0];
    auto text = "Most for the money: " + bought_for(c, first.to, system) + as_it_stands(c, system) + ". ";
    text += r.furthest.size() > 1 ? step_text(c, r.furthest[1], system) : "Nothing dearer brings more.";
    if (first.from != 0) text += " The least that grants every wish: " + bought_for(c, first.from, system) + ".";
    return text;
}

std::vector<std::string> sensitivity_words(const Chosen& c, UnitSystem system) {
    const auto& s = c.sensitivity;
    if (!s.left_out.empty()) return {"Not computed: " + s.left_out + "."};
    std::vector<std::string> out;
    for (std::size_t k = 0; k < s.shares.size(); ++k) {
        const auto& column = c.choices.columns[k];
        const auto& f = *column.figure;
        auto name = figure_name(f) + (column.pull ? fmt::format(", pull {}", column.pull) : "");
        if (s.shares[k].empty()) {
            out.push_back(name + ": not there in every run.");
            continue;
        }
        name[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(name[0])));
        auto text = fmt::format("{}: {}.", name, shares_text(c, s.shares[k]));
        const auto number = [&](double v) { return show(v, f.unit, f.quantity, f.decimals, system); };
        if (const auto range = range_of(c, s.combination, k))
            text += fmt::format(" Under the conditions of the comparison it is {} to {}.", number(range->first),
                                number(range->second));
        out.push_back(text);
    }
    return out;
}

std::vector<std::string> how_to_read_shares() {
    return {
        "Total: the share of the variance that this causes, alone and together with others; it is what would remain if "
        "all others were known.",
        "First: the share that would go if this alone were known. A total far above it acts together with others.",
        "Totals may add up to more than 100 %, and a first share near 0 may come out a little below.",
        "Whiskers: where nine tenths of 999 resamplings of the runs fall. The runs are spread more evenly than chance "
        "would, so whiskers are rather wide; where two overlap, do not say which is the larger."};
}

std::vector<std::string> how_to_read_choices(const Chosen& c) {
    std::vector<std::string> out{
        "All combinations meet the same conditions, so that they differ by their parts alone; a difference between two "
        "is surer than either number.",
        "Mean: over what is met, weighed by how often. Sure: what holds with the wish's confidence; without one, the "
        "worst of all that is met."};
    const auto n = c.plan.conditions.size();
    if (n > 1 && n < 30)
        out.push_back(
            fmt::format("{} conditions stand for all that is met, so that a share of it moves in steps of some "
                        "{:.0f} %; for more of them: \"met\" in [choose].",
                        n, 100.0 / static_cast<double>(n)));
    out.push_back(
        "A price is what the parts cost that the car does not have yet; work, fluids and small parts are left out.");
    return out;
}

}  // namespace pullcast::choose

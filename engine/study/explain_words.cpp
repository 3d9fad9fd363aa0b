#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <nlohmann/json.hpp>
#include <pullcast/study/explain_words.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

/// Differences of a figure as texts.
class Differences {
public:
    Differences(const Figure& f, UnitSystem system)
        : figure_(f), unit_(std::string_view(f.unit) == "K" ? "dK" : f.unit), system_(system) {}

    std::string number(double si) const { return show_number(si, unit_, figure_.quantity, figure_.decimals, system_); }
    std::string size(double si) const { return number(std::fabs(si)); }
    std::string signed_number(double si) const { return shows(si) ? (si > 0 ? "+" : "") + number(si) : size(0); }
    std::string with_unit(double si) const {
        return show(std::fabs(si), unit_, figure_.quantity, figure_.decimals, system_);
    }
    /// It is more than rounding hides.
    bool shows(double si) const { return size(si) != size(0); }

private:
    const Figure& figure_;
    const char* unit_;
    UnitSystem system_;
};

/// Indices of the causes, those with the largest share first.
std::vector<std::size_t> by_size(const ExplainedFigure& f) {
    std::vector<std::size_t> order(f.shares.size());
    for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return std::fabs(f.shares[a].value) > std::fabs(f.shares[b].value);
    });
    return order;
}

/// "core takes 5.1, humidity 0.4 and pulley 0.2": of the causes whose share has that sign; "" if none shows.
std::string those_that(const char* verb, bool rise, const ExplainedFigure& f, const std::vector<Cause>& causes,
                       const Differences& d) {
    std::vector<std::string> all;
    for (const auto k : by_size(f)) {
        const double share = f.shares[k].value;
        if (!d.shows(share) || (share > 0) != rise) continue;
        all.push_back(
            fmt::format("{}{} {}", causes[k].title, all.empty() ? std::string(" ") + verb : "", d.size(share)));
    }
    return listed(all);
}

std::string sentence(const ExplainedFigure& f, const std::vector<Cause>& causes, UnitSystem system) {
    const Differences d(*f.figure, system);
    const double total = f.to - f.from;
    const bool moves = d.shows(total), rises = moves && total > 0;
    auto name = figure_name(*f.figure);
    name[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(name[0])));
    auto text = name + (moves ? fmt::format(": {} by {}", rises ? "up" : "down", d.with_unit(total)) : ": unchanged");
    const auto up = those_that(rises || !moves ? "adds" : "gives back", true, f, causes, d);
    const auto down = those_that(rises ? "takes off" : "takes", false, f, causes, d);
    const auto &first = rises ? up : down, &second = rises ? down : up;
    for (const auto* part : {&first, &second})
        if (!part->empty()) text += "; " + *part;
    return text + ".";
}

/// Where the first and the last step of one cause are far apart, the causes do not simply add.
std::string interaction(const ExplainedFigure& f, const std::vector<Cause>& causes, UnitSystem system) {
    constexpr double much = 0.15;  // of what all causes move
    const Differences d(*f.figure, system);
    double moved = 0, widest = 0;
    std::size_t which = 0;
    for (std::size_t k = 0; k < f.shares.size(); ++k) {
        const double apart = std::fabs(f.shares[k].last - f.shares[k].first);
        moved += std::fabs(f.shares[k].value);
        if (apart > widest) widest = apart, which = k;
    }
    if (widest <= much * moved || !d.shows(widest)) return "";
    const auto& s = f.shares[which];
    return fmt::format(" What {} does depends on the others: {} alone, {} as the last step.", causes[which].title,
                       d.signed_number(s.first), d.signed_number(s.last));
}

TableRow value_row(const Figure& f, const std::string& label, double si, UnitSystem system) {
    const auto unit = display_unit(f.unit, system, f.quantity).unit;
    return {"  " + label, unit == "1" ? "" : unit, {show_number(si, f.unit, f.quantity, f.decimals, system), "", ""}};
}

Json figure_json(const Explained& e, std::size_t figure) {
    const auto& f = e.explanation.figures[figure];
    Json shares = Json::array();
    double sum = 0;
    for (std::size_t k = 0; k < f.shares.size(); ++k) {
        const auto& s = f.shares[k];
        sum += s.value;
        shares.push_back(
            {{"cause", e.explanation.causes[k].title}, {"share", s.value}, {"alone", s.first}, {"last", s.last}});
    }
    const char* difference = std::string_view(f.figure->unit) == "K" ? "dK" : f.figure->unit;
    return {{"key", f.figure->key},    {"label", figure_name(*f.figure)},
            {"unit", f.figure->unit},  {"difference_unit", difference},
            {"from", f.from},          {"to", f.to},
            {"change", f.to - f.from}, {"rounding", f.to - f.from - sum},
            {"shares", shares},        {"in_words", figure_in_words(e, figure, UnitSystem::metric)}};
}

/// For each figure both values and what each cause has to do with the change.
std::string figures_table(const Explained& e, UnitSystem system, std::size_t width) {
    std::vector<TableRow> rows;
    for (const auto& f : e.explanation.figures) {
        const Differences d(*f.figure, system);
        rows.push_back({figure_name(*f.figure), "", {}});
        rows.push_back(value_row(*f.figure, e.from.name, f.from, system));
        for (std::size_t k = 0; k < f.shares.size(); ++k) {
            const auto& s = f.shares[k];
            rows.push_back({"    " + e.explanation.causes[k].title,
                            "",
                            {d.signed_number(s.value), d.signed_number(s.first), d.signed_number(s.last)}});
        }
        rows.push_back(value_row(*f.figure, e.to.name, f.to, system));
    }
    return rows.empty() ? "" : table({"share", "alone", "last"}, rows, width);
}

std::string named(const Variant& v) { return v.title == v.name ? v.name : fmt::format("{} ({})", v.name, v.title); }

}  // namespace

std::string figure_name(const Figure& figure) {
    const std::string label = figure.label;
    const auto start = label.find_first_not_of(' ');
    std::string group = figure.group;
    if (start == 0 && group != "Knock") return label;
    group[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(group[0])));
    return fmt::format("{} ({})", label.substr(start), group);
}

std::string figure_in_words(const Explained& e, std::size_t figure, UnitSystem system) {
    const auto& f = e.explanation.figures[figure];
    return sentence(f, e.explanation.causes, system) + interaction(f, e.explanation.causes, system);
}

std::vector<std::string> not_there_in_words(const Explained& e) {
    std::vector<std::string> out;
    for (const auto* f : e.explanation.not_there)
        out.push_back(fmt::format("{}: not every mixture of the two has this figure.", figure_name(*f)));
    return out;
}

std::string how_to_read() {
    return "share: the mean, over all orders in which the causes can come, of what this one changes (Shapley value); "
           "the "
           "shares add up to the whole change. alone: this cause and no other. last: this cause after all others.";
}

std::string explanation_text(const Explained& e, UnitSystem system, std::size_t width) {
    auto text = wrapped(title_of(e.study), width, "", "") +
                wrapped(fmt::format("from {} to {}", named(e.from), named(e.to)), width, "", "") + "\ncauses\n";
    for (const auto& c : e.explanation.causes)
        text +=
            wrapped(fmt::format("{}: {}", c.title, fmt::join(change_in_words(c, e.from, e.to, system), "; ")), width);
    text += "\n" + figures_table(e, system, width) + "\n" + wrapped(how_to_read(), width, "", "") + "\n";
    for (std::size_t k = 0; k < e.explanation.figures.size(); ++k)
        text += wrapped(figure_in_words(e, k, system), width, "", "  ");
    for (const auto& line : not_there_in_words(e)) text += wrapped(line, width, "", "  ");
    return text + "\n" + wrapped(cautions().front(), width, "", "");
}

std::string explanation_json(const Explained& e) {
    Json causes = Json::array(), figures = Json::array(), not_there = Json::array();
    for (const auto& c : e.explanation.causes)
        causes.push_back({{"title", c.title}, {"changes", change_in_words(c, e.from, e.to, UnitSystem::metric)}});
    for (std::size_t k = 0; k < e.explanation.figures.size(); ++k) figures.push_back(figure_json(e, k));
    for (const auto* f : e.explanation.not_there) not_there.push_back(f->key);
    const Json all = {{"schema", explanation_schema},
                      {"schema_version", explanation_schema_version},
                      {"program", {{"name", "pullcast"}, {"version", version}}},
                      {"study", {{"title", e.study.title}, {"file", e.study.file}, {"hash", e.study.hash}}},
                      {"from", {{"name", e.from.name}, {"title", e.from.title}}},
                      {"to", {{"name", e.to.name}, {"title", e.to.title}}},
                      {"pulls", e.explanation.pulls},
                      {"causes", causes},
                      {"figures", figures},
                      {"not_there", not_there},
                      {"how_to_read", how_to_read()},
                      {"cautions", cautions()}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace pullcast

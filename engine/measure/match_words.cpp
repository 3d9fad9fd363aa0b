#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <pullcast/measure/match_words.hpp>
#include <pullcast/study/text.hpp>

namespace pullcast::measure {
namespace {

const char* difference_unit(const Figure& f) { return std::string_view(f.unit) == "K" ? "dK" : f.unit; }

/// The size of a difference with its unit, and a difference with its sign and without.
std::string size(const Figure& f, double si, UnitSystem s) {
    return show(std::fabs(si), difference_unit(f), f.quantity, f.decimals, s);
}
std::string signed_number(const Figure& f, double si, UnitSystem s) {
    return (si > 0 ? "+" : "") + show_number(si, difference_unit(f), f.quantity, f.decimals, s);
}
std::string bounds(const MatchedFigure& m, UnitSystem s) {
    const double a = std::fabs(m.change()) - m.half_width, b = std::fabs(m.change()) + m.half_width;
    return fmt::format("{} to {}",
                       show_number(a, difference_unit(*m.figure), m.figure->quantity, m.figure->decimals, s),
                       show_number(b, difference_unit(*m.figure), m.figure->quantity, m.figure->decimals, s));
}

std::string sentence(std::string text) {
    text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    return text + ".";
}

const Variant& variant(const MeasuredResults& r, std::size_t k) { return r.measured.study.variants[k]; }

std::vector<std::string> names_of(const std::vector<MatchedFigure>& figures, Verdict verdict) {
    std::vector<std::string> all;
    for (const auto& m : figures)
        if (m.verdict == verdict) all.push_back(figure_name(*m.figure));
    return all;
}

std::string held_in_words(const MeasuredResults& r, const Comparison& c, UnitSystem s) {
    const auto& to = variant(r, c.to).title;
    switch (c.question) {
        case Question::same_pulley:
            return "same pulley, same air, same start: boost and temperature are what the part makes of them";
        case Question::same_manifold_pressure:
            return fmt::format("boost at redline is kept at {}; with {} that takes a blower pulley {:.1f} % {}",
                               show(c.held, "Pa", "boost", 1, s), to, 100 * std::fabs(1 - c.taken),
                               c.taken < 1 ? "smaller" : "larger");
        default:
            return fmt::format(
                "the smallest knock margin is kept at {}; with {} that allows {} of spark, which is a "
                "trend and no permission to add it",
                show(c.held, "rad", "spark", 1, s), to, (c.taken > 0 ? "+" : "") + show(c.taken, "rad", "spark", 1, s));
    }
}

/// Of a figure that nothing can be told of.
std::string open_in_words(const MatchedFigure& m, UnitSystem s) {
    auto text = fmt::format("{}: these pulls could have shown {}, and what they suggest is {}", figure_name(*m.figure),
                            size(*m.figure, m.half_width, s), size(*m.figure, m.change(), s));
    if (m.pulls_needed)
        return text + fmt::format("; if it is so, {} pulls of each variant would show it", *m.pulls_needed);
    const double stays = std::hypot(m.misfit, m.model), shrinks = std::hypot(m.fit, m.scatter);
    return text + (stays > shrinks ? "; more pulls would not show it: what the models disagree about stays"
                                   : "; no reasonable number of pulls like these would show it");
}

std::string help_in_words(const Comparison& c, UnitSystem) {
    const auto open = std::find_if(c.figures.begin(), c.figures.end(),
                                   [](const MatchedFigure& m) { return m.verdict == Verdict::cannot_tell; });
    const auto& m = open == c.figures.end() ? c.figures.front() : *open;
    if (c.missing.empty()) return "";
    const auto& best = c.missing.front();
    const bool small = m.fit < 0.5 * std::hypot(m.scatter, m.misfit, m.model);
    return fmt::format(
        "the channel that would help most with {} is {}: the fit's part of the doubt would fall to {:.0f} "
        "%{}",
        figure_name(*m.figure), best.channel->label, 100 * best.remains,
        small ? ", though most of the doubt is not the fit's" : "");
}

std::string no_worse_in_words(const MatchedFigure& m, UnitSystem s) {
    const auto limit = size(*m.figure, m.no_worse.limit, s);
    return fmt::format("{}: {} than {} worse", figure_name(*m.figure),
                       m.no_worse.shown ? "shown to be no more" : "not shown to be no more", limit) +
           (m.no_worse.shown ? "" : ", which is not to say that it is");
}

/// Pairs of unknowns that lean on each other, those of the same two choices together.
std::vector<std::string> leaning_in_words(const MeasuredResults& r) {
    struct Heap {
        std::vector<std::string> of;
        double low = 1, high = 0;
    };
    std::vector<std::pair<std::pair<const FitChoice*, const FitChoice*>, Heap>> heaps;
    for (const auto& l : r.fit.result.solution.leaning) {
        const auto &a = r.fit.unknowns[l.a], &b = r.fit.unknowns[l.b];
        const std::pair key(a.choice, b.choice);
        auto heap = std::find_if(heaps.begin(), heaps.end(), [&](const auto& h) { return h.first == key; });
        if (heap == heaps.end()) heap = heaps.insert(heaps.end(), {key, {}});
        const auto of = a.of.empty() || a.of == b.of ? b.of : b.of.empty() ? a.of : a.of + " and " + b.of;
        if (!of.empty()) heap->second.of.push_back(of);
        heap->second.low = std::min(heap->second.low, std::fabs(l.correlation));
        heap->second.high = std::max(heap->second.high, std::fabs(l.correlation));
    }
    std::vector<std::string> all;
    for (const auto& [key, heap] : heaps) {
        const auto of = heap.of.empty() ? "" : fmt::format(" ({})", listed(heap.of));
        const auto much = heap.low + 0.005 > heap.high ? fmt::format("{:.2f}", heap.high)
                                                       : fmt::format("{:.2f} to {:.2f}", heap.low, heap.high);
        all.push_back(
            key.first == key.second
                ? fmt::format("these channels do not well separate {} from each other{}: correlation {}",
                              key.first->title, of, much)
                : fmt::format("these channels do not well separate {} from {}{}: correlation {}, so one can be "
                              "wrong by what the other gives",
                              key.first->title, key.second->title, of, much));
    }
    return all;
}

// ---- plain text
// -------------------------------------------------------------------------------------------------------

std::string paragraph(const std::string& title, const std::vector<std::string>& lines, std::size_t width) {
    if (lines.empty()) return "";
    std::string text = "\n" + title + "\n";
    for (const auto& l : lines) text += wrapped(l, width);
    return text;
}

std::string comparison_table(const MeasuredResults& r, const Comparison& c, UnitSystem s, std::size_t width) {
    std::vector<TableRow> rows;
    for (const auto& m : c.figures) {
        const auto& f = *m.figure;
        const auto value = [&](double si) { return show_number(si, f.unit, f.quantity, f.decimals, s); };
        const auto unit = display_unit(f.unit, s, f.quantity).unit;
        rows.push_back({"  " + figure_name(f),
                        unit == "1" ? "" : unit,
                        {value(m.from), value(m.to), signed_number(f, m.change(), s),
                         signed_number(f, m.change() - m.half_width, s), signed_number(f, m.change() + m.half_width, s),
                         in_words(m.verdict)}});
    }
    return table({variant(r, c.from).name, variant(r, c.to).name, "change", "from", "to", "verdict"}, rows, width);
}

std::string unknowns_table(const MeasuredResults& r, UnitSystem s, std::size_t width) {
    std::vector<TableRow> rows;
    for (std::size_t k = 0; k < r.fit.unknowns.size(); ++k) {
        const auto& u = r.fit.unknowns[k];
        const auto& e = r.fit.result.solution.estimates[k];
        const auto& c = *u.choice;
        const auto value = [&](double si) {
            return show_number(si, c.unit.c_str(), c.quantity.c_str(), c.decimals(), s);
        };
        const char* difference = c.unit == "K" ? "dK" : c.unit.c_str();
        const auto deviation = [&](double si) {
            return show_number(si, difference, c.quantity.c_str(), c.decimals(), s);
        };
        const auto unit = display_unit(c.unit, s, c.quantity).unit;
        const auto& prior = u.parameter.prior;
        rows.push_back({"  " + e.name,
                        unit == "1" ? "" : unit,
                        {value(e.value),
                         e.at_bound                   ? "at its bound"
                         : std::isfinite(e.deviation) ? deviation(e.deviation)
                                                      : "open",
                         prior ? value(prior->mean) : "-", prior ? deviation(prior->deviation) : "-"}});
    }
    return table({"fitted", "+-", "expected", "+-"}, rows, width);
}

std::string residuals_table(const MeasuredResults& r, UnitSystem s, std::size_t width) {
    std::vector<TableRow> rows;
    for (const auto& what : compared_channels()) {
        const auto* kind = find_kind(what.kind);
        const std::string unit(kind->unit == "K" ? "dK" : kind->unit);
        TableRow row{std::string("  ") + what.label, display_unit(unit, s, what.quantity).unit, {}};
        bool any = false;
        for (const auto& pull : r.fit.residuals) {
            const auto at =
                std::find_if(pull.begin(), pull.end(), [&](const Residuals& x) { return x.measured->what == &what; });
            row.cells.push_back(
                at == pull.end() ? "-" : show_number(at->rms, unit.c_str(), what.quantity, what.decimals + 1, s));
            any = any || at != pull.end();
        }
        if (any) rows.push_back(std::move(row));
    }
    std::vector<std::string> heads;
    for (const auto& p : r.measured.pulls) heads.push_back(p.name);
    return table(heads, rows, width);
}

}  // namespace

const char* in_words(Verdict verdict) {
    constexpr const char* words[] = {"rises", "falls", "cannot tell"};
    return words[static_cast<int>(verdict)];
}

std::string headline(const MeasuredResults& r, UnitSystem s) {
    if (r.comparisons.empty()) return "";
    const auto& c = r.comparisons.front();
    const auto opening =
        fmt::format("{}, {} against {}: ", in_words(c.question), variant(r, c.to).title, variant(r, c.from).title);
    std::vector<std::string> shown;
    for (const auto& m : c.figures)
        if (m.verdict != Verdict::cannot_tell)
            shown.push_back(fmt::format("{} {} by {} ({})", figure_name(*m.figure), in_words(m.verdict),
                                        size(*m.figure, m.change(), s), bounds(m, s)));
    const auto open = names_of(c.figures, Verdict::cannot_tell);
    if (shown.empty()) return sentence(opening + "from these pulls nothing can be told");
    auto text = sentence(opening + fmt::format("{}", fmt::join(shown, "; ")));
    if (!open.empty()) text += fmt::format(" Of {} nothing can be told.", listed(open));
    return text;
}

std::string figure_in_words(const MatchedFigure& m, UnitSystem s) {
    const auto& f = *m.figure;
    auto text = m.verdict == Verdict::cannot_tell ? open_in_words(m, s)
                                                  : fmt::format("{} {} by {} ({})", figure_name(f), in_words(m.verdict),
                                                                size(f, m.change(), s), bounds(m, s));
    const std::pair<const char*, double> parts[] = {{"the fit", m.fit},
                                                    {"scatter from pull to pull", m.scatter},
                                                    {"what the rig misses", m.misfit},
                                                    {"two models of knock", m.model}};
    std::vector<std::string> doubts;
    for (const auto& [name, deviation] : parts)
        if (deviation > 0.1 * m.half_width) doubts.push_back(fmt::format("{} {}", name, size(f, deviation, s)));
    text += "; doubt by " + listed(doubts);
    if (m.no_worse.limit > 0) text += "; " + no_worse_in_words(m, s);
    return sentence(text);
}

std::vector<std::string> comparison_in_words(const MeasuredResults& r, const Comparison& c, UnitSystem s) {
    if (!c.impossible.empty()) return {sentence("this question has no answer here: " + c.impossible)};
    std::vector<std::string> all{sentence(held_in_words(r, c, s))};
    for (const auto& m : c.figures)
        if (m.verdict == Verdict::cannot_tell) all.push_back(sentence(open_in_words(m, s)));
    for (const auto& m : c.figures)
        if (m.no_worse.limit > 0) all.push_back(sentence(no_worse_in_words(m, s)));
    const bool open = !names_of(c.figures, Verdict::cannot_tell).empty();
    const auto help = c.figures.empty() ? "" : help_in_words(c, s);
    if (!help.empty() && (open || c.question == Question::same_pulley)) all.push_back(sentence(help));
    return all;
}

std::vector<std::string> fit_in_words(const MeasuredResults& r, UnitSystem) {
    const auto& solution = r.fit.result.solution;
    std::size_t points = 0;
    for (const auto& p : r.fit.pulls)
        for (const auto& m : p.measured) points += m.at.size();
    std::vector<std::string> all{sentence(
        fmt::format("{} unknowns and {} shared errors of sensors were fitted to {} points of {} pulls; {}",
                    r.fit.unknowns.size(), r.fit.result.errors.size(), points, r.fit.pulls.size(), solution.stopped))};
    constexpr double much = 2;
    for (std::size_t k = 0; k < r.fit.result.errors.size(); ++k) {
        const auto& e = solution.estimates[r.fit.unknowns.size() + k];
        if (std::fabs(e.value) > much)
            all.push_back(
                sentence(fmt::format("{} would have to be {:.1f} times what is stated: the accuracy is stated "
                                     "too well, or the rig is wrong there",
                                     r.fit.result.errors[k], std::fabs(e.value))));
    }
    for (const auto& w : solution.warnings) all.push_back(sentence(w));
    for (const auto& l : leaning_in_words(r)) all.push_back(sentence(l));
    if (!r.not_explained.empty())
        all.push_back(sentence("the change between two pulls could not be split by cause: " + r.not_explained));
    return all;
}

std::vector<std::string> measured_in_words(const PullsExplained& e, UnitSystem s) {
    std::vector<std::string> all;
    for (const auto& m : e.measured) {
        const auto& f = *m.figure;
        const auto value = [&](double si) { return show(si, f.unit, f.quantity, f.decimals, s); };
        all.push_back(sentence(fmt::format("{} as logged: {} and {}, a change of {}", figure_name(f), value(m.from),
                                           value(m.to), (m.to > m.from ? "+" : "-") + size(f, m.to - m.from, s))));
    }
    return all;
}

std::vector<std::string> how_to_read_matches() {
    return {
        "Every pull is simulated by one rig whose unknowns are fitted to all pulls at once; the variants are then run "
        "under the same air and from the same start. Nothing that a part brings about, such as boost or end "
        "temperature, is made alike unless the question says so.",
        "Intervals hold the truth 19 times in 20 if the sensors are as accurate as stated, the scatter from pull to "
        "pull as stated or less, and the model misses in both variants what it misses at the end of the pulls.",
        "Cannot tell is a verdict: the change may be there, and these pulls do not show it.",
        "No standard describes a pull of a few seconds on a roller. A simulated knock margin is a trend."};
}

std::string measured_text(const MeasuredResults& r, UnitSystem s, std::size_t width) {
    auto text = wrapped(title_of(r.measured.study), width, "", "");
    if (const auto head = headline(r, s); !head.empty()) text += "\n" + wrapped(head, width, "", "");
    std::vector<std::string> lines;
    for (const auto& c : checklist(r, s))
        lines.push_back(fmt::format("{} [{}]: {}", c.item, in_words(c.state), c.words));
    text += paragraph("were the pulls alike?", lines, width);
    for (const auto& c : r.comparisons) {
        text += "\n" + wrapped(fmt::format("{}: {} -> {}", in_words(c.question), variant(r, c.from).title,
                                           variant(r, c.to).title),
                               width, "", "");
        if (!c.figures.empty()) text += comparison_table(r, c, s, width);
        for (const auto& l : comparison_in_words(r, c, s)) text += wrapped(l, width);
    }
    text += "\nfitted\n" + unknowns_table(r, s, width);
    for (const auto& l : fit_in_words(r, s)) text += wrapped(l, width);
    text += "\ncomputed less measured, rms\n" + residuals_table(r, s, width);
    if (r.explained) {
        const auto& e = *r.explained;
        text += "\n" + explanation_text({r.measured.study, e.from, e.to, e.explanation}, s, width);
        for (const auto& l : measured_in_words(e, s)) text += wrapped(l, width);
    }
    return text + paragraph("how to read this", how_to_read_matches(), width);
}

}  // namespace pullcast::measure

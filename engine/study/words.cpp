#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/media/correction.hpp>
#include <pullcast/study/knock_words.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {
namespace {

std::string with_unit(const std::string& number, const Display& d) {
    return d.unit == "1" ? number : number + " " + d.unit;
}

/// Two results side by side.
struct Pair {
    const VariantResult &base, &other;
    UnitSystem system;

    double change(std::string_view key) const { return figure(other, key) - figure(base, key); }
    double ratio(std::string_view key) const { return figure(other, key) / figure(base, key) - 1; }
    /// "41.2 hp more", "3.1 psi lower", "unchanged"; "" where one of them has no such figure.
    std::string moved(std::string_view key, const char* up, const char* down) const {
        const auto m = pullcast::moved(base, other, key, system);
        if (m.size.empty()) return "";
        return m.sense == 0 ? "unchanged" : fmt::format("{} {}", m.size, m.sense > 0 ? up : down);
    }
};

bool same_pulley(const VariantResult& a, const VariantResult& b) {
    return std::fabs(figure(a, "blower_speed") / figure(b, "blower_speed") - 1) < 0.01;
}

void changes(const Pair& p, const std::string& base, std::vector<std::string>& out) {
    constexpr struct {
        const char *name, *key, *up, *down;
    } told[] = {{"boost at redline", "boost_redline", "higher", "lower"},
                {"peak crank power", "crank_power", "more", "less"},
                {"charge at redline", "charge_redline", "hotter", "cooler"},
                {"blower drive power", "drive_power", "more", "less"},
                {"knock margin", "knock_margin", "larger", "smaller"}};
    std::string text;
    for (const auto& t : told)
        if (const auto change = p.moved(t.key, t.up, t.down); !change.empty())
            text += fmt::format("{} {} {}", text.empty() ? "" : ",", t.name, change);
    if (!text.empty()) out.push_back(fmt::format("Against {}:{}.", base, text));
}

void expected_boost_loss(const Pair& p, std::vector<std::string>& out) {
    const double flow = p.ratio("air_flow_redline");
    const bool lower = p.change("boost_redline") <= -200 && p.change("charge_redline") <= -1;  // Pa, K
    if (!lower || !same_pulley(p.base, p.other) || std::fabs(flow) > 0.03) return;
    out.push_back(
        fmt::format("Boost is {} although nothing leaks: at the same pulley the blower moves the same air "
                    "({:+.1f} % here), and cooler charge needs less pressure for it. This drop is expected.",
                    p.moved("boost_redline", "higher", "lower"), flow * 100));
}

/// Gross slip: boost that fades as speed rises.
void fading_boost(const VariantResult& r, std::vector<std::string>& out) {
    const auto slips = [](const Warning& w) { return w.channel.ends_with(".slip_margin"); };
    if (std::none_of(r.warnings.begin(), r.warnings.end(), slips)) return;
    out.push_back(
        "The belt slips: on a boost gauge this looks like boost that fades as speed rises. A clogged filter or "
        "a leak can look alike; blower speed against crank speed tells them apart.");
}

/// A figure's decimals suit its metric unit; SI's own, larger or smaller, take as many fewer or more.
int decimals_in(UnitSystem system, int decimals, const char* unit, const char* quantity) {
    if (system != UnitSystem::si) return decimals;
    const double scale = display_unit(unit, UnitSystem::metric, quantity).scale;
    return std::max(0, decimals + static_cast<int>(std::lround(std::log10(scale))));
}

std::string cell(double si, const Figure& f, UnitSystem system) {
    constexpr double rounding = 1e-12;
    if (std::isnan(si)) return "-";
    if (f.decimals < 0) return std::fabs(si) < rounding ? "<1e-12" : fmt::format("{:.0e}", std::fabs(si));
    const auto unit = display_unit(f.unit, system, f.quantity);
    return fmt::format("{:.{}f}", unit(si), decimals_in(system, f.decimals, f.unit, f.quantity));
}

/// Three digits or so.
std::string show_rounded(double si, const char* unit, const std::string& item, UnitSystem system) {
    const auto d = display_unit(unit, system, item);
    const double size = std::fabs(d(si));
    const auto number = size >= 1 || size == 0 ? fmt::format("{:.{}f}", d(si),
                                                             size >= 100  ? 0
                                                             : size >= 10 ? 1
                                                                          : 2)
                                               : fmt::format("{:.2g}", d(si));
    return with_unit(number, d);
}

/// "(from 4034 rpm, 4.02 s; lowest -3.2 deg at 6400 rpm; limit 2 K)". A flag or a count says when, and no more.
std::string when_and_how_far(const Warning& w, UnitSystem system) {
    const auto item = w.channel.substr(w.channel.find('.') + 1);
    const auto rpm = [&](double speed) { return std::isnan(speed) ? "" : show(speed, "rad/s", "speed", 0, system); };
    const auto start = rpm(w.speed);
    std::string text = w.time == 0 ? "from the start of the pull"
                                   : fmt::format("from {}{:.2f} s", start.empty() ? "" : start + ", ", w.time);
    if (display_unit(w.unit, system, item).unit == "1" && w.limit == 0) return text;
    text +=
        fmt::format("; {} {}", w.worst > w.limit ? "highest" : "lowest", show_rounded(w.worst, w.unit, item, system));
    if (const auto at = rpm(w.worst_speed); !at.empty()) text += " at " + at;
    if (w.limit != 0) text += fmt::format("; limit {}", show_rounded(w.limit, w.unit, item, system));
    return text;
}

/// Lines of a message, joined by semicolons.
std::string in_one_line(std::string text) {
    for (auto at = text.find('\n'); at != text.npos; at = text.find('\n', at)) {
        const auto next = std::min(text.find_first_not_of("\n ", at), text.size());
        text.replace(at, next - at, "; ");
    }
    return text;
}

struct NamedStandard {
    Standard standard;
    const char* name;
};
constexpr NamedStandard standards[] = {{Standard::sae_j1349, "SAE J1349"}, {Standard::iso_1585, "ISO 1585"}};

/// Model by model, which components of a variant use it; in the order of the rig.
std::vector<std::pair<const ComponentType*, std::string>> models(const Variant& variant) {
    std::vector<std::pair<const ComponentType*, std::string>> all;
    for (const auto& c : variant.rig.components) {
        const auto at = std::find_if(all.begin(), all.end(), [&](const auto& m) { return m.first == c.type; });
        if (at == all.end()) all.emplace_back(c.type, c.name);
        else at->second += ", " + c.name;
    }
    return all;
}

}  // namespace

std::string show_number(double si, const char* unit, const char* quantity, int decimals, UnitSystem system) {
    if (std::isnan(si)) return "-";
    const auto d = display_unit(unit, system, quantity);
    return fmt::format("{:.{}f}", d(si), decimals_in(system, decimals, unit, quantity));
}

std::string show(double si, const char* unit, const char* quantity, int decimals, UnitSystem system) {
    const auto number = show_number(si, unit, quantity, decimals, system);
    return std::isnan(si) ? number : with_unit(number, display_unit(unit, system, quantity));
}

Moved moved(const VariantResult& from, const VariantResult& to, std::string_view key, UnitSystem system) {
    const auto at = std::find_if(figures().begin(), figures().end(), [&](const Figure& f) { return key == f.key; });
    const double d = figure(to, key) - figure(from, key);
    if (at == figures().end() || std::isnan(d)) return {"", 0};
    const char* unit = std::string_view(at->unit) == "K" ? "dK" : at->unit;
    const auto size = [&](double si) { return show(si, unit, at->quantity, at->decimals, system); };
    return {size(std::fabs(d)), size(std::fabs(d)) == size(0) ? 0 : d > 0 ? 1 : -1};
}

std::string figure_table(const Study& study, const std::vector<VariantResult>& results, UnitSystem system,
                         std::size_t width) {
    std::vector<std::string> heads;
    for (const auto& v : study.variants) heads.push_back(v.name);
    std::vector<TableRow> rows;
    std::string_view group;
    for (std::size_t k = 0; k < figures().size(); ++k) {
        const Figure& f = figures()[k];
        const auto has = [&](const VariantResult& r) { return !std::isnan(r.figures[k]); };
        if (std::none_of(results.begin(), results.end(), has)) continue;
        if (group != f.group) rows.push_back({f.group, "", {}});
        group = f.group;
        const auto unit = display_unit(f.unit, system, f.quantity);
        TableRow row{"  " + std::string(f.label), unit.unit == "1" ? "" : unit.unit, {}};
        for (const auto& r : results) row.cells.push_back(cell(r.figures[k], f, system));
        rows.push_back(row);
    }
    return rows.empty() ? "" : table(heads, rows, width);
}

std::string new_parts(const Study& study, std::size_t variant) {
    const auto& base = study.variants[base_index(study)].parts;
    std::string text;
    for (const auto& p : study.variants[variant].parts) {
        const auto same = [&](const PartUse& b) {
            return b.file == p.file && b.component == p.component && b.slot == p.slot;
        };
        if (std::any_of(base.begin(), base.end(), same)) continue;
        const auto price = p.price ? " (" + show_price(*p.price) + ")" : "";
        text += fmt::format("{}{}{}", text.empty() ? "" : "; ", p.name, price);
    }
    return text;
}

std::string title_of(const Study& study) { return study.title.empty() ? study.file : study.title; }

std::vector<std::string> compare_in_words(const Study& study, const std::vector<VariantResult>& results,
                                          std::size_t variant, UnitSystem system) {
    const auto base = base_index(study);
    std::vector<std::string> out;
    if (variant != base && results[variant].failure.empty()) {
        if (results[base].failure.empty()) changes({results[base], results[variant], system}, study.base, out);
        else out.push_back(fmt::format("No comparison: {} did not finish.", study.base));
    }
    for (auto& text : explain_in_words(study, results, variant, system)) out.push_back(std::move(text));
    return out;
}

std::vector<std::string> explain_in_words(const Study& study, const std::vector<VariantResult>& results,
                                          std::size_t variant, UnitSystem system) {
    const auto base = base_index(study);
    std::vector<std::string> out;
    if (variant != base && results[variant].failure.empty() && results[base].failure.empty()) {
        expected_boost_loss({results[base], results[variant], system}, out);
        fading_boost(results[variant], out);
    }
    for (auto& text : knock_in_words(study, results, variant, system)) out.push_back(std::move(text));
    return out;
}

std::vector<std::string> warnings_in_words(const VariantResult& result, UnitSystem system) {
    std::vector<std::string> out;
    if (!result.failure.empty()) return {"the pull did not finish: " + in_one_line(result.failure)};
    for (const auto& w : result.warnings)
        out.push_back(fmt::format("{}: {} ({})", w.channel, w.text, when_and_how_far(w, system)));
    if (!result.pull.reached_stop_speed)
        out.push_back("the pull ended by time before the stop speed: figures at redline are figures at its end");
    if (!result.network->differentiable())
        out.push_back("a plugin was built without dual sweeps: the Jacobian comes from differences, which is slower");
    return out;
}

std::vector<std::string> corrections_in_words(const VariantResult& result) {
    std::vector<std::string> out;
    if (!result.failure.empty()) return out;
    const PullView view(*result.network, result.pull);
    for (const auto& s : standards) {
        const auto c = correction(view, s.standard);
        if (std::isnan(c.factor)) out.push_back(fmt::format("{}: none, {}", s.name, c.note));
        else
            out.push_back(fmt::format("{} factor {:.4f}{}{}", s.name, c.factor,
                                      c.in_range ? "" : ": OUT OF ITS RANGE: ", c.note));
    }
    out.push_back(fmt::format("On a boosted engine {}; none of the standards describes a pull of a few seconds.",
                              media::boosted_note));
    return out;
}

std::string correction_caution(const std::vector<VariantResult>& results) {
    std::string names;
    for (const auto& s : standards) {
        const auto outside = [&](const VariantResult& r) {
            return r.failure.empty() && !correction(PullView(*r.network, r.pull), s.standard).in_range;
        };
        if (std::any_of(results.begin(), results.end(), outside))
            names += (names.empty() ? "" : " and ") + std::string(s.name);
    }
    return names.empty() ? ""
                         : fmt::format("Outside the range of {} here: read those figures as a comparison only.", names);
}

std::vector<std::string> assumptions(const Study& study) {
    const auto& base = study.variants[base_index(study)];
    std::vector<std::string> out;
    std::vector<const ComponentType*> told;
    const auto tell = [&](const Variant& v) {
        for (const auto& [t, users] : models(v)) {
            if (std::find(told.begin(), told.end(), t) != told.end()) continue;
            told.push_back(t);
            const auto where = &v == &base ? users : fmt::format("{} of {}", users, v.name);
            out.push_back(fmt::format("{} ({}): {}. Valid: {}. Source: {}.", t->name, where, t->summary, t->validity,
                                      t->reference));
        }
    };
    tell(base);
    for (const auto& v : study.variants) tell(v);
    return out;
}

std::vector<std::string> cautions() {
    return {
        "A simulated knock margin is not permission to add boost or spark: knock detection, the plugs and a licensed "
        "tuner decide.",
        "On the rollers: follow the room's restraint rules; keep people clear of belts, drums and tyres; mind the "
        "tyre's speed rating.",
        "Stop at the first sign of knock or of a lean mixture.",
        "After a smaller pulley check rotor and belt speed at the fuel cut, not only at the redline.",
        "Coolant is hot and under pressure. A core that leaks into the ports can lock the engine hydraulically; check "
        "before cranking.",
        "With ice, water condenses and coolant dilutes: check for freezing and for water in the intake.",
        "Fuel and hot parts: keep an extinguisher at hand, and run with ventilation.",
        "Local codes, and the practice of licensed people, go before anything printed here.",
    };
}

std::vector<std::string> take_common(std::vector<std::vector<std::string>>& lists) {
    std::vector<std::string> common;
    if (lists.size() < 2) return common;
    for (const auto& line : std::vector<std::string>(lists.front())) {
        const auto has = [&](const auto& list) { return std::find(list.begin(), list.end(), line) != list.end(); };
        if (!std::all_of(lists.begin(), lists.end(), has)) continue;
        common.push_back(line);
        for (auto& list : lists) std::erase(list, line);
    }
    return common;
}

}  // namespace pullcast

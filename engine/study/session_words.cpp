#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/study/channel_rows.hpp>
#include <pullcast/study/heat_flow.hpp>
#include <pullcast/study/session_words.hpp>
#include <pullcast/study/text.hpp>

namespace pullcast {
namespace {

constexpr const char* told[] = {"intake_start",  "intake_redline", "charge_redline",
                                "boost_redline", "crank_power",    "knock_margin"};

const Figure& figure_at(std::size_t k) { return figures()[k]; }
std::size_t figure_index(std::string_view key) {
    const auto all = figures();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Figure& f) { return key == f.key; });
    return static_cast<std::size_t>(at - all.begin());
}

std::string minutes(double s) {
    const auto whole = std::lround(s);
    return whole < 90 ? fmt::format("{} s", whole) : fmt::format("{} min {:02} s", whole / 60, whole % 60);
}

std::string temperature_step(double k, UnitSystem system) { return show(k, "dK", "temperature", 1, system); }

std::string percent(double part, double whole) { return fmt::format("{:.0f} %", 100 * part / whole); }

std::string recovery_in_words(std::size_t pull, const Recovery& back, UnitSystem system) {
    if (back.watched <= 0) return "";
    if (back.after)
        return fmt::format(
            "After pull {}: comparable with the first again after {} (intake within {}, coolant within {}).", pull + 1,
            minutes(*back.after), temperature_step(same_intake, system), temperature_step(same_coolant, system));
    return fmt::format(
        "After pull {}: not comparable with the first within the {} that were run: intake {} off, coolant {} off.",
        pull + 1, minutes(back.watched), temperature_step(back.intake_left, system),
        temperature_step(back.coolant_left, system));
}

/// The two variants differ in how warm charge and coolant start, and in nothing else.
bool only_starts_differ(const Variant& a, const Variant& b) {
    const auto others = [](const Variant& v) {
        std::vector<std::pair<std::string, std::string>> all;
        for (const auto& c : v.changes)
            if (!c.path.ends_with(".start_temperature") && !c.path.ends_with(".start_coolant_temperature"))
                all.emplace_back(c.path, c.after);
        std::sort(all.begin(), all.end());
        return all;
    };
    return others(a) == others(b);
}

/// What of a colder start arrives at the end, and why not all of it.
std::string factor_in_words(const StartAndEnd& s, double shows, UnitSystem system) {
    constexpr double follows = 0.25;  // a sensor near a colder core reads a little colder too
    const double cooler = std::fabs(s.coolant_start);
    const bool coolant = cooler >= shows, intake = std::fabs(s.intake_start) >= std::max(shows, follows * cooler);
    const double factor = coolant ? s.factor() : s.intake_end / s.intake_start;
    const auto unit = display_unit("dK", system, "temperature").unit;
    return fmt::format(
        "Bringing the start of the {} down by 1 {} lowers the end by {:.2f} {}: {}",
        coolant ? (intake ? "coolant and the intake" : "coolant") : "intake", unit, factor, unit,
        coolant
            ? "the charge takes its end temperature from the core and the core from its coolant, but what the core "
              "does not take out of the charge comes from the blower, which draws in the same air as before."
            : "the air that was in the pipes at the start is gone within a second, and the coolant starts as before.");
}

/// Where only the start differs, what of it arrives at the end is told.
std::vector<std::string> against_base_in_words(const Study& study, const std::vector<SessionResult>& results,
                                               std::size_t variant, UnitSystem system) {
    constexpr double shows = 0.5;  // K
    const auto base = base_index(study);
    if (variant == base) return {};
    const auto s = first_pulls(study, results[base], results[variant]);
    if (!s || std::max(std::fabs(s->intake_start), std::fabs(s->coolant_start)) < shows) return {};
    const auto moved = [&](double k) {
        return fmt::format("{} {}", temperature_step(std::fabs(k), system), k < 0 ? "colder" : "warmer");
    };
    std::vector<std::string> all{
        fmt::format("The first pull against that of {}: intake starts {}, coolant {}, and the intake ends {}.",
                    study.variants[base].name, moved(s->intake_start), moved(s->coolant_start), moved(s->intake_end))};
    if (only_starts_differ(study.variants[base], study.variants[variant]))
        all.push_back(factor_in_words(*s, shows, system));
    return all;
}

std::string heat_in_words(std::size_t pull, const HeatOfPull& h, UnitSystem system) {
    const double in = h.in();
    return fmt::format(
        "Pull {}: {} of compression and pump work; stored {} (core {}, rest of the loop {}, casing and walls "
        "{}), left {} (cylinders {}, outside air {}).",
        pull + 1, show(in, "J", "heat", 0, system), percent(h.stored(), in), percent(h.core, in), percent(h.loop, in),
        percent(h.casing + h.walls, in), percent(h.left(), in), percent(h.cylinders, in), percent(h.outside, in));
}

std::string steady_in_words(const SessionPart& pull, const std::vector<double>& steady, UnitSystem system) {
    if (steady.empty()) return "";
    const auto k = figure_index("charge_redline");
    const double ends = pull.figures[k], would = steady[k];
    if (std::isnan(ends) || std::isnan(would)) return "";
    const auto& f = figure_at(k);
    const auto shown = [&](double v) { return show(v, f.unit, f.quantity, f.decimals, system); };
    std::string why = "within it most of the heat is stored and little is rejected";
    if (const auto heat = heat_of(pull)) {
        const double left = heat->outside + heat->surroundings;
        why = fmt::format(
            "within its {} {} of the heat leaves through the coolant, and {} stays stored in core, coolant, "
            "casing and walls; held on, these fill up, and what they took has to leave",
            minutes(pull.pull.time.back()), left > 0 ? "only " + percent(left, heat->in()) : "nothing",
            percent(heat->stored(), heat->in()));
    }
    return fmt::format(
        "A calculation for a steady state at the pull's last speed says {} of charge; the first pull ends at {}, "
        "because {}.",
        shown(would), shown(ends), why);
}

std::string steps_table(const Study& study, const SessionResult& r, UnitSystem system, std::size_t width) {
    std::vector<TableRow> rows;
    for (const auto& p : r.parts) {
        const auto& step = study.session->steps[p.step];
        rows.push_back(
            {"  " + step.title, "", {minutes(p.begin), minutes(p.pull.time.back()), ended_by(study, p, system)}});
    }
    return table({"begins", "lasts", "ended by"}, rows, width);
}

std::string pulls_table(const Study& study, const SessionResult& r, UnitSystem system, std::size_t width) {
    const auto pulls = pulls_of(study, r);
    std::vector<std::string> heads;
    for (std::size_t p = 0; p < pulls.size(); ++p) heads.push_back(fmt::format("pull {}", p + 1));
    std::vector<TableRow> rows;
    for (const char* key : told) {
        const auto k = figure_index(key);
        const auto& f = figure_at(k);
        const auto unit = display_unit(f.unit, system, f.quantity).unit;
        TableRow row{std::string("  ") + f.label, unit == "1" ? "" : unit, {}};
        for (const auto* p : pulls)
            row.cells.push_back(show_number(p->figures[k], f.unit, f.quantity, f.decimals, system));
        rows.push_back(std::move(row));
    }
    return heads.empty() ? "" : table(heads, rows, width);
}

void add(LedgerLine& to, const LedgerLine& from) {
    to.stored_change += from.stored_change, to.into += from.into, to.out += from.out;
    to.held = std::max(to.held, from.held);
}

}  // namespace

std::span<const char* const> told_figures() { return told; }

Readiness readiness(const SessionPart& part, std::size_t point) {
    const PullView view(*part.network, part.pull);
    return {view.at("sensor", "reading", point), view.at("cooler", "coolant_in", point)};
}

Recovery recovery(const Study& study, const SessionResult& r, std::size_t pull) {
    const auto pulls = pulls_of(study, r);
    const auto first = readiness(*pulls[0], 0);
    Recovery out{{}, 0, std::nan(""), std::nan("")};
    const auto* next = pull + 1 < pulls.size() ? pulls[pull + 1] : nullptr;
    const double end = pulls[pull]->end();
    bool after = false;
    for (const auto& part : r.parts) {
        if (&part == next) break;
        if (after)
            for (std::size_t k = 0; k < part.pull.points(); ++k) {
                const auto now = readiness(part, k);
                out.watched = part.begin + part.pull.time[k] - end;
                out.intake_left = now.intake - first.intake, out.coolant_left = now.coolant - first.coolant;
                const bool near =
                    std::fabs(out.intake_left) <= same_intake && std::fabs(out.coolant_left) <= same_coolant;
                if (near && !out.after) out.after = out.watched;
                if (!near) out.after.reset();
            }
        after = after || &part == pulls[pull];
    }
    return out;
}

std::optional<HeatOfPull> heat_of(const SessionPart& pull) {
    const PullView view(*pull.network, pull.pull);
    const HeatBooks books(view);
    if (!books.complete()) return {};
    const auto flows = books.until(view.last());
    const auto flow = [&](std::string_view key) {
        for (std::size_t k = 0; k < flows.size(); ++k)
            if (key == heat_flows()[k].key) return flows[k];
        return std::nan("");
    };
    return HeatOfPull{flow("work"), flow("pumping"), flow("casing"),  flow("walls"),        flow("core"),
                      flow("loop"), flow("boxes"),   flow("outside"), flow("surroundings"), flow("cylinders")};
}

SessionLedger ledger_of(const SessionResult& r) {
    SessionLedger all;
    for (const auto& p : r.parts) {
        add(all.energy, p.pull.energy), add(all.gas, p.pull.gas);
        add(all.water, p.pull.water), add(all.coolant, p.pull.coolant);
    }
    return all;
}

std::optional<StartAndEnd> first_pulls(const Study& study, const SessionResult& from, const SessionResult& to) {
    const auto a = pulls_of(study, from), b = pulls_of(study, to);
    if (a.empty() || b.empty()) return {};
    const auto before = readiness(*a[0], 0), after = readiness(*b[0], 0);
    const auto end = figure_index("intake_redline");
    const StartAndEnd s{after.intake - before.intake, after.coolant - before.coolant,
                        b[0]->figures[end] - a[0]->figures[end]};
    return std::isnan(s.intake_start + s.coolant_start + s.intake_end) ? std::nullopt : std::optional(s);
}

std::string ended_by(const Study& study, const SessionPart& part, UnitSystem system) {
    const auto& step = study.session->steps[part.step];
    if (!step.until) return part.pull.reached_stop_speed ? "stop speed" : "time";
    const auto& [channel, below, value, place] = *step.until;
    const auto all = part.network->channels();
    const auto at = std::find_if(all.begin(), all.end(), [&](const auto& c) { return c.name == channel; });
    const auto waited = fmt::format("{} {} {}", channel, below ? "fell to" : "rose to",
                                    show(value, at->unit, at->item.c_str(), 1, system));
    return part.ended_early ? waited : "time, before " + waited;
}

namespace {

/// Intake at the end of each pull; the hottest is the one to look at.
struct Ends {
    std::vector<double> intake;
    std::size_t hottest = 0;
    Ends(const Study& study, const SessionResult& r) {
        for (const auto* p : pulls_of(study, r)) {
            intake.push_back(p->figures[figure_index("intake_redline")]);
            if (intake.back() > intake[hottest]) hottest = intake.size() - 1;
        }
    }
    double highest() const { return intake.empty() ? std::nan("") : intake[hottest]; }
};

std::string degrees(double k, UnitSystem system) { return show(k, "K", "temperature", 1, system); }

std::string wait_in_words(const Study& study, const SessionResult& r, UnitSystem system) {
    std::optional<Recovery> longest, missed;
    std::size_t missed_pull = 0;
    for (std::size_t p = 0; p < pulls_of(study, r).size(); ++p) {
        const auto back = recovery(study, r, p);
        if (back.watched <= 0) continue;
        if (!back.after) missed = back, missed_pull = p;
        else if (!longest || *back.after > *longest->after) longest = back;
    }
    if (missed)
        return fmt::format(
            " Within the {} that were run the start does not come back: after pull {} the next would start with the "
            "intake "
            "{} and the coolant {} off the first.",
            minutes(missed->watched), missed_pull + 1, temperature_step(missed->intake_left, system),
            temperature_step(missed->coolant_left, system));
    return longest ? fmt::format(" Wait {}: then the next pull is comparable with the first.", minutes(*longest->after))
                   : "";
}

}  // namespace

std::string session_headline(const Study& study, const SessionResult& r, UnitSystem system) {
    const Ends ends(study, r);
    if (std::isnan(ends.highest())) return "";
    const auto end = degrees(ends.highest(), system);
    std::string text;
    if (ends.intake.size() == 1) text = fmt::format("One pull; the intake ends at {}.", end);
    else if (ends.hottest == 0) text = fmt::format("Pull 1 ends hottest: intake {}.", end);
    else
        text = fmt::format("Pull {} ends hottest: intake {}, {} above pull 1.", ends.hottest + 1, end,
                           temperature_step(ends.highest() - ends.intake[0], system));
    return text + wait_in_words(study, r, system);
}

std::string session_headline(const Study& study, const std::vector<SessionResult>& results, UnitSystem system) {
    std::string all;
    for (std::size_t v = 0; v < results.size(); ++v) {
        const Ends ends(study, results[v]);
        if (std::isnan(ends.highest())) continue;
        all += fmt::format("{}{} {} (pull {})", all.empty() ? "" : ", ", study.variants[v].name,
                           degrees(ends.highest(), system), ends.hottest + 1);
    }
    return all.empty() ? "" : fmt::format("The hottest the intake gets in a pull: {}.", all);
}

SessionWords session_words(const Study& study, const std::vector<SessionResult>& results, std::size_t variant,
                           const std::vector<double>& steady, UnitSystem system) {
    const auto& r = results[variant];
    const auto pulls = pulls_of(study, r);
    SessionWords all{against_base_in_words(study, results, variant, system), {}, {}, {}};
    for (std::size_t p = 0; p < pulls.size(); ++p) {
        const auto heat = heat_of(*pulls[p]);
        all.recovery.push_back(recovery_in_words(p, recovery(study, r, p), system));
        all.heat.push_back(heat ? heat_in_words(p, *heat, system) : "");
    }
    if (!pulls.empty()) all.steady = steady_in_words(*pulls[0], steady, system);
    return all;
}

std::vector<std::string> session_in_words(const Study& study, const std::vector<SessionResult>& results,
                                          std::size_t variant, const std::vector<double>& steady, UnitSystem system) {
    auto words = session_words(study, results, variant, steady, system);
    auto all = std::move(words.against_base);
    for (auto* lines : {&words.recovery, &words.heat}) std::move(lines->begin(), lines->end(), std::back_inserter(all));
    all.push_back(std::move(words.steady));
    std::erase(all, "");
    return all;
}

std::string session_text(const Study& study, const std::vector<SessionResult>& results,
                         const std::vector<std::vector<double>>& steady, UnitSystem system, std::size_t width) {
    auto text = wrapped(title_of(study), width, "", "");
    if (!study.question.empty()) text += wrapped(study.question, width, "", "");
    for (std::size_t v = 0; v < results.size(); ++v) {
        const auto& r = results[v];
        text += "\n" + wrapped(study.variants[v].title, width, "", "");
        text += steps_table(study, r, system, width);
        if (const auto pulls = pulls_table(study, r, system, width); !pulls.empty()) text += "\n" + pulls;
        if (!r.failure.empty()) continue;
        for (const auto& line : session_in_words(study, results, v, steady[v], system)) text += wrapped(line, width);
        const auto books = ledger_of(r);
        text += wrapped(
            fmt::format("Ledger over the day: energy {:.1e}, gas {:.1e}, coolant {:.1e} of what passed through.",
                        books.energy.relative(), books.gas.relative(), books.coolant.relative()),
            width);
    }
    return text + "\n" + wrapped(cautions().front(), width, "", "");
}

std::string session_csv(const Study& study, const SessionResult& r, UnitSystem system) {
    if (r.parts.empty()) return "";
    const ChannelRows rows(*r.parts[0].network, system);
    auto out = fmt::format("time [s],step,part,{}", rows.header());
    for (std::size_t p = 0; p < r.parts.size(); ++p) {
        const auto& part = r.parts[p];
        for (std::size_t k = 0; k < part.pull.points(); ++k) {
            fmt::format_to(std::back_inserter(out), "\n{:.9g},{},{},", part.begin + part.pull.time[k],
                           study.session->steps[part.step].name, p + 1);
            rows.append(part.pull, k, out);
        }
    }
    return out + "\n";
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/inspection.hpp>
#include <pullcast/study/text.hpp>

namespace pullcast::measure {
namespace {

constexpr std::size_t few = 8;  // runs of lines, or faults of one kind, where not all are wanted

std::string shown(double v) {
    if (std::isnan(v)) return "-";
    if (std::fabs(v) < 5e-13) return "0";
    return std::fabs(v) >= 1000 && std::fabs(v) < 1e9 ? fmt::format("{:.0f}", v) : fmt::format("{:.4g}", v);
}
std::string counted(std::size_t n, const char* one, const char* many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}
std::string lines_text(const Lines& l) {
    return l.first == l.last ? fmt::format("line {}", l.first) : fmt::format("lines {}-{}", l.first, l.last);
}

class Inspection {
public:
    Inspection(const MeasuredLog& log, UnitSystem system, std::size_t width, bool all)
        : log_(log), system_(system), width_(width), most_(all ? log.table.lines_below_header + 1 : few) {}

    std::string text() {
        form();
        channels();
        faults();
        gaps();
        repairs();
        remarks();
        pulls();
        return out_;
    }

private:
    Display display(const ChannelKind& k) const { return display_unit(k.unit, system_, k.name); }
    void line(const std::string& text) { out_ += wrapped(text, width_); }
    void heading(const std::string& text) { out_ += "\n" + text + "\n"; }

    void form() {
        const auto& t = log_.table;
        const std::string separator = t.separator == '\t' ? "a tab" : fmt::format("'{}'", t.separator);
        out_ += t.source->name + "\n";
        line(fmt::format("separator {}, decimal mark '{}', {}{}{}", separator, t.decimal,
                         t.header_line ? fmt::format("header in line {}", t.header_line) : "no header",
                         t.unit_line ? fmt::format(", units in line {}", t.unit_line) : "",
                         t.header_line > 1 ? fmt::format("; not read: {}", lines_text({1, t.header_line - 1})) : ""));
        line(fmt::format("{} below the header: {} used, {} left out", counted(t.lines_below_header, "line", "lines"),
                         counted(log_.size(), "row", "rows"), log_.rows_left_out));
        const auto& time = log_.mapping.time;
        line(fmt::format("time from {}: 0 to {} s, {} rows a second",
                         time.column.empty() ? "the stated rate" : fmt::format("column '{}'", time.column),
                         shown(log_.time.back()), shown(1 / log_.step)));
    }

    void channels() {
        std::vector<TableRow> rows;
        for (const auto& c : log_.channels) rows.push_back(row_of(c));
        if (rows.empty())
            return heading("no channels"), line("no column is known; [channel.NAME] in a mapping names one");
        out_ += "\n" + table({"lowest", "highest", "readings", "a second", "masked", "from"}, rows, width_);
    }
    TableRow row_of(const Channel& c) const {
        double low = std::numeric_limits<double>::infinity(), high = -low;
        for (std::size_t k = 0; k < log_.size(); ++k)
            if (c.usable(k)) low = std::min(low, c.reading[k]), high = std::max(high, c.reading[k]);
        const auto d = display(*c.kind);
        const bool any = low <= high;
        const std::string rate =
            c.column.empty() ? "-" : shown(static_cast<double>(c.readings) / (log_.time.back() + log_.step));
        return {std::string(c.kind->name),
                d.unit,
                {any ? shown(d(low)) : "-", any ? shown(d(high)) : "-", std::to_string(c.readings), rate,
                 std::to_string(c.masked_count()), c.column.empty() ? "stated" : c.column}};
    }

    void faults() {
        const bool any =
            std::any_of(log_.channels.begin(), log_.channels.end(), [](auto& c) { return !c.faults.empty(); });
        if (!any) return;
        heading("faults (masked: kept, and not used)");
        for (const auto& c : log_.channels)
            for (const auto f : {Fault::out_of_range, Fault::spike, Fault::at_rail, Fault::stuck}) faults_of(c, f);
    }
    void faults_of(const Channel& c, Fault fault) {
        const auto d = display(*c.kind);
        std::size_t told = 0, more = 0;
        for (const auto& f : c.faults) {
            if (f.fault != fault) continue;
            if (told++ >= most_) {
                ++more;
                continue;
            }
            const auto first = log_.time[f.first], last = log_.time[f.last];
            const auto when = f.first == f.last ? fmt::format("at {:.2f} s", first)
                                                : fmt::format("from {:.2f} to {:.2f} s", first, last);
            line(fmt::format("{}: {}, {}, {}: {} {}", c.kind->name, in_words(fault),
                             lines_text(log_.lines(f.first, f.last)), when, shown(d(f.value)), d.unit));
        }
        if (more) line(fmt::format("{}: {} more of this kind (--all lists them)", c.kind->name, more));
    }

    void gaps() {
        if (log_.gaps.empty()) return;
        heading("gaps in time");
        for (std::size_t k = 0; k < std::min(log_.gaps.size(), most_); ++k) {
            const auto g = log_.gaps[k];
            line(fmt::format("no rows from {:.2f} to {:.2f} s (lines {} to {})", log_.time[g - 1], log_.time[g],
                             log_.line[g - 1], log_.line[g]));
        }
        if (log_.gaps.size() > most_) line(fmt::format("{} more (--all lists them)", log_.gaps.size() - most_));
    }

    void repairs() {
        if (log_.repairs.empty()) return;
        heading("repairs");
        for (const auto& r : log_.repairs) {
            const auto where =
                r.column ? fmt::format("column {} '{}': ", r.column, log_.table.columns[r.column - 1].name) : "";
            const auto example = r.example.empty() ? "" : fmt::format(" (first: '{}')", r.example);
            const auto count = r.count == 1 ? "" : fmt::format("{} {}, ", r.count, r.column ? "cells" : "rows");
            line(fmt::format("{}{}{}{}; {}{} {}", where, r.what, r.row_left_out ? ": left out" : "", example, count,
                             r.count == 1 ? "line" : "lines", to_text(r.lines, most_)));
        }
    }

    void remarks() {
        auto all = log_.remarks;
        if (!log_.mapping.time.remark.empty()) all.insert(all.begin(), "time: " + log_.mapping.time.remark);
        for (const auto& m : log_.mapping.channels)
            if (!m.remark.empty()) all.push_back(fmt::format("{}: {}", m.kind->name, m.remark));
        if (!log_.mapping.unused.empty()) {
            std::string names;
            for (const auto& n : log_.mapping.unused) names += (names.empty() ? "'" : ", '") + n + "'";
            all.push_back("not used: " + names);
        }
        if (all.empty()) return;
        heading("to check");
        for (const auto& r : all) line(r);
    }

    // ---- pulls ------------------------------------------------------------------------------------------------------
    void pulls() {
        if (log_.pulls.empty()) return heading("no pulls found"), line(why_none());
        std::vector<std::string> heads;
        for (std::size_t k = 0; k < log_.pulls.size(); ++k) heads.push_back(fmt::format("pull {}", k + 1));
        std::vector<TableRow> rows;
        const auto row = [&](std::string label, std::string unit, auto&& cell) {
            rows.push_back({std::move(label), std::move(unit), {}});
            for (const auto& p : log_.pulls) rows.back().cells.push_back(cell(p));
        };
        const auto speed = display(*find_kind("speed"));
        row("start", "s", [](const Pull& p) { return fmt::format("{:.2f}", p.start); });
        row("end", "s", [](const Pull& p) { return fmt::format("{:.2f}", p.end); });
        row("lasts", "s", [](const Pull& p) { return fmt::format("{:.2f}", p.duration()); });
        row("from", speed.unit, [&](const Pull& p) { return shown(speed(p.low_speed)); });
        row("to", speed.unit, [&](const Pull& p) { return shown(speed(p.high_speed)); });
        row("lines", "", [&](const Pull& p) { return fmt::format("{}-{}", log_.line[p.first], log_.line[p.last]); });
        for (const auto& k : channel_kinds()) {
            if (k.unit != "K" || !log_.find(k.name)) continue;
            row(fmt::format("{} at the start", k.name), display(k).unit, [&](const Pull& p) { return start_of(p, k); });
        }
        out_ += "\n" + table(heads, rows, width_);
        line(evidence());
    }
    std::string start_of(const Pull& p, const ChannelKind& k) const {
        for (const auto& t : p.temperatures)
            if (t.kind == &k) return shown(display(k)(t.value));
        return "-";
    }
    std::string evidence() const {
        switch (log_.pulls.front().evidence) {
            case Evidence::throttle:
                return "Full throttle is known from the throttle.";
            case Evidence::manifold_pressure:
                return "There is no throttle: full throttle is where manifold pressure is near ambient or above.";
            case Evidence::speed_alone:
                break;
        }
        return "There is neither throttle nor manifold pressure: a climb at part throttle looks the same.";
    }
    std::string why_none() const {
        if (!log_.find("speed")) return "no channel gives the engine's speed";
        const auto& r = log_.mapping.pulls;
        const auto* throttle = log_.find("throttle");
        double widest = 0;
        for (std::size_t k = 0; throttle && k < log_.size(); ++k)
            if (throttle->usable(k)) widest = std::max(widest, throttle->reading[k]);
        if (throttle && throttle->readings && widest < r.full_throttle)
            return fmt::format("the throttle opens to {:.0f} % at most, and full_throttle in [pulls] is {:.0f} %",
                               100 * widest, 100 * r.full_throttle);
        const auto speed = display(*find_kind("speed"));
        return fmt::format(
            "no climb of {} {} or more over {} s or longer at full throttle; [pulls] in a mapping sets these",
            shown(speed(r.least_climb)), speed.unit, shown(r.least_duration));
    }

    const MeasuredLog& log_;
    UnitSystem system_;
    std::size_t width_, most_;
    std::string out_;
};

}  // namespace

std::string inspection_text(const MeasuredLog& log, UnitSystem system, std::size_t width, bool all) {
    return Inspection(log, system, width, all).text();
}

}  // namespace pullcast::measure

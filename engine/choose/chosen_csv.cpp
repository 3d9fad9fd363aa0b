#include <fmt/format.h>

#include <cmath>
#include <pullcast/choose/chosen.hpp>

namespace pullcast::choose {
namespace {

/// Quoted where a separator, quote or line break stands in it (RFC 4180).
std::string quoted(const std::string& text) {
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string out = "\"";
    for (const char ch : text) out += ch == '"' ? "\"\"" : std::string(1, ch);
    return out + '"';
}

std::string number(double v) { return std::isnan(v) ? "" : fmt::format("{}", v); }

/// "name [unit]", or the name alone of a number without unit.
std::string head(const std::string& name, const std::string& unit) {
    return quoted(unit.empty() || unit == "1" ? name : fmt::format("{} [{}]", name, unit));
}

Display display_of(const Axis& a, UnitSystem system) { return display_unit(a.knob->unit, system, a.knob->quantity); }
Display display_of(const Column& c, UnitSystem system) {
    return display_unit(c.figure->unit, system, c.figure->quantity);
}

std::string axis_heads(const std::vector<Axis>& axes, UnitSystem system) {
    std::string line;
    for (const auto& a : axes) line += "," + head(a.knob->name, a.is_range() ? display_of(a, system).unit : "");
    return line;
}

/// What an axis is set to; "" where the car is as it stands.
std::string axis_cells(const std::vector<Axis>& axes, const std::vector<double>& values, UnitSystem system) {
    std::string line;
    for (std::size_t a = 0; a < axes.size(); ++a) {
        line += ',';
        if (values.empty()) continue;
        if (axes[a].is_range()) line += number(display_of(axes[a], system)(values[a]));
        else line += quoted(axes[a].knob->choices[static_cast<std::size_t>(values[a])].value);
    }
    return line;
}

}  // namespace

std::string combinations_csv(const Chosen& c, UnitSystem system) {
    std::string out =
        "combination" + axis_heads(c.choices.buy, system) + "," + head("price", c.plan.currency) + ",eligible,failed";
    for (const auto& w : c.choices.wishes) {
        if (!w.column) continue;
        const auto unit = display_of(c.choices.columns[*w.column], system).unit;
        out +=
            "," + head(w.name + " mean", unit) + "," + head(w.name + " sure", unit) + "," + quoted(w.name + " share");
    }
    out += "\n";
    for (const auto& s : c.ranking.standings) {
        const auto& combination = c.plan.combinations[s.combination];
        out += fmt::format("{}{},{},{:d},{}", s.combination, axis_cells(c.choices.buy, combination.values, system),
                           number(combination.price), s.eligible, s.failed);
        for (std::size_t w = 0; w < c.choices.wishes.size(); ++w) {
            if (!c.choices.wishes[w].column) continue;
            const auto display = display_of(c.choices.columns[*c.choices.wishes[w].column], system);
            if (s.failed) out += ",,,";
            else
                out += fmt::format(",{},{},{}", number(display(s.wishes[w].mean)), number(display(s.wishes[w].sure)),
                                   number(s.wishes[w].share));
        }
        out += "\n";
    }
    return out;
}

std::string runs_csv(const Chosen& c, UnitSystem system) {
    std::string out =
        "run,combination" + axis_heads(c.choices.buy, system) + axis_heads(c.choices.meet, system) + ",share";
    for (const auto& column : c.choices.columns) out += "," + head(column.name(), display_of(column, system).unit);
    out += ",failure\n";
    for (const auto& [index, run] : c.runs) {
        const auto& condition = c.plan.condition_of(index);
        out += fmt::format("{},{}{}{},{}", index, index / c.plan.conditions.size(),
                           axis_cells(c.choices.buy, c.plan.combination_of(index).values, system),
                           axis_cells(c.choices.meet, condition.values, system), number(condition.share));
        for (std::size_t k = 0; k < c.choices.columns.size(); ++k)
            out += "," + (run.values.empty() ? "" : number(display_of(c.choices.columns[k], system)(run.values[k])));
        out += "," + quoted(run.failure) + "\n";
    }
    return out;
}

}  // namespace pullcast::choose

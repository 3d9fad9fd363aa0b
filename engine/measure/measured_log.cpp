#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/measured_log.hpp>
#include <pullcast/measure/unit_words.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/units.hpp>

#include "log_time.hpp"

namespace pullcast::measure {
namespace {

class LogMaker {
public:
    LogMaker(MeasuredLog& log, Diagnostics& diagnostics) : log_(log), d_(diagnostics) {}

    bool make() {
        auto repairs = log_.table.repairs;
        const auto before = d_.all().size();
        const auto timeline = timeline_of(log_.table, log_.mapping, repairs, d_);
        if (timeline) take(*timeline);
        for (const auto& map : log_.mapping.channels) add(map, timeline ? timeline->row : std::vector<std::size_t>());
        if (d_.all().size() > before) return false;
        add_barometer();
        for (std::size_t c = 0; c < log_.channels.size(); ++c)
            if (!log_.mapping.channels[c].value)
                find_faults(log_.channels[c], moving(log_.channels[c]), log_.mapping.channels[c], log_.mapping.faults);
        log_.repairs = repairs.all(), log_.rows_left_out = repairs.rows_left_out();
        for (auto& r : log_.repairs)
            std::sort(r.lines.begin(), r.lines.end(), [](auto& a, auto& b) { return a.first < b.first; });
        log_.pulls = find_pulls(log_, log_.mapping.pulls);
        return true;
    }

private:
    void take(const Timeline& t) {
        log_.time = t.time, log_.step = t.step, log_.gaps = t.gap;
        for (const auto r : t.row) log_.line.push_back(log_.table.line[r]);
    }
    Place place(const Place& at) const { return at.source ? at : Place{log_.table.source}; }

    void add(const ChannelMap& map, const std::vector<std::size_t>& rows) {
        Channel c;
        c.kind = map.kind, c.column = map.column, c.accuracy = map.accuracy;
        if (map.value) {
            c.reading.assign(rows.size(), *map.value), c.readings = rows.size();
            c.unit = map.value_text;
        } else if (!read_column(map, rows, c)) {
            return;
        }
        c.masked.resize(rows.size());
        log_.channels.push_back(std::move(c));
    }
    bool read_column(const ChannelMap& map, const std::vector<std::size_t>& rows, Channel& c) {
        const auto* column = log_.table.find(map.column);
        if (!column) {
            std::vector<std::string> names;
            for (const auto& each : log_.table.columns) names.push_back(each.name);
            d_.error(place(map.column_place), fmt::format("no column '{}' in {}", map.column, log_.table.source->name),
                     suggestion(map.column, names));
            return false;
        }
        if (column->text) {
            const auto first =
                std::find_if(column->words.begin(), column->words.end(), [](auto w) { return !w.empty(); });
            d_.error(place(map.column_place),
                     fmt::format("column '{}' holds text, first '{}'", map.column,
                                 first == column->words.end() ? "" : *first),
                     "a channel needs numbers; units stand in the header, not in the cells");
            return false;
        }
        const auto convert = conversion_of(map, *column, c);
        if (!convert) return false;
        c.reading.reserve(rows.size());
        for (const auto r : rows) c.reading.push_back((*convert)(column->numbers[r]));
        c.readings = static_cast<std::size_t>(
            std::count_if(c.reading.begin(), c.reading.end(), [](double v) { return v == v; }));
        if (map.unit.size() && column->unit.size() && unit_name(map.unit) != unit_name(column->unit))
            log_.remarks.push_back(fmt::format("{}: the log gives column '{}' in '{}'; the mapping's '{}' is used",
                                               map.kind->name, map.column, column->unit, map.unit));
        return true;
    }
    static std::string unit_name(const std::string& text) {
        const auto word = unit_word(text);
        return word ? word->unit : text;
    }

    std::optional<Conversion> conversion_of(const ChannelMap& map, const LogColumn& column, Channel& c) {
        c.unit = map.unit.empty() ? column.unit : map.unit;
        const auto at = place(map.unit_place.source ? map.unit_place : map.place);
        const auto fail = [&](std::string message, std::string hint) {
            d_.error(at, std::move(message), std::move(hint));
            return std::nullopt;
        };
        const auto name = map.kind->name;
        if (c.unit.empty() && map.kind->unit != "1")
            return fail(
                fmt::format("column '{}' has no unit in the log, and [channel.{}] states none", map.column, name),
                "unit = \"...\"");
        const auto word = unit_word(c.unit);
        if (word && word->unit == "AFR" && name == "lambda") return from_afr(map, at);
        const auto told = conversion(c.unit.empty() ? "1"
                                     : word         ? word->unit
                                                    : c.unit,
                                     map.kind->unit, {.name = name, .ambient_pressure = 0.0}, c.unit, "");
        if (const auto* wrong = std::get_if<UnitError>(&told))
            return fail(fmt::format("column '{}': {}", map.column, wrong->message), wrong->hint);
        if (map.kind->is_pressure() && !known_reference(map, word, at)) return {};
        return std::get<Conversion>(told);
    }
    std::optional<Conversion> from_afr(const ChannelMap& map, const Place& at) {
        if (map.stoichiometric_afr > 0) return Conversion{1, map.stoichiometric_afr};
        d_.error(at, fmt::format("column '{}' is in AFR and [channel.lambda] has no stoichiometric_afr", map.column),
                 "air over fuel, by mass, at lambda 1, as the logger takes it");
        return {};
    }
    /// What the mapping or the unit's spelling says; a barometer is absolute.
    bool known_reference(const ChannelMap& map, const std::optional<UnitWord>& word, const Place& at) {
        auto is = map.reference;
        if (is == Reference::none && word && word->gauge) is = Reference::gauge;
        if ((is == Reference::none && word && word->absolute) || map.kind->name == "barometer")
            is = Reference::absolute;
        if (is == Reference::gauge) gauges_.push_back(log_.channels.size());
        if (is == Reference::gauge && !log_.mapping.find("barometer"))
            return d_.error(at, fmt::format("{} is a gauge pressure and there is no barometer", map.kind->name),
                            "add [channel.barometer] with its column, or value = \"98.5 kPa\""),
                   false;
        if (is != Reference::none) return true;
        d_.error(at, fmt::format("is '{}' a gauge or an absolute pressure?", map.column),
                 fmt::format("reference = \"gauge\" or \"absolute\" in [channel.{}]", map.kind->name));
        return false;
    }

    /// Gauge pressures become absolute with the barometer's last reading before, or its first.
    void add_barometer() {
        const auto* barometer = log_.find("barometer");
        if (!barometer) return;
        std::vector<double> p(log_.size(), std::nan(""));
        double last = std::nan("");
        const auto* map = log_.mapping.find("barometer");
        for (std::size_t k = 0; k < p.size(); ++k) {
            const double now = barometer->reading[k];
            if (now >= map->low && now <= map->high) last = now;
            p[k] = last;
        }
        for (auto k = p.size(); k-- > 1;)
            if (std::isnan(p[k - 1])) p[k - 1] = p[k];
        for (const auto c : gauges_)
            for (std::size_t k = 0; k < p.size(); ++k) log_.channels[c].reading[k] += p[k];
    }
    /// The speed shows that the engine moves; of the speed itself, what is driven with it.
    const Channel* moving(const Channel& c) const {
        if (c.kind->name != "speed") return log_.find("speed");
        for (const char* name : {"drum_speed", "vehicle_speed", "blower_speed", "manifold_pressure"})
            if (const auto* other = log_.find(name)) return other;
        return nullptr;
    }

    MeasuredLog& log_;
    Diagnostics& d_;
    std::vector<std::size_t> gauges_;  // channels
};

}  // namespace

std::size_t Channel::masked_count() const {
    return static_cast<std::size_t>(std::count(masked.begin(), masked.end(), true));
}

const Channel* MeasuredLog::find(std::string_view channel) const {
    const auto at =
        std::find_if(channels.begin(), channels.end(), [&](const auto& c) { return c.kind->name == channel; });
    return at == channels.end() ? nullptr : &*at;
}

Lines MeasuredLog::lines(std::size_t first, std::size_t last) const { return {line[first], line[last]}; }

std::optional<MeasuredLog> measured_log(LogTable table, LogMapping mapping, Diagnostics& diagnostics) {
    MeasuredLog log;
    log.table = std::move(table), log.mapping = std::move(mapping);
    if (!LogMaker(log, diagnostics).make()) return {};
    return log;
}

}  // namespace pullcast::measure

// A mapping from TOML.
#include <fmt/format.h>

#include <algorithm>
#include <pullcast/measure/log_mapping.hpp>
#include <pullcast/measure/unit_words.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/units.hpp>

#include "log_cells.hpp"
#include "mapping_rules.hpp"

namespace pullcast::measure {
namespace {

constexpr double largest_rate = 1e6;  // samples a second

std::vector<std::string> kind_names() {
    std::vector<std::string> names;
    for (const auto& k : channel_kinds()) names.emplace_back(k.name);
    return names;
}

class ChannelReader {
public:
    ChannelReader(const Entry& entry, const ChannelKind& kind, Diagnostics& d)
        : entry_(entry), d_(d), where_("[channel." + entry.key + "]"), keys_(entry.value, where_, d) {
        out_.kind = &kind, out_.place = entry.place;
        out_.low = kind.low, out_.high = kind.high;
        out_.accuracy = {kind.accuracy, kind.of_reading, true, ""};
    }

    ChannelMap read() {
        if (const auto* e = keys_.text("value")) read_value(*e);
        if (const auto* e = keys_.text("column")) out_.column = *e->value.text(), out_.column_place = e->value.place;
        if (const auto* e = keys_.text("unit")) read_unit(*e);
        if (const auto* e = keys_.text("reference")) read_reference(*e);
        if (const auto* e = keys_.text("accuracy")) read_accuracy(*e);
        if (const auto* e = keys_.text("lowest")) read_limit(*e, out_.low, out_.low_text);
        if (const auto* e = keys_.text("highest")) read_limit(*e, out_.high, out_.high_text);
        if (const auto* e = keys_.find("stoichiometric_afr")) read_afr(*e);
        keys_.finish();
        check_whole();
        return out_;
    }

private:
    void error(const Entry& e, std::string message, std::string hint = {}) {
        d_.error(e.value.place, std::move(message), std::move(hint));
    }
    std::string setting(const Entry& e) const { return fmt::format("{}.{} = {}", entry_.key, e.key, to_text(e.value)); }
    std::optional<double> quantity(const Entry& e, std::string_view text, std::string_view unit) {
        const auto parsed = parse_quantity(text, unit, {.name = e.key});
        if (const auto* v = std::get_if<double>(&parsed)) return *v;
        const auto& wrong = std::get<UnitError>(parsed);
        error(e, fmt::format("{}: {}", setting(e), wrong.message), wrong.hint);
        return {};
    }

    void read_value(const Entry& e) {
        out_.value = quantity(e, *e.value.text(), out_.kind->unit);
        out_.value_text = *e.value.text();
        if (!out_.value || (*out_.value >= out_.kind->low && *out_.value <= out_.kind->high)) return;
        const auto d = display_unit(out_.kind->unit, UnitSystem::metric, out_.kind->name);
        error(e, fmt::format("{} must lie within {:.6g} .. {:.6g} {} ({})", setting(e), d(out_.kind->low),
                             d(out_.kind->high), d.unit, out_.kind->doc));
    }
    void read_unit(const Entry& e) {
        out_.unit = *e.value.text(), out_.unit_place = e.value.place;
        const auto word = unit_word(out_.unit);
        const bool afr = out_.kind->name == "lambda" && word && word->unit == "AFR";
        if (afr) return;
        const auto told = conversion(word && word->unit != "AFR" ? word->unit : out_.unit, out_.kind->unit,
                                     {.name = entry_.key, .ambient_pressure = 0.0}, out_.unit, "");
        const auto* wrong = std::get_if<UnitError>(&told);
        if (wrong) error(e, fmt::format("{}: {}", setting(e), wrong->message), wrong->hint);
        if (out_.kind->is_pressure() && word && word->gauge) out_.reference = Reference::gauge;
        if (out_.kind->is_pressure() && word && word->absolute) out_.reference = Reference::absolute;
    }
    void read_reference(const Entry& e) {
        const auto& word = *e.value.text();
        const auto is = word == "gauge" ? Reference::gauge : word == "absolute" ? Reference::absolute : Reference::none;
        if (is == Reference::none) return error(e, setting(e) + " must be \"gauge\" or \"absolute\"");
        if (!out_.kind->is_pressure()) return error(e, fmt::format("{} is no pressure", entry_.key));
        if (out_.reference != Reference::none && out_.reference != is)
            return error(e, fmt::format("{} contradicts the unit \"{}\"", setting(e), out_.unit));
        out_.reference = is;
    }
    /// "2 kPa", "1 % of reading", "2 kPa + 1 % of reading"
    void read_accuracy(const Entry& e) {
        out_.accuracy = {0, 0, false, *e.value.text()};
        const std::string_view unit = out_.kind->unit == "K" ? "dK" : out_.kind->unit, of = "of reading";
        for (std::string_view rest = *e.value.text(); !rest.empty();) {
            const auto end = std::min(rest.find(" + "), rest.size());
            auto part = trimmed(rest.substr(0, end));
            rest.remove_prefix(std::min(end + 3, rest.size()));
            const bool share = part.ends_with(of);
            if (share) part.remove_suffix(of.size());
            const auto v = quantity(e, part, share ? "1" : unit);
            if (!v) return;
            if (*v < 0) return error(e, setting(e) + " must be at least 0");
            (share ? out_.accuracy.of_reading : out_.accuracy.absolute) += *v;
        }
        if (out_.accuracy.absolute <= 0 && out_.accuracy.of_reading <= 0)
            error(e, setting(e) + " must be greater than 0", "for example \"1 % of reading\"");
    }
    void read_limit(const Entry& e, double& limit, std::string& text) {
        if (const auto v = quantity(e, *e.value.text(), out_.kind->unit)) limit = *v, text = *e.value.text();
    }
    void read_afr(const Entry& e) {
        const auto* real = e.value.as<double>();
        const auto* whole = e.value.as<std::int64_t>();
        const double afr = real ? *real : whole ? static_cast<double>(*whole) : 0;
        if (afr < 3 || afr > 40)
            return error(e, setting(e) + " must lie within 3 .. 40 (air over fuel, by mass, at lambda 1)");
        out_.stoichiometric_afr = afr;
    }

    void check_whole() {
        const auto& at = entry_.place;
        const auto missing = [&](std::string what, std::string hint) { d_.error(at, where_ + what, std::move(hint)); };
        const bool value = keys_.find("value"), column = keys_.find("column");
        if (value && column) missing(" has both a column and a value", "a channel is logged or stated");
        if (!value && !column) missing(" has neither a column nor a value", "column = \"...\", or value = \"...\"");
        if (out_.low >= out_.high) missing(": lowest must be below highest", "");
        const auto word = unit_word(out_.unit);
        if (word && word->unit == "AFR" && out_.stoichiometric_afr == 0 && !keys_.find("stoichiometric_afr"))
            missing(" is in AFR and has no stoichiometric_afr",
                    "air over fuel, by mass, at lambda 1, as the logger takes it");
    }

    const Entry& entry_;
    Diagnostics& d_;
    std::string where_;
    Keys keys_;
    ChannelMap out_;
};

class MappingReader {
public:
    MappingReader(const Value& root, Diagnostics& d) : d_(d), keys_(root, "a mapping", d), out_(empty_mapping()) {}

    LogMapping read() {
        if (const auto* e = keys_.table("log")) read_form(*e);
        if (const auto* e = keys_.table("time")) read_time(*e);
        else d_.error({root_source()}, "no [time]", "[time] names the column of time, or a rate");
        if (const auto* e = keys_.table("channel")) read_channels(*e);
        out_.faults = read_fault_rules(keys_.table("faults"), d_);
        out_.pulls = read_pull_rules(keys_.table("pulls"), d_);
        keys_.finish("the tables of a mapping are [log], [time], [channel.NAME], [faults] and [pulls]");
        check_gauges();
        return out_;
    }

    MappingReader& of(const Source& source) { return source_ = source, *this; }

private:
    Source root_source() const { return source_; }
    void error(const Entry& e, std::string message, std::string hint = {}) {
        d_.error(e.value.place, std::move(message), std::move(hint));
    }

    void read_form(const Entry& table) {
        Keys keys(table.value, "[log]", d_);
        if (const auto* e = keys.text("separator")) {
            const auto& s = *e->value.text();
            const char c = s == "tab" ? '\t' : s.size() == 1 ? s[0] : '\0';
            if (c == ',' || c == ';' || c == '\t' || c == '|') out_.form.separator = c;
            else error(*e, fmt::format("separator = {} must be \",\" \";\" \"tab\" or \"|\"", to_text(e->value)));
        }
        if (const auto* e = keys.text("decimal")) {
            const auto& s = *e->value.text();
            if (s == "." || s == ",") out_.form.decimal = s[0];
            else error(*e, fmt::format("decimal = {} must be \".\" or \",\"", to_text(e->value)));
        }
        if (const auto* e = keys.find("header_line")) {
            const auto* n = e->value.as<std::int64_t>();
            if (n && *n >= 0 && *n <= 100000) out_.form.header_line = static_cast<std::uint32_t>(*n);
            else error(*e, "header_line must be a whole number from 0 to 100000", "0: the log has no header");
        }
        keys.finish();
    }

    void read_time(const Entry& table) {
        auto& t = out_.time;
        t.place = table.place;
        Keys keys(table.value, "[time]", d_);
        if (const auto* e = keys.text("column")) t.column = *e->value.text(), t.column_place = e->value.place;
        if (const auto* e = keys.text("style")) read_style(*e);
        if (const auto* e = keys.text("unit")) read_time_unit(*e);
        if (const auto* e = keys.text("rate")) read_rate(*e);
        if (const auto* e = keys.find("sort")) {
            if (const auto* b = e->value.as<bool>()) t.sort = *b;
            else error(*e, "sort must be true or false");
        }
        const bool samples = t.style == TimeStyle::samples;
        if (t.column.empty() && !samples && !keys.find("column"))
            d_.error(table.place, "[time] has no column", "without one: style = \"samples\" and rate = \"50 Hz\"");
        if (samples && !keys.find("rate")) d_.error(table.place, "[time] has no rate", "for example rate = \"50 Hz\"");
        keys.finish();
    }
    void read_style(const Entry& e) {
        static const std::vector<std::string> styles = {"number", "clock", "date_time", "samples"};
        const auto at = std::find(styles.begin(), styles.end(), *e.value.text());
        if (at == styles.end())
            return error(e, fmt::format("style = {} is no style of time", to_text(e.value)),
                         suggestion(*e.value.text(), styles));
        out_.time.style = static_cast<TimeStyle>(at - styles.begin());
    }
    void read_time_unit(const Entry& e) {
        const auto word = unit_word(*e.value.text());
        const auto told = conversion(word ? word->unit : *e.value.text(), "s", {.name = "unit"}, *e.value.text(), "");
        if (const auto* wrong = std::get_if<UnitError>(&told)) error(e, "time." + wrong->message, "for example \"ms\"");
        else out_.time.unit = word->unit;
    }
    void read_rate(const Entry& e) {
        const auto parsed = parse_quantity(*e.value.text(), "1/s", {.name = "rate"});
        if (const auto* wrong = std::get_if<UnitError>(&parsed))
            return error(e, wrong->message, "for example \"50 Hz\"");
        const double rate = std::get<double>(parsed);
        if (rate <= 0 || rate > largest_rate)
            return error(e, fmt::format("rate = {} must be greater than 0 and at most 1 MHz", to_text(e.value)));
        out_.time.rate = rate;
    }

    void read_channels(const Entry& table) {
        for (const auto& e : *table.value.table()) {
            const auto* kind = find_kind(e.key);
            if (!e.value.table()) error(e, fmt::format("channel.{} must be a table, not {}", e.key, kind_of(e.value)));
            else if (!kind)
                d_.error(e.place, fmt::format("unknown channel '{}'", e.key), suggestion(e.key, kind_names()));
            else out_.channels.push_back(ChannelReader(e, *kind, d_).read());
        }
    }
    void check_gauges() {
        for (const auto& c : out_.channels) {
            if (c.reference != Reference::gauge) continue;
            if (c.kind->name == "barometer")
                d_.error(c.place, "a barometer reads absolute pressure", "reference = \"absolute\"");
            else if (!out_.find("barometer"))
                d_.error(c.place, fmt::format("{} is a gauge pressure and there is no barometer", c.kind->name),
                         "add [channel.barometer] with its column, or value = \"98.5 kPa\"");
        }
    }

    Diagnostics& d_;
    Keys keys_;
    Source source_;
    LogMapping out_;
};

}  // namespace

const ChannelMap* LogMapping::find(std::string_view channel) const {
    const auto at =
        std::find_if(channels.begin(), channels.end(), [&](const auto& c) { return c.kind->name == channel; });
    return at == channels.end() ? nullptr : &*at;
}

std::optional<LogMapping> read_mapping(const Source& source, Diagnostics& d) {
    const auto root = parse_toml(source, d);
    if (!root) return {};
    const auto before = d.all().size();
    auto mapping = MappingReader(*root, d).of(source).read();
    if (d.all().size() > before) return {};
    return mapping;
}

std::optional<LogMapping> read_mapping(const std::filesystem::path& file, Diagnostics& d) {
    const auto source = read_source(file, {}, d);
    return source ? read_mapping(source, d) : std::nullopt;
}

}  // namespace pullcast::measure

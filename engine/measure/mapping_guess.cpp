// A mapping from header words, units and readings; every assumption becomes a remark.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/log_mapping.hpp>
#include <pullcast/measure/unit_words.hpp>
#include <pullcast/scenario/units.hpp>
#include <set>

#include "header_words.hpp"
#include "log_time.hpp"

namespace pullcast::measure {
namespace {

using Words = std::set<std::string, std::less<>>;

/// Accents off: what two bytes of UTF-8 from U+00C0 on stand for.
constexpr std::string_view plain_letters = "aaaaaaaceeeeiiiidnooooo ouuuuy saaaaaaaceeeeiiiidnooooo ouuuuy y";

/// "Ansauglufttemperatur T_1", "engineSpeed": {"ansauglufttemperatur", "t", "1"}, {"engine", "speed"}.
Words words_of(std::string_view text) {
    Words words;
    std::string word;
    const auto flush = [&] {
        if (!word.empty()) words.insert(word);
        word.clear();
    };
    bool small = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if (c == 0xC3 && i + 1 < text.size()) {
            const auto low = static_cast<unsigned char>(text[++i]) & 0x3F;
            word += low == 0x1F ? std::string("ss") : std::string(1, plain_letters[low]);
            small = low >= 0x20;
        } else if (std::isalnum(c)) {
            const bool capital = c >= 'A' && c <= 'Z';
            if (capital && small) flush();
            word += static_cast<char>(std::tolower(c));
            small = c >= 'a' && c <= 'z';
        } else {
            flush(), small = false;
        }
    }
    flush();
    return words;
}

struct Rule {
    std::string_view channel;
    Words words;
    bool bare;  // "speed" alone
};
const std::vector<Rule>& rules() {
    static const std::vector<Rule> all = [] {
        std::vector<Rule> list;
        for (const auto& r : word_rules) list.push_back({r.channel, words_of(r.words), r.words == "speed"});
        return list;
    }();
    return all;
}

/// How well a rule fits the words: 0 not at all.
int fit(const Rule& rule, const Words& words) {
    if (!std::includes(words.begin(), words.end(), rule.words.begin(), rule.words.end())) return 0;
    const auto n = static_cast<int>(rule.words.size());
    return 100 * n - static_cast<int>(words.size()) + n;
}

/// The name speaks of something else, unless the rule itself does.
bool other_thing(const Words& name, const Rule& rule) {
    return std::any_of(std::begin(other_words), std::end(other_words),
                       [&](auto w) { return name.count(w) && !rule.words.count(w); });
}

class Guess {
public:
    Guess(const LogTable& table, bool us, Diagnostics& diagnostics)
        : table_(table), system_(us ? UnitSystem::us : UnitSystem::metric), d_(diagnostics), out_(empty_mapping()) {}

    LogMapping make() {
        out_.form = {table_.separator, table_.decimal, table_.header_line ? std::nullopt : std::optional(0u)};
        guess_time();
        for (const auto& kind : channel_kinds()) guess_channel(kind);
        if (needs_barometer()) assume_barometer();
        for (const auto& c : table_.columns)
            if (!used_.count(c.name)) out_.unused.push_back(c.name);
        return std::move(out_);
    }

private:
    struct Named {
        const LogColumn* column = nullptr;
        int score = 0;
        bool bare = false;  // by "speed" alone
    };
    /// The best rule for a column, and its score for `channel`: 0 where another channel has a better one.
    static Named named(const LogColumn& c, std::string_view channel, auto&& fits_unit) {
        auto words = words_of(c.name);
        const auto name = words_of(heading(c.name).name);
        for (const auto& w : words_of(c.unit)) words.insert(w);
        Named mine{&c, 0, false};
        int others = 0;
        for (const auto& rule : rules()) {
            const int score = fit(rule, words);
            if (score == 0 || other_thing(name, rule) || !fits_unit(rule.channel)) continue;
            if (rule.channel != channel) others = std::max(others, score);
            else if (score > mine.score) mine.score = score, mine.bare = rule.bare;
        }
        if (others > mine.score) mine.score = 0;
        return mine;
    }

    // ---- time -------------------------------------------------------------------------------------------------------
    void guess_time() {
        Named best;
        for (const auto& c : table_.columns) {
            const auto n = named(c, "time", [](std::string_view) { return true; });
            if (n.score > best.score && style_of(c)) best = n;
        }
        const auto& first = table_.columns.front();
        if (!best.column && style_of(first) && rises(first)) best.column = &first;
        if (best.column) return use_time(*best.column);
        out_.time.style = TimeStyle::samples;
        out_.time.remark = "no column of time was found: name it, or state the rate of the samples";
        d_.error({table_.source}, "no column of time was found",
                 "a mapping states it: [time] with column = \"...\", or style = \"samples\" and rate = \"50 Hz\"");
    }
    static bool rises(const LogColumn& c) {
        if (c.text) return true;
        for (std::size_t k = 1; k < c.numbers.size(); ++k)
            if (!(c.numbers[k] > c.numbers[k - 1])) return false;
        return true;
    }
    std::optional<TimeStyle> style_of(const LogColumn& c) const {
        if (!c.text) {
            const auto word = unit_word(c.unit);
            if (c.unit.empty()) return TimeStyle::number;
            const auto told = conversion(word ? word->unit : c.unit, "s", {}, c.unit, "");
            return std::holds_alternative<Conversion>(told) ? std::optional(TimeStyle::number) : std::nullopt;
        }
        const auto most = [&](auto&& parse) {
            const auto n = std::min<std::size_t>(c.words.size(), 50);
            return 2 * std::count_if(c.words.begin(), c.words.begin() + static_cast<std::ptrdiff_t>(n), parse) >
                   static_cast<std::ptrdiff_t>(n);
        };
        if (most([](auto w) { return clock_seconds(w).has_value(); })) return TimeStyle::clock;
        if (most([](auto w) { return date_time_seconds(w).has_value(); })) return TimeStyle::date_time;
        return {};
    }
    void use_time(const LogColumn& c) {
        used_.insert(c.name);
        out_.time.column = c.name, out_.time.style = *style_of(c);
        if (out_.time.style != TimeStyle::number) return;
        if (!c.unit.empty()) {
            out_.time.unit = unit_word(c.unit)->unit;
            return;
        }
        out_.time.unit = usual_step(c) >= 5 ? "ms" : "s";
        out_.time.remark = fmt::format("assumed: the log gives no unit; its usual step is {:.3g}", usual_step(c));
    }
    static double usual_step(const LogColumn& c) {
        std::vector<double> steps;
        for (std::size_t k = 1; k < c.numbers.size(); ++k)
            if (c.numbers[k] > c.numbers[k - 1]) steps.push_back(c.numbers[k] - c.numbers[k - 1]);
        if (steps.empty()) return 0;
        const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
        std::nth_element(steps.begin(), middle, steps.end());
        return *middle;
    }

    // ---- channels ---------------------------------------------------------------------------------------------------
    bool unit_fits(const ChannelKind& kind, const LogColumn& c) const {
        if (c.unit.empty()) return true;
        const auto word = unit_word(c.unit);
        if (!word) return false;
        if (word->unit == "AFR") return kind.name == "lambda";
        return std::holds_alternative<Conversion>(
            conversion(word->unit, kind.unit, {.ambient_pressure = 0.0}, c.unit, ""));
    }
    void guess_channel(const ChannelKind& kind) {
        Named best;
        for (const auto& c : table_.columns) {
            if (c.text || used_.count(c.name) || !unit_fits(kind, c)) continue;
            const auto fits = [&](std::string_view channel) {
                const auto* k = find_kind(channel);
                return k && unit_fits(*k, c);
            };
            const auto n = named(c, kind.name, fits);
            if (n.score > best.score && !(n.bare && c.unit.empty())) best = n;
        }
        if (best.column) use(kind, *best.column);
    }
    void use(const ChannelKind& kind, const LogColumn& c) {
        used_.insert(c.name);
        ChannelMap m;
        m.kind = &kind, m.column = c.name, m.low = kind.low, m.high = kind.high;
        m.accuracy = {kind.accuracy, kind.of_reading, true, ""};
        m.unit = c.unit.empty() ? assumed_unit(kind, c, m) : c.unit;
        if (const auto word = unit_word(m.unit); word && word->unit == "AFR") {
            m.stoichiometric_afr = 14.7;
            add(m, "assumed: 14.7 kg of air a kg of fuel at lambda 1, as for petrol");
        }
        if (kind.name == "manifold_pressure") guess_reference(m, c);
        out_.channels.push_back(std::move(m));
    }
    static void add(ChannelMap& m, const std::string& remark) { m.remark += (m.remark.empty() ? "" : "; ") + remark; }
    static double largest(const LogColumn& c) {
        double largest = 0;
        for (const double v : c.numbers) largest = std::fabs(v) > largest ? std::fabs(v) : largest;
        return largest;
    }
    std::string assumed_unit(const ChannelKind& kind, const LogColumn& c, ChannelMap& m) const {
        auto unit = display_unit(kind.unit, system_, kind.name).unit;
        const auto words = words_of(c.name);
        const double high = largest(c);
        if (kind.unit == "1") unit = high > (kind.name == "lambda" ? 5 : 1.5) ? "%" : "1";
        if (kind.name == "lambda" && (words.count("afr") || high > 5)) unit = "AFR";
        if (kind.is_pressure() && system_ == UnitSystem::metric) unit = high < 10 ? "bar" : high > 700 ? "mbar" : "kPa";
        const bool named = unit == "1" || unit == "AFR" || words.count(unit);
        if (!named) add(m, "assumed: the log gives no unit");
        return unit;
    }
    /// From the unit's spelling; gauge where a hundredth of the readings is below zero or the name says boost; absolute
    /// elsewhere.
    void guess_reference(ChannelMap& m, const LogColumn& c) const {
        const auto word = unit_word(m.unit);
        if (!word) return;
        if (word->gauge || word->absolute)
            return void(m.reference = word->gauge ? Reference::gauge : Reference::absolute);
        const auto si = std::get<Conversion>(conversion(word->unit, "Pa", {.ambient_pressure = 0.0}, m.unit, ""));
        const auto below = std::count_if(c.numbers.begin(), c.numbers.end(), [&](double v) { return si(v) < -2e3; });
        const bool vacuum = 100 * below >= static_cast<std::ptrdiff_t>(c.numbers.size());
        const auto words = words_of(c.name);
        const bool absolute = words.count("map") || words.count("abs") || words.count("absolute");
        const bool boost = !absolute && (words.count("boost") || words.count("ladedruck"));
        m.reference = vacuum || boost ? Reference::gauge : Reference::absolute;
        add(m, vacuum  ? "assumed: gauge, because it reads below zero"
               : boost ? "assumed: gauge, because of its name"
                       : "assumed: absolute, because it does not read below zero");
    }
    bool needs_barometer() const {
        const auto gauge = [](const ChannelMap& m) { return m.reference == Reference::gauge; };
        return !out_.find("barometer") && std::any_of(out_.channels.begin(), out_.channels.end(), gauge);
    }
    void assume_barometer() {
        const auto& kind = *find_kind("barometer");
        ChannelMap m;
        m.kind = &kind, m.value = 101325, m.value_text = "101.325 kPa", m.low = kind.low, m.high = kind.high;
        m.accuracy = {kind.accuracy, kind.of_reading, true, ""};
        m.remark = "assumed: the log has no barometer; state the pressure of the place and day";
        out_.channels.push_back(std::move(m));
    }

    const LogTable& table_;
    UnitSystem system_;
    Diagnostics& d_;
    LogMapping out_;
    std::set<std::string> used_;
};

}  // namespace

LogMapping guess_mapping(const LogTable& table, bool us, Diagnostics& diagnostics) {
    return Guess(table, us, diagnostics).make();
}

}  // namespace pullcast::measure

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/sweep_choices.hpp>
#include <pullcast/scenario/keys.hpp>

#include "wish_reader.hpp"

namespace pullcast::choose {
namespace {

constexpr std::int64_t most_rows = 1'000'000, most_runs = 10'000'000;
constexpr std::int64_t most_seed = 1'000'000'000, most_listed = 1000, most_base = 1 << 16;
constexpr std::size_t most_sampled = 64, most_compared = 32;  // axes: of sampling.hpp, of sensitivity.hpp
constexpr std::size_t usual_met = 16;

bool turns_step(const Knob& k) {
    return std::any_of(k.sets.begin(), k.sets.end(), [](const std::string& path) { return path.starts_with("step."); });
}

/// The least number of pulls that the session surely has: those of a repetition that may end early count once.
std::size_t pulls_in(const Session& session) {
    std::size_t n = 0;
    for (const auto& turn : session.turns) {
        const auto own = std::count_if(turn.steps.begin(), turn.steps.end(),
                                       [&](std::size_t k) { return session.steps[k].kind == SessionStep::Kind::pull; });
        n += static_cast<std::size_t>(own) * (turn.until ? 1 : turn.times);
    }
    return n;
}

class ChoicesReader : TableReader {
public:
    ChoicesReader(const Study& study, Diagnostics& d) : TableReader(out_, d), study_(study) {}

    SweepChoices read() {
        if (study_.buy) read_axes(*study_.buy, true);
        if (study_.meet) read_axes(*study_.meet, false);
        if (study_.choose) read_table();
        if (study_.wish)
            for (const auto& e : *study_.wish->table()) WishReader(out_, d_).read(e);
        check();
        return std::move(out_);
    }

private:
    // ---- axes
    void read_axes(const Value& table, bool bought) {
        for (const auto& e : *table.table()) {
            const auto where = fmt::format("[{}.{}]", bought ? "buy" : "meet", e.key);
            if (!e.value.table()) {
                d_.error(e.value.place, fmt::format("{} must be a table, not {}", e.key, kind_of(e.value)),
                         "write " + where);
                continue;
            }
            if (const auto* knob = knob_for(e, where)) read_axis(e, *knob, bought, where);
        }
    }

    const Knob* knob_for(const Entry& e, const std::string& where) {
        std::vector<std::string> names;
        const Knob* found = nullptr;
        for (const auto& k : study_.knobs) {
            names.push_back(k.name);
            if (k.name == e.key) found = &k;
        }
        if (!found) {
            d_.error(e.place, fmt::format("{}: the study has no knob '{}'", where, e.key),
                     names.empty() ? "[knob.NAME] says what it turns" : suggestion(e.key, names));
            return nullptr;
        }
        const auto same = [&](const Axis& a) { return a.knob == found; };
        if (std::any_of(out_.buy.begin(), out_.buy.end(), same)) {
            d_.error(e.place, fmt::format("{}: '{}' is bought already; it cannot be met as well", where, e.key));
            return nullptr;
        }
        if (turns_step(*found)) {
            d_.error(e.place, fmt::format("{}: the knob turns a step of the session, which a sweep does not", where),
                     "a knob that sets the rig itself");
            return nullptr;
        }
        return found;
    }

    void read_axis(const Entry& e, const Knob& knob, bool bought, const std::string& where) {
        Keys keys(e.value, where, d_);
        Axis axis{&knob, bought, {}, 0, {}};
        const auto* shares = bought ? nullptr : keys.find("shares");
        const auto* count = keys.find("count");
        const auto *mean = bought ? nullptr : keys.find("mean"), *deviation = bought ? nullptr : keys.find("deviation");
        keys.finish();
        if (!axis.is_range()) {
            for (const auto* other : {count, mean, deviation})
                if (other)
                    d_.error(other->place, fmt::format("{} in {}: the knob has choices, no range", other->key, where));
            axis.shares.assign(knob.choices.size(), 1.0 / static_cast<double>(knob.choices.size()));
            if (shares) read_shares(*shares, where, axis);
        } else {
            if (shares) d_.error(shares->place, fmt::format("shares in {}: the knob has a range, no choices", where));
            axis.count = count ? whole(*count, where, 1, most_levels).value_or(1) : 0;
            read_normal(mean, deviation, e, where, axis);
        }
        (bought ? out_.buy : out_.meet).push_back(std::move(axis));
    }

    void read_shares(const Entry& e, const std::string& where, Axis& axis) {
        const auto* list = e.value.as<std::vector<Value>>();
        std::vector<double> shares;
        for (std::size_t k = 0; list && k < list->size(); ++k)
            if (const auto n = number((*list)[k]); n && *n >= 0) shares.push_back(*n);
        double sum = 0;
        for (const double s : shares) sum += s;
        if (!list || list->size() != axis.shares.size() || shares.size() != list->size() || !(sum > 0))
            return void(d_.error(e.value.place,
                                 fmt::format("shares in {} must be a list of {} numbers, none below 0 and one above it",
                                             where, axis.shares.size()),
                                 "one for each choice of the knob"));
        for (auto& s : shares) s /= sum;
        axis.shares = shares;
    }

    void read_normal(const Entry* mean, const Entry* deviation, const Entry& e, const std::string& where, Axis& axis) {
        if (!mean && !deviation) return;
        if (!mean || !deviation)
            return void(d_.error(e.place, fmt::format("{} has a {} and no {}", where, mean ? "mean" : "deviation",
                                                      mean ? "deviation" : "mean")));
        const auto& knob = *axis.knob;
        const auto m = quantity(mean->value, knob.unit, mean->key, where);
        const auto s = quantity(deviation->value, knob.unit == "K" ? "dK" : knob.unit, deviation->key, where);
        if (!m || !s) return;
        if (!(*m >= knob.from && *m <= knob.to))
            d_.error(mean->value.place,
                     fmt::format("mean = {} in {} is outside the range of the knob", to_text(mean->value), where));
        else if (!(*s > 0))
            d_.error(deviation->value.place,
                     fmt::format("deviation = {} in {} must be above 0", to_text(deviation->value), where));
        else axis.normal = {*m, *s};
    }

    // ---- [choose]
    void read_table() {
        constexpr const char* where = "[choose]";
        Keys keys(*study_.choose, where, d_);
        if (const auto* e = keys.find("combinations")) out_.combinations = all_or_whole(*e);
        if (const auto* e = keys.find("met")) out_.met = all_or_whole(*e), met_told_ = true;
        if (const auto* e = keys.text("sampling")) {
            const std::vector<std::string> known{"Sobol", "Latin hypercube"};
            const auto at = std::find(known.begin(), known.end(), *e->value.text());
            if (at == known.end())
                d_.error(e->value.place, fmt::format("sampling = {} is none", to_text(e->value)),
                         "\"Sobol\" or \"Latin hypercube\"");
            else out_.sampling = static_cast<Sampling>(at - known.begin());
        }
        if (const auto* e = keys.find("seed")) out_.seed = whole(*e, where, 0, most_seed).value_or(1);
        if (const auto* e = keys.find("shortlist")) out_.shortlist = whole(*e, where, 1, most_listed).value_or(1);
        if (const auto* e = keys.find("sensitivity")) out_.sensitivity = whole(*e, where, 0, most_base).value_or(0);
        if (const auto* e = keys.find("figures")) read_figures(*e);
        keys.finish();
    }

    std::optional<std::size_t> all_or_whole(const Entry& e) {
        if (e.value.text() && *e.value.text() == "all") return {};
        const auto* n = e.value.as<std::int64_t>();
        if (n && *n >= 1 && *n <= most_rows) return static_cast<std::size_t>(*n);
        d_.error(e.value.place, fmt::format("{} = {} in [choose] must be \"all\" or a whole number from 1 to {}", e.key,
                                            to_text(e.value), most_rows));
        return 1;
    }

    void read_figures(const Entry& e) {
        const auto* list = e.value.as<std::vector<Value>>();
        if (!list) return void(d_.error(e.value.place, "figures in [choose] must be a list of keys"));
        for (const auto& v : *list)
            if (const auto* f = v.text() ? figure_named(v) : nullptr) column_of(f, 0);
            else if (!v.text())
                d_.error(v.place, fmt::format("figures in [choose] must hold strings, not {}", kind_of(v)));
    }

    // ---- what belongs together
    void check() {
        const Place file{study_.source};
        if (out_.buy.empty())
            d_.error(file, "nothing to choose from", "[buy.NAME] names a knob that one decides about");
        const auto prefers = [](const Wish& w) { return w.prefer && w.column; };
        if (std::none_of(out_.wishes.begin(), out_.wishes.end(), prefers))
            d_.error(file, "no wish says what is preferred",
                     "[wish.NAME] with a figure and prefer = \"more\" or \"less\"");
        const auto ranges = [](const std::vector<Axis>& axes) {
            return std::any_of(axes.begin(), axes.end(), [](const Axis& a) { return a.is_range() && a.count == 0; });
        };
        if (!met_told_ && ranges(out_.meet)) out_.met = usual_met;
        const double rows = check_counts(out_.buy, out_.combinations, "combinations", "buy") *
                            check_counts(out_.meet, out_.met, "met", "meet");
        if (!d_.failed() && rows > static_cast<double>(most_runs))
            d_.error(file, fmt::format("{:.3g} runs: at most {}", rows, most_runs),
                     "combinations and met in [choose] sample them");
        if (out_.sensitivity > 0 && out_.meet.size() > most_compared)
            d_.error(file,
                     fmt::format("{} knobs are met: which matters can be said of at most {}", out_.meet.size(),
                                 most_compared),
                     "sensitivity = 0 in [choose]");
        check_pulls();
        order_columns();
    }

    /// How many there are.
    double check_counts(const std::vector<Axis>& axes, const std::optional<std::size_t>& sampled, const char* key,
                        const char* table) {
        double all = 1;
        for (const auto& a : axes) {
            if (!sampled && a.levels() == 0)
                d_.error(
                    a.knob->place,
                    fmt::format("[{}.{}] is a range without count, and all {} are asked for", table, a.knob->name, key),
                    fmt::format("count = 5, or {} = 100 in [choose]", key));
            all *= static_cast<double>(std::max<std::size_t>(a.levels(), 1));
        }
        if (sampled && axes.size() > most_sampled)
            d_.error({study_.source},
                     fmt::format("{} tables [{}.NAME]: at most {} are sampled", axes.size(), table, most_sampled));
        if (!sampled && all > static_cast<double>(most_rows))
            d_.error({study_.source}, fmt::format("{:.3g} {}: at most {}", all, key, most_rows),
                     fmt::format("{} = 1000 in [choose] samples them", key));
        return sampled && !axes.empty() ? static_cast<double>(*sampled) : all;
    }

    void check_pulls() {
        for (const auto& c : out_.columns) out_.pulls = std::max(out_.pulls, c.pull);
        if (out_.pulls == 0) return;
        if (!study_.session)
            return void(d_.error({study_.source}, "a wish is about a pull of a session, and the study has none",
                                 "[session] gives the order of steps, [step.NAME] describes each"));
        const auto has = pulls_in(*study_.session);
        if (out_.pulls > has)
            d_.error({study_.source}, fmt::format("a wish is about pull {}: the session has {}", out_.pulls, has));
        for (auto& c : out_.columns)  // what names no pull is read of the first
            if (c.pull == 0) c.pull = 1;
    }

    /// In the order of the figures, each once: runs that are kept serve wishes in any order.
    void order_columns() {
        const auto key = [](const Column& c) { return std::pair(c.figure, c.pull); };
        const auto before = [&](const Column& a, const Column& b) { return key(a) < key(b); };
        const auto same = [&](const Column& a, const Column& b) { return key(a) == key(b); };
        auto& all = out_.columns;
        const auto as_read = all;
        std::sort(all.begin(), all.end(), before);
        all.erase(std::unique(all.begin(), all.end(), same), all.end());
        for (auto& w : out_.wishes)
            if (w.column) w.column = std::lower_bound(all.begin(), all.end(), as_read[*w.column], before) - all.begin();
    }

    const Study& study_;
    SweepChoices out_;
    bool met_told_ = false;
};

}  // namespace

SweepChoices read_sweep_choices(const Study& study, Diagnostics& diagnostics) {
    return ChoicesReader(study, diagnostics).read();
}

}  // namespace pullcast::choose

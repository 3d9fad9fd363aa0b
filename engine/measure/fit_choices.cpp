#include <fmt/format.h>

#include <algorithm>
#include <pullcast/measure/fit_choices.hpp>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>

#include "quantities.hpp"

namespace pullcast::measure {
namespace {

constexpr const char* of_pull = "pull";

/// Components that take the shared value, and have none of their own.
std::vector<Parameter::Place> shared_places(const std::string& key, const Variant& v) {
    std::vector<Parameter::Place> all;
    const auto shared = v.common.find(key);
    if (shared == v.common.end()) return all;
    for (const auto& c : v.rig.components)
        for (const auto& f : fields_of(*c.type)) {
            if (!is_parameter(f) || !f.common || key != f.common) continue;
            const auto set = c.parameters.find(f.name);
            const auto* value = set == c.parameters.end() ? nullptr : std::get_if<double>(&set->second);
            if (value && *value == shared->second) all.push_back({c.name, f.name});
        }
    return all;
}

const Field* field_at(const Parameter::Place& place, const Variant& v) {
    for (const auto& c : v.rig.components)
        if (c.name == place.component) return parameter_of(c, place.key);
    return nullptr;
}

class ChoiceReader {
public:
    ChoiceReader(const Entry& entry, const Study& study, Diagnostics& d)
        : entry_(entry),
          study_(study),
          d_(d),
          where_(fmt::format("[fit.{}]", entry.key)),
          keys_(entry.value, where_, d) {}

    std::optional<FitChoice> read() {
        out_.name = entry_.key, out_.place = entry_.place;
        out_.title = keys_.text_or("title", entry_.key);
        const auto *scales = keys_.find("scales"), *moves = keys_.find("moves");
        if (!scales == !moves)
            d_.error(entry_.place, fmt::format("{} needs either 'scales' or 'moves'", where_),
                     "scales = [\"component.key\"] for a factor, moves = [...] for a number with its unit");
        const auto* paths = scales ? scales : moves;
        out_.kind = scales ? Parameter::Kind::factor : Parameter::Kind::number;
        if (paths) read_paths(*paths);
        read_belongs();
        if (const auto* e = keys_.text("measured")) read_measured(*e);
        if (const auto* e = keys_.find("pulls")) read_pulls(*e);
        const auto *lowest = keys_.find("lowest"), *highest = keys_.find("highest"), *expected = keys_.find("expected"),
                   *deviation = keys_.find("deviation"), *reading = keys_.find("reading_deviation");
        keys_.finish();
        if (!paths || out_.unit.empty()) return {};
        if (const auto v = number(lowest, out_.unit)) out_.lowest = *v;
        if (const auto v = number(highest, out_.unit)) out_.highest = *v;
        out_.expected = number(expected, out_.unit);
        out_.deviation = number(deviation, difference_unit(out_.unit));
        out_.reading_deviation = number(reading, difference_unit(out_.unit)).value_or(0);
        check_whole();
        return out_;
    }

private:
    void read_paths(const Entry& e) {
        const auto* list = e.value.as<std::vector<Value>>();
        const auto all = list ? *list : std::vector<Value>{e.value};
        for (const auto& v : all)
            if (v.text()) out_.paths.push_back(*v.text());
        if (out_.paths.empty() || out_.paths.size() < all.size()) {
            d_.error(e.value.place, fmt::format("{} in {} must name settings", e.key, where_),
                     "write \"component.key\" or \"common.key\", or a list of these");
            return;
        }
        for (const auto& v : all) read_path(*v.text(), v.place);
    }

    /// It must be there, and of a kind that can be fitted, in every pull.
    void read_path(const std::string& path, const Place& at) {
        for (const auto& pull : study_.pulls) {
            const auto places = places_of(path, pull.variant);
            if (places.empty()) {
                d_.error(at, fmt::format("'{}' in {} is no setting of pull '{}'", path, where_, pull.variant.name),
                         hint_for(path, pull.variant));
                return;
            }
            try {
                value_of(pull.variant.rig, {entry_.key, places, out_.kind});
            } catch (const std::invalid_argument& e) {
                d_.error(at, e.what());
                return;
            }
            if (!same_unit(path, *field_at(places[0], pull.variant), at)) return;
        }
    }
    /// All settings of a choice take one value.
    bool same_unit(const std::string& path, const Field& f, const Place& at) {
        const bool factor = out_.kind == Parameter::Kind::factor;
        const std::string unit = factor ? "1" : f.unit;
        if (out_.unit.empty()) field_ = &f, out_.unit = unit, out_.quantity = factor ? "factor" : f.name;
        if (out_.unit == unit) return true;
        d_.error(at, fmt::format("'{}' in {} is in {}, and '{}' in {}", path, where_, unit, out_.paths[0], out_.unit),
                 "one value moves all of them; scales = [...] takes a factor instead");
        return false;
    }
    static std::string hint_for(const std::string& path, const Variant& v) {
        const auto words = path_words(path);
        if (words.size() != 2) return "write \"component.key\" or \"common.key\"";
        std::vector<std::string> names;
        if (words[0] == "common") {
            if (v.common.contains(words[1])) return "every component that could take it has a value of its own";
            for (const auto& [key, value] : v.common) names.push_back(key);
            return suggestion(words[1], names);
        }
        for (const auto& c : v.rig.components) {
            if (words[0] == c.name) {
                std::vector<const Field*> fields;
                for (const auto& f : fields_of(*c.type))
                    if (is_parameter(f)) fields.push_back(&f);
                return field_suggestion(words[1], fields);
            }
            names.push_back(c.name);
        }
        return suggestion(words[0], names);
    }

    void read_belongs() {
        const auto* e = keys_.text("per");
        if (!e) return;
        const auto& word = *e->value.text();
        if (word == "variant") out_.belongs = Belongs::variant;
        else if (word == of_pull) out_.belongs = Belongs::pull;
        else if (word != "all")
            d_.error(e->value.place,
                     fmt::format("per = \"{}\" in {} must be \"all\", \"variant\" or \"pull\"", word, where_),
                     "one value for all pulls, one a variant, or one a pull");
    }
    void read_pulls(const Entry& e) {
        std::vector<std::string> known;
        for (const auto& p : study_.pulls) known.push_back(p.variant.name);
        const auto* list = e.value.as<std::vector<Value>>();
        for (std::size_t k = 0; list && k < list->size(); ++k) {
            const auto* name = (*list)[k].text();
            if (name && std::find(known.begin(), known.end(), *name) != known.end()) out_.pulls.push_back(*name);
            else
                d_.error((*list)[k].place, fmt::format("pulls in {}: no pull {}", where_, to_text((*list)[k])),
                         name ? suggestion(*name, known) : "");
        }
        if (!list || list->empty()) d_.error(e.value.place, fmt::format("pulls in {} must be a list of pulls", where_));
        else if (out_.belongs != Belongs::pull)
            d_.error(e.value.place, fmt::format("pulls in {} needs per = \"pull\"", where_),
                     "in the other pulls it is what the rig says");
    }
    void read_measured(const Entry& e) {
        out_.measured = find_kind(*e.value.text());
        std::vector<std::string> names;
        for (const auto& k : channel_kinds()) names.emplace_back(k.name);
        if (!out_.measured)
            d_.error(e.value.place, fmt::format("measured = \"{}\" in {} is no channel", *e.value.text(), where_),
                     suggestion(*e.value.text(), names));
        else if (out_.belongs != Belongs::pull)
            d_.error(e.value.place, fmt::format("measured in {} needs per = \"pull\"", where_),
                     "each pull has a start of its own");
        else if (!out_.unit.empty() && out_.measured->unit != out_.unit)
            d_.error(e.value.place, fmt::format("{} is measured in {}, {} is fitted in {}", out_.measured->name,
                                                out_.measured->unit, out_.name, out_.unit));
    }
    std::optional<double> number(const Entry* e, const std::string& unit) {
        return e ? quantity(*e, unit, where_, d_) : std::nullopt;
    }
    void check_whole() {
        const auto *highest = keys_.find("highest"), *expected = keys_.find("expected"),
                   *deviation = keys_.find("deviation"), *reading = keys_.find("reading_deviation");
        const auto wrong = [&](const Entry& e, const std::string& what, const std::string& hint = {}) {
            d_.error(e.value.place, fmt::format("{} = {} in {} {}", e.key, to_text(e.value), where_, what), hint);
        };
        if (out_.lowest >= out_.highest) wrong(*highest, "must be above lowest");
        if (out_.deviation && *out_.deviation <= 0) wrong(*deviation, "must be greater than 0");
        if (expected && !deviation)
            wrong(*expected, "says what is expected, and not how surely", "deviation = ..., one standard deviation");
        if (deviation && !expected)
            wrong(*deviation, "says how surely something is expected, and not what",
                  out_.measured ? "reading_deviation = ... goes with 'measured'" : "expected = ...");
        if (out_.expected && (*out_.expected < out_.lowest || *out_.expected > out_.highest))
            wrong(*expected, "lies outside lowest .. highest");
        else if (out_.expected && out_.kind == Parameter::Kind::number && !in_bounds(*field_, *out_.expected))
            tell_bounds(*field_, fmt::format("{} = {} in {}", expected->key, to_text(expected->value), where_),
                        expected->value.place, d_);
        if (reading && !out_.measured) wrong(*reading, "needs 'measured'", "measured = ... names a channel of the log");
        if (out_.reading_deviation < 0) wrong(*reading, "must be at least 0");
    }

    const Entry& entry_;
    const Study& study_;
    Diagnostics& d_;
    std::string where_;
    Keys keys_;
    FitChoice out_;
    const Field* field_ = nullptr;  // of the first setting
};

}  // namespace

std::vector<Parameter::Place> places_of(const std::string& path, const Variant& v) {
    const auto words = path_words(path);
    if (words.size() != 2) return {};
    if (words[0] == "common") return shared_places(words[1], v);
    for (const auto& c : v.rig.components)
        if (c.name == words[0] && parameter_of(c, words[1])) return {{words[0], words[1]}};
    return {};
}

std::vector<FitChoice> read_fit_choices(const Study& study, Diagnostics& d) {
    std::vector<FitChoice> all;
    if (!study.fit) return all;
    for (const auto& e : *study.fit->table()) {
        if (!e.value.table()) {
            d.error(e.value.place, fmt::format("'{}' in [fit] must be a table, not {}", e.key, kind_of(e.value)),
                    fmt::format("write [fit.{}]", e.key));
            continue;
        }
        if (auto choice = ChoiceReader(e, study, d).read()) all.push_back(std::move(*choice));
    }
    return all;
}

}  // namespace pullcast::measure

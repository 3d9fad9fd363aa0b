#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

/// What stands behind '=': a whole number bare, all else in quotes.
std::string written(const Knob& knob, const std::string& value) {
    std::int64_t n = 0;
    const char *begin = value.data(), *end = begin + value.size();
    const auto [last, failure] = std::from_chars(begin, end, n);
    return knob.whole && failure == std::errc() && last == end ? fmt::format("{}", n) : toml_string(value);
}

[[noreturn]] void fail(const Place& at, std::string message, std::string hint) {
    throw ScenarioError({{Severity::error, at, std::move(message), std::move(hint), {}}});
}

const Knob& find_knob(const Study& study, const std::string& name) {
    std::vector<std::string> names;
    for (const auto& k : study.knobs) {
        if (k.name == name) return k;
        names.push_back(k.name);
    }
    fail({study.source},
         names.empty() ? fmt::format("no knob {}: the study has none", toml_string(name))
                       : fmt::format("no knob {}", toml_string(name)),
         names.empty() ? "[knob.NAME] declares one" : suggestion(name, names));
}

void check_choice(const Knob& knob, const std::string& value) {
    const auto same = [&](const Choice& c) { return c.value == value; };
    if (knob.choices.empty() || std::any_of(knob.choices.begin(), knob.choices.end(), same)) return;
    std::vector<std::string> values;
    for (const auto& c : knob.choices) values.push_back(c.value);
    fail(knob.place, fmt::format("knob '{}' has no choice {}", knob.name, toml_string(value)),
         fmt::format("one of: {}", fmt::join(values, ", ")));
}

/// What is no number of the knob's unit at all is told where it is read.
void check_range(const Knob& knob, const std::string& value) {
    if (!knob.choices.empty()) return;
    const auto parsed = parse_quantity(value, knob.unit, {.name = knob.quantity, .ambient_pressure = {}});
    const auto* si = std::get_if<double>(&parsed);
    const double rounding = 1e-9 * (knob.to - knob.from);  // of a number that was converted for show
    if (!si || (*si >= knob.from - rounding && *si <= knob.to + rounding)) return;
    const auto shown = display_unit(knob.unit, UnitSystem::metric, knob.quantity);
    fail(knob.place, fmt::format("knob '{}' = {} is beyond its range", knob.name, toml_string(value)),
         fmt::format("from {:.6g} to {:.6g}{}", shown(knob.from), shown(knob.to),
                     shown.unit == "1" ? "" : " " + shown.unit));
}

std::vector<std::string> names_of(const Study& study) {
    std::vector<std::string> names;
    for (const auto& v : study.variants) names.push_back(v.name);
    return names;
}

/// A line of a table of changes for each path that the knobs set.
std::string lines_of(const Study& study, const std::map<std::string, std::string>& values) {
    std::string lines;
    for (const auto& [knob_name, value] : values) {
        const auto& knob = find_knob(study, knob_name);
        check_choice(knob, value);
        check_range(knob, value);
        for (const auto& path : knob.sets) lines += fmt::format("{} = {}\n", toml_string(path), written(knob, value));
    }
    return lines;
}

/// The study's own text, ended by a line break and an empty line.
std::string text_to_extend(const Study& study) {
    auto text = study.source->text;
    if (!text.empty() && text.back() != '\n') text += '\n';
    return text + '\n';
}

Source beside_study(const Study& study, std::string text) {
    return std::make_shared<const SourceFile>(SourceFile{study.source->name, std::move(text)});
}

std::string free_name(const std::vector<std::string>& taken) {
    std::string name = "live";
    for (int k = 2; std::find(taken.begin(), taken.end(), name) != taken.end(); ++k) name = fmt::format("live-{}", k);
    return name;
}

}  // namespace

TurnedStudy with_variant(const Study& study, const std::string& start,
                         const std::map<std::string, std::string>& values) {
    const auto names = names_of(study);
    if (std::find(names.begin(), names.end(), start) == names.end())
        fail({study.source}, fmt::format("no variant {}", toml_string(start)), suggestion(start, names));
    const auto name = free_name(names);
    auto text = text_to_extend(study);
    text += fmt::format("[variant.{}]\ntitle = \"as turned\"\nlike = {}\n", name, toml_string(start));
    if (!values.empty()) text += fmt::format("[variant.{}.set]\n{}", name, lines_of(study, values));
    return {beside_study(study, std::move(text)), name};
}

Source with_turned(const Study& study, const std::map<std::string, std::string>& values) {
    if (values.empty()) return study.source;
    return beside_study(study, text_to_extend(study) + "[[turned]]\n" + lines_of(study, values));
}

std::string knob_at(const Study& study, const Place& place) {
    if (!place.source || !place.line || place.source->name != study.source->name) return {};
    const auto own_lines = std::count(study.source->text.begin(), study.source->text.end(), '\n');
    const auto line = place.source->line(place.line);
    for (const auto& k : study.knobs) {
        if (place.line == k.place.line) return k.name;
        const auto sets = [&](const std::string& path) { return line.starts_with(toml_string(path) + " = "); };
        if (place.line > own_lines && std::any_of(k.sets.begin(), k.sets.end(), sets)) return k.name;
    }
    return {};
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <pullcast/network/names.hpp>
#include <pullcast/network/network.hpp>
#include <pullcast/study/text.hpp>

#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

std::span<const Field> fields(const ComponentType& t) { return {t.fields, t.field_count}; }

/// Names in a column, texts beside it.
std::string entry(const std::string& name, std::size_t width, const std::string& text) {
    return wrapped(text, terminal_width(), fmt::format("  {:<{}}  ", name, width), std::string(width + 4, ' '));
}

void list(const Registry& registry, const std::string& role) {
    std::map<std::string, std::vector<const ComponentType*>> by_role;
    std::size_t width = 0;
    for (const auto* t : registry.types()) {
        if (!role.empty() && role != t->role) continue;
        by_role[t->role].push_back(t);
        width = std::max(width, std::strlen(t->name));
    }
    for (const auto& [name, types] : by_role) {
        fmt::print("{}\n", name);
        for (const auto* t : types) fmt::print("{}", entry(t->name, width, t->summary));
    }
    constexpr const char* how =
        "Models of one role share the names of their ends: swap them by one line. 'pullcast models NAME' describes "
        "one.";
    fmt::print("\n{}", wrapped(how, terminal_width(), "", ""));
}

/// "louver|offset strip" as "louver, offset strip"
std::string alternatives(std::string choices) {
    for (auto at = choices.find('|'); at != choices.npos; at = choices.find('|', at)) choices.replace(at, 1, ", ");
    return choices;
}

/// The n-th of them.
std::string alternative(std::string_view choices, int n) {
    for (; n > 0; --n) choices.remove_prefix(choices.find('|') + 1);
    return std::string(choices.substr(0, choices.find('|')));
}

std::string range(const Field& f) {
    if (f.kind == Kind::choice) return "one of: " + alternatives(f.choices);
    std::string text;
    const bool low = std::isfinite(f.lo), high = std::isfinite(f.hi);
    if (low && f.lo == std::numeric_limits<double>::min())
        text = high ? fmt::format("above 0, up to {:g}", f.hi) : "above 0";
    else if (low && high) text = fmt::format("{:g} .. {:g}", f.lo, f.hi);
    else if (low) text = fmt::format("at least {:g}", f.lo);
    else if (high) text = fmt::format("at most {:g}", f.hi);
    return text;
}

std::string preset(const Field& f) {
    if (f.common)
        return fmt::format("from [common] {}{}", f.common,
                           std::isnan(f.preset) ? "" : fmt::format(", else {:g}", f.preset));
    if (std::isnan(f.preset)) return f.optional ? "optional" : "required";
    if (f.kind == Kind::choice) return "preset " + alternative(f.choices, static_cast<int>(f.preset));
    return fmt::format("preset {:g}", f.preset);
}

std::string axes(const Field& f) {
    if (f.kind == Kind::curve) return fmt::format("curve over {} ({})", f.x_name, f.x_unit);
    if (f.kind == Kind::map) return fmt::format("map over {} ({}) and {} ({})", f.x_name, f.x_unit, f.y_name, f.y_unit);
    return "";
}

void section(const ComponentType& t, const char* title, auto wanted, auto details) {
    std::vector<const Field*> shown;
    std::size_t width = 0;
    for (const auto& f : fields(t)) {
        if (!wanted(f)) continue;
        shown.push_back(&f);
        width = std::max(width, std::strlen(f.name));
    }
    if (!shown.empty()) fmt::print("\n{}\n", title);
    for (const auto* f : shown) {
        std::string text = f->doc;
        for (const std::string& more : details(*f))
            if (!more.empty()) text += "; " + more;
        fmt::print("{}", entry(f->name, width, text));
    }
}

/// The unit of a number; nothing for one without.
std::string unit(const Field& f) { return std::string_view(f.unit) == "1" ? "" : f.unit; }

void describe(const Registry& registry, const ComponentType& t) {
    using Details = std::vector<std::string>;
    const auto& from = registry.entries().at(t.name);
    const auto width = terminal_width();
    fmt::print("{}  (role {}, plugin {} {})\n{}", t.name, t.role, from.plugin, from.version, wrapped(t.summary, width));
    fmt::print("{}", wrapped(fmt::format("valid: {}", t.validity), width));
    fmt::print("{}", wrapped(fmt::format("source: {}", t.reference), width));
    const auto kind = [](auto... k) { return [=](const Field& f) { return ((f.kind == k) || ...); }; };
    section(t, "parameters", kind(Kind::number, Kind::integer, Kind::choice, Kind::curve, Kind::map),
            [](const Field& f) {
                return Details{unit(f), axes(f), range(f), preset(f)};
            });
    section(t, "connects to", kind(Kind::end, Kind::sees, Kind::reads), [](const Field& f) {
        return Details{fmt::format("a {} node{}", domain_info(f.domain).name, f.kind == Kind::end ? "" : ", read only"),
                       f.optional ? "optional" : ""};
    });
    section(t, "nodes", kind(Kind::node), [](const Field& f) {
        return Details{domain_info(f.domain).name, f.domain == Signal::id ? unit(f) : ""};
    });
    section(t, "states", kind(Kind::state), [](const Field& f) {
        return Details{unit(f), f.count == unconnected ? "" : "one a cell"};
    });
    section(t, "outputs", kind(Kind::output), [](const Field& f) {
        return Details{unit(f), f.warning ? fmt::format("warns: {}", f.warning) : ""};
    });
    section(t, "accounts", kind(Kind::account), [](const Field& f) { return Details{f.unit}; });
}

}  // namespace

int models_command(const Options& o) {
    const auto registry = load_plugins(o);
    if (const auto* type = registry.find(o.name)) return describe(registry, *type), Exit::ok;
    std::vector<std::string> names;
    for (const auto* t : registry.types()) {
        if (o.name.empty() || o.name == t->role) return list(registry, o.name), Exit::ok;
        names.push_back(t->name);
        names.push_back(t->role);
    }
    const auto near = nearest_name(o.name, names);
    fmt::print(stderr, "error: no model or role '{}'; {}\n", o.name,
               near.empty() ? "'pullcast models' lists them" : fmt::format("did you mean '{}'?", near));
    return Exit::bad_input;
}

}  // namespace pullcast

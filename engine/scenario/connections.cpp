#include <algorithm>
#include <fmt/format.h>
#include <pullcast/network/network.hpp>
#include <pullcast/scenario/connections.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>

namespace pullcast {
namespace {

/// Full names of the nodes of a component; of one domain, or of all.
std::vector<std::string> nodes_of(const FittedSection& f, std::optional<std::uint8_t> domain) {
    std::vector<std::string> names;
    for (const auto& field : fields_of(*f.type))
        if (field.kind == Kind::node && (!domain || field.domain == *domain))
            names.push_back(f.name() + "." + field.name);
    return names;
}

std::string domain_name(const Field& f) { return domain_info(f.domain).name; }

}  // namespace

void Connections::bind(const FittedSection& f, ComponentSpec& spec) const {
    std::set<std::string> done, missing;
    for (const auto& field : fields_of(*f.type)) {
        if (!is_connection(field) || done.count(field.name)) continue;
        const auto* s = f.find(field.name);
        if (!s) {
            if (!field.optional && missing.insert(field.name).second) report_missing(f, field);
            continue;
        }
        done.insert(field.name);
        if (auto node = resolve({field, *s, setting_text(f.name(), *s)}))
            spec.connections[field.name] = std::move(*node);
    }
}

std::optional<std::string> Connections::resolve(const Wanted& w) const {
    const auto* text = w.setting.value.text();
    if (!text)
        return fail(w, fmt::format("must be a string, not {}", kind_of(w.setting.value)),
                    fmt::format("the name of a {} node: \"component.node\"", domain_name(w.field)));
    const auto dot = text->find('.');
    const auto name = text->substr(0, dot);
    const auto to =
        std::find_if(components_.begin(), components_.end(), [&](const auto& c) { return c.name() == name; });
    if (to == components_.end()) {
        std::vector<std::string> names;
        for (const auto& c : components_) names.push_back(c.name());
        return fail(w, fmt::format("names no component of this rig: '{}'", name), suggestion(name, names));
    }
    if (!to->type) return *text;
    return dot == text->npos ? only_node(*to, w) : named_node(*to, text->substr(dot + 1), w);
}

std::optional<std::string> Connections::only_node(const FittedSection& to, const Wanted& w) const {
    const auto nodes = nodes_of(to, w.field.domain);
    if (nodes.size() == 1) return nodes[0];
    const auto domain = domain_name(w.field);
    if (nodes.empty())
        return fail(w, fmt::format("has no {} node ({})", domain, w.field.doc),
                    fmt::format("'{}' is a {}", to.name(), to.type->name));
    return fail(w, fmt::format("has {} {} nodes", nodes.size(), domain),
                fmt::format("write {}", fmt::join(nodes, " or ")));
}

std::optional<std::string> Connections::named_node(const FittedSection& to, const std::string& node,
                                                   const Wanted& w) const {
    for (const auto& f : fields_of(*to.type)) {
        if (f.kind != Kind::node || node != f.name) continue;
        if (f.domain == w.field.domain) return to.name() + "." + node;
        const auto fitting = nodes_of(to, w.field.domain);
        return fail(w,
                    fmt::format("is a {} node, not a {} node ({})", domain_name(f), domain_name(w.field), w.field.doc),
                    fitting.empty() ? "" : fmt::format("'{}' has {}", to.name(), fmt::join(fitting, ", ")));
    }
    return fail(w, fmt::format("names no node of {} ({})", to.name(), to.type->name),
                suggestion(to.name() + "." + node, nodes_of(to, {})));
}

std::optional<std::string> Connections::fail(const Wanted& w, const std::string& message, std::string hint) const {
    d_.error(w.setting.value.place, fmt::format("{} {}", w.what, message), std::move(hint));
    return {};
}

void Connections::report_missing(const FittedSection& f, const Field& field) const {
    d_.error(f.section->place,
             fmt::format("missing connection '{}' in [component.{}] (to a {} node, {})", field.name, f.name(),
                         domain_name(field), field.doc),
             fmt::format("{} = \"component.node\"", field.name));
}

}  // namespace pullcast

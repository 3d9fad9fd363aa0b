#include <algorithm>
#include <pullcast/study/rig_graph.hpp>
#include <span>
#include <tuple>

namespace pullcast {
namespace {

std::span<const Field> fields(const ComponentType& t) { return {t.fields, t.field_count}; }

/// The field behind a connection. Where an end and a reads share its name, the end is what is drawn.
const Field& attached(const ComponentType& t, const std::string& name) {
    const Field* found = nullptr;
    for (const auto& f : fields(t)) {
        const bool end = f.kind == Kind::end, looks = f.kind == Kind::sees || f.kind == Kind::reads;
        if (name == f.name && (end || (looks && !found))) found = &f;
    }
    return *found;
}

RigGraph::Kind kind(const ComponentType& t) {
    bool moves = false, conducts = false, stores = false;
    for (const auto& f : fields(t)) {
        (f.domain == Heat::id ? conducts : moves) |= f.kind == Kind::end;
        stores |= f.kind == Kind::node && f.domain != Signal::id;
    }
    if (moves || (conducts && !stores)) return RigGraph::Kind::link;
    return stores ? RigGraph::Kind::storage : RigGraph::Kind::watch;
}

/// Whether an end's positive direction is out of the component.
bool leaves(const ComponentType& t, const Field& end) {
    const std::string_view name = end.name;
    if (name == "from" || name.ends_with("_in")) return false;
    if (name == "to" || name.ends_with("_out")) return true;
    if (end.domain == Heat::id) return true;
    if (end.domain != Shaft::id) return false;
    const auto shafts =
        std::ranges::count_if(fields(t), [](const Field& f) { return f.kind == Kind::end && f.domain == Shaft::id; });
    return shafts == 1 || name != "crank";  // what drives the crank, or what the crank drives
}

/// Which of a storage's nodes an edge means, where it is not the one that gives it its name.
std::string node_label(const std::string& item) {
    return item == "wall" || item == "metal" || item == "case" ? item : "";
}

RigGraph::Edge edge(const Network::Part& part, const std::string& name, const std::string& node) {
    const Field& f = attached(*part.type, name);
    const auto dot = node.find('.');
    const auto owner = node.substr(0, dot), item = node.substr(dot + 1);
    if (f.kind != Kind::end) return {owner, part.name, f.domain, false, false, f.domain == Signal::id ? item : name};
    if (leaves(*part.type, f)) return {part.name, owner, f.domain, true, true, node_label(item)};
    return {owner, part.name, f.domain, true, false, node_label(item)};
}

/// The part of a channel's name that says which of its node's potentials it is: "T" of "gas.T".
std::string_view potential(const Channel& c) {
    const std::string_view item = c.item;
    const auto dot = item.find('.');
    return dot == item.npos ? std::string_view() : item.substr(dot + 1);
}

/// Temperature, pressure, speed, signals and outputs tell something; the other potentials follow from them.
bool tells(const Channel& c) {
    const auto p = potential(c);
    return p.empty() || p == "T" || p == "p" || p == "omega";
}

/// Whether a node's channel says what the output says: `speed` beside its omega, `wall_temperature` beside wall.T.
bool repeats(const Channel& output, const Channel& node) {
    if (std::string_view(output.unit) != node.unit) return false;
    if (node.field->domain == Signal::id) return std::string_view(output.doc) == node.doc;
    const auto& info = domain_info(node.field->domain);
    const auto at = std::ranges::find(info.potential, potential(node)) - info.potential.begin();
    const std::string said = info.doc[at];
    return output.item == said || output.item == node.field->name + ("_" + said);
}

bool of_node(const Channel& c) { return c.field->kind == Kind::node; }

/// What gives the component its name comes first: its nodes, temperature before pressure. Then outputs in the order of
/// the schema, those of a link that are temperatures last, for the nodes beside it tell them. Then the temperature of
/// metal around gas, coolant or a shaft.
std::vector<std::size_t> telling(const std::vector<Channel>& all, const std::string& component, RigGraph::Kind kind) {
    std::vector<std::size_t> nodes, own;
    for (std::size_t k = 0; k < all.size(); ++k)
        if (all[k].component == component && tells(all[k])) (of_node(all[k]) ? nodes : own).push_back(k);
    std::erase_if(own, [&](std::size_t output) {
        return std::ranges::any_of(nodes, [&](std::size_t n) { return repeats(all[output], all[n]); });
    });
    const bool warm = std::ranges::all_of(nodes, [&](std::size_t n) { return all[n].field->domain == Heat::id; });
    own.insert(own.begin(), nodes.begin(), nodes.end());
    std::ranges::stable_sort(own, {}, [&](std::size_t k) {
        const Channel& c = all[k];
        const bool beside = kind == RigGraph::Kind::link && std::string_view(c.unit) == "K";
        const int group = !of_node(c) ? (beside ? 2 : 1) : c.field->domain == Heat::id && !warm ? 3 : 0;
        return std::tuple(group, c.field, potential(c) == "p");
    });
    return own;
}

}  // namespace

RigGraph rig_graph(const Network& network) {
    RigGraph graph;
    for (const auto& p : network.parts()) {
        const auto& type = *p.type;
        graph.components.push_back(
            {p.name, type.name, type.role, type.summary, kind(type), telling(network.channels(), p.name, kind(type))});
        for (const auto& [name, node] : p.connections) graph.edges.push_back(edge(p, name, node));
    }
    return graph;
}

}  // namespace pullcast

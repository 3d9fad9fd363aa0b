/// The rig as a graph in Graphviz' language: storages as ellipses, links as boxes, what only watches or commands in
/// grey. Arrows point the way that is positive: with the flow, from the crank to the belt, from hot parts to what they
/// warm.
#include <fmt/format.h>

#include <csignal>
#include <cstdio>
#include <pullcast/network/network.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/study_run.hpp>

#include "options.hpp"

namespace pullcast {
namespace {

struct Pen {
    const char *name, *colour, *style;
};
/// Told apart by colour (safe for colour-blind readers) and by line style too.
constexpr Pen pens[domain_count] = {{"air and charge", "#0072B2", "solid"},
                                    {"coolant", "#009E73", "dashed"},
                                    {"heat", "#D55E00", "dotted"},
                                    {"shaft", "#222222", "bold"},
                                    {"signal", "#AA4499", "dashed"}};
constexpr Pen reading = {"only read", "#888888", "dotted"};

const Field* field(const ComponentType& t, const std::string& name, Kind first, Kind second) {
    for (const Field* f = t.fields; f != t.fields + t.field_count; ++f)
        if (name == f->name && (f->kind == first || f->kind == second)) return f;
    return nullptr;
}

std::size_t count(const ComponentType& t, Kind kind, auto wanted) {
    std::size_t n = 0;
    for (const Field* f = t.fields; f != t.fields + t.field_count; ++f) n += f->kind == kind && wanted(*f);
    return n;
}

const char* shape(const ComponentType& t) {
    const auto any = [](const Field&) { return true; };
    const auto moves = count(t, Kind::end, [](const Field& f) { return f.domain != Heat::id; });
    const auto stores = count(t, Kind::node, [](const Field& f) { return f.domain != Signal::id; });
    if (moves || (count(t, Kind::end, any) && !stores)) return "shape=box";
    if (stores) return "shape=ellipse";
    return "shape=box, style=\"rounded,dashed\", color=\"#999999\", fontcolor=\"#555555\"";
}

/// Whether an end's positive direction is out of the component.
bool leaves(const ComponentType& t, const Field& end) {
    const std::string_view name = end.name;
    if (name == "from" || name.ends_with("_in")) return false;
    if (name == "to" || name.ends_with("_out")) return true;
    if (end.domain == Heat::id) return true;
    if (end.domain != Shaft::id) return false;
    const auto shafts = count(t, Kind::end, [](const Field& f) { return f.domain == Shaft::id; });
    return shafts == 1 || name != "crank";  // what drives the crank, or what the crank drives
}

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
    return out + "\"";
}

/// Which of a storage's nodes an edge means, where it is not the one that gives it its name.
std::string edge_label(const std::string& item) {
    return item == "wall" || item == "metal" || item == "case" ? item : "";
}

class Drawing {
    const Network& network_;
    struct Read {
        std::string from, to;
        const Pen* pen;
        auto operator<=>(const Read&) const = default;
    };
    std::map<Read, std::string> read_;  // what is read, on one arrow

    const ComponentType& type(const std::string& component) const {
        for (const auto& p : network_.parts())
            if (p.name == component) return *p.type;
        throw std::out_of_range(component);
    }
    /// The outside air stands beside whoever meets it instead of at the end of long lines.
    std::string place(const std::string& owner, const Network::Part& part, const Field& f) const {
        const bool path = f.kind == Kind::end && f.domain == Gas::id;
        return std::string_view(type(owner).role) == "ambient" && !path ? owner + " at " + part.name : owner;
    }
    std::string connection(const Network::Part& part, const std::string& end, const std::string& node) {
        const auto dot = node.find('.');
        const auto item = node.substr(dot + 1);
        const Field* moved = field(*part.type, end, Kind::end, Kind::end);
        const Field& f = moved ? *moved : *field(*part.type, end, Kind::sees, Kind::reads);
        const auto other = place(node.substr(0, dot), part, f);
        std::string out;
        if (other != node.substr(0, dot))
            out += fmt::format("  {} [label={}, shape=plaintext, fontsize=9, fontcolor=\"#555555\", height=0.2];\n",
                               quoted(other), quoted(node.substr(0, dot)));
        if (!moved) {
            const bool signal = f.domain == Signal::id;
            auto& items = read_[{other, part.name, signal ? &pens[Signal::id] : &reading}];
            const auto& what = signal ? item : other != node.substr(0, dot) ? "" : end;
            if (items.find(what) == items.npos) items += (items.empty() ? "" : ", ") + what;
            return out;
        }
        const Pen& pen = pens[f.domain];
        const bool out_of = leaves(*part.type, f);
        return out +
               fmt::format("  {} -> {} [label={}, color=\"{}\", style={}{}];\n", quoted(out_of ? part.name : other),
                           quoted(out_of ? other : part.name), quoted(edge_label(item)), pen.colour, pen.style,
                           f.domain == Heat::id && out_of && other == node.substr(0, dot) ? ", constraint=false" : "");
    }

public:
    explicit Drawing(const Network& network) : network_(network) {}

    std::string text(const std::string& title) {
        std::string out = fmt::format(
            "digraph rig {{\n  label={}; labelloc=t; fontname=\"sans-serif\"; fontsize=14;\n"
            "  nodesep=0.25; ranksep=0.3;\n"
            "  node [fontname=\"sans-serif\", fontsize=10, height=0.35, margin=\"0.08,0.04\"];\n"
            "  edge [fontname=\"sans-serif\", fontsize=8, arrowsize=0.7];\n",
            quoted(title));
        for (const auto& p : network_.parts())
            out += fmt::format("  {} [label={}, {}];\n", quoted(p.name), "\"" + p.name + "\\n" + p.type->name + "\"",
                               shape(*p.type));
        for (const auto& p : network_.parts())
            for (const auto& [end, node] : p.connections) out += connection(p, end, node);
        for (const auto& [r, items] : read_)
            out += fmt::format("  {} -> {} [label={}, color=\"{}\", style={}, arrowhead=vee, fontcolor=\"{}\"];\n",
                               quoted(r.from), quoted(r.to), quoted(items), r.pen->colour, r.pen->style, r.pen->colour);
        return out + legend() + "}\n";
    }

    static std::string legend() {
        std::string out = "  subgraph cluster_legend {\n    label=\"\"; color=\"#CCCCCC\";\n";
        const auto row = [&](int k, const Pen& p, const char* head) {
            out += fmt::format(
                "    k{0} [shape=point, width=0.02]; k{0}e [shape=plaintext, label=\"{1}\", fontsize=9];\n"
                "    k{0} -> k{0}e [color=\"{2}\", style={3}, arrowhead={4}];\n",
                k, p.name, p.colour, p.style, head);
        };
        for (int k = 0; k < domain_count; ++k) row(k, pens[k], k == Signal::id ? "vee" : "normal");
        row(domain_count, reading, "vee");
        return out + "  }\n";
    }
};

int print_svg(const std::string& text) {
    std::fflush(stdout);
    std::signal(SIGPIPE, SIG_IGN);  // where there is no dot, nobody reads
    FILE* graphviz = popen("command -v dot >/dev/null || exit 127; exec dot -Tsvg", "w");
    if (graphviz) std::fwrite(text.data(), 1, text.size(), graphviz);
    if (graphviz && pclose(graphviz) == 0) return Exit::ok;
    fmt::print(stderr, "error: the SVG needs Graphviz' dot (Debian package graphviz); --format dot does without\n");
    return Exit::io;
}

}  // namespace

int draw_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    const auto& variant = study.variants[base_index(study)];
    std::string text;
    try {
        const Network network(variant.rig);
        text = Drawing(network).text(variant.title);
    } catch (const RigError& e) {
        throw locate(e, variant);
    }
    if (o.format == "svg") return print_svg(text);
    fmt::print("{}", text);
    return Exit::ok;
}

}  // namespace pullcast

/// The rig as a graph in Graphviz' language: storages as ellipses, links as boxes, what only watches or commands in
/// grey. Arrows point the way that is positive: with the flow, from the crank to the belt, from hot parts to what they
/// warm.
#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <map>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/rig_graph.hpp>
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

const char* shape(RigGraph::Kind kind) {
    if (kind == RigGraph::Kind::link) return "shape=box";
    if (kind == RigGraph::Kind::storage) return "shape=ellipse";
    return "shape=box, style=\"rounded,dashed\", color=\"#999999\", fontcolor=\"#555555\"";
}

std::string dot_string(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
    return out + "\"";
}

class Drawing {
    const RigGraph graph_;
    struct Read {
        std::string from, to;
        const Pen* pen;
        auto operator<=>(const Read&) const = default;
    };
    std::map<Read, std::vector<std::string>> read_;  // what is read, on one arrow

    bool is_ambient(const std::string& component) const {
        const auto at = std::ranges::find(graph_.components, component, &RigGraph::Component::name);
        return at->role == "ambient";
    }
    /// The outside air stands beside whoever meets it instead of at the end of long lines.
    std::string edge(RigGraph::Edge e) {
        std::string out;
        auto &far = e.outward ? e.to : e.from, &part = e.outward ? e.from : e.to;
        const bool beside = is_ambient(far) && !(e.moves && e.domain == Gas::id);
        if (beside) {
            const auto name = far;
            far += " at " + part;
            out = fmt::format("  {} [label={}, shape=plaintext, fontsize=9, fontcolor=\"#555555\", height=0.2];\n",
                              dot_string(far), dot_string(name));
        }
        const bool signal = e.domain == Signal::id;
        if (!e.moves) {
            auto& items = read_[{e.from, e.to, signal ? &pens[Signal::id] : &reading}];
            if ((signal || !beside) && std::ranges::count(items, e.label) == 0) items.push_back(e.label);
            return out;
        }
        const Pen& pen = pens[e.domain];
        return out + fmt::format("  {} -> {} [label={}, color=\"{}\", style={}{}];\n", dot_string(e.from),
                                 dot_string(e.to), dot_string(e.label), pen.colour, pen.style,
                                 e.domain == Heat::id && e.outward && !beside ? ", constraint=false" : "");
    }

public:
    explicit Drawing(const Network& network) : graph_(rig_graph(network)) {}

    std::string text(const std::string& title) {
        std::string out = fmt::format(
            "digraph rig {{\n  label={}; labelloc=t; fontname=\"sans-serif\"; fontsize=14;\n"
            "  nodesep=0.25; ranksep=0.3;\n"
            "  node [fontname=\"sans-serif\", fontsize=10, height=0.35, margin=\"0.08,0.04\"];\n"
            "  edge [fontname=\"sans-serif\", fontsize=8, arrowsize=0.7];\n",
            dot_string(title));
        for (const auto& c : graph_.components)
            out += fmt::format("  {} [label={}, {}];\n", dot_string(c.name), "\"" + c.name + "\\n" + c.model + "\"",
                               shape(c.kind));
        for (const auto& e : graph_.edges) out += edge(e);
        for (const auto& [r, items] : read_)
            out +=
                fmt::format("  {} -> {} [label={}, color=\"{}\", style={}, arrowhead=vee, fontcolor=\"{}\"];\n",
                            dot_string(r.from), dot_string(r.to), dot_string(fmt::format("{}", fmt::join(items, ", "))),
                            r.pen->colour, r.pen->style, r.pen->colour);
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

#include <fmt/format.h>
#include <pullcast/network/network.hpp>
#include <pullcast/scenario/scenario.hpp>

#include <cstdio>

#include "options.hpp"

namespace pullcast {
namespace {

struct Pen { const char *colour, *style; };
/// Colour-blind safe, and told apart by line style too.
constexpr Pen pens[domain_count] = {{"#0072B2", "solid"}, {"#009E73", "dashed"}, {"#D55E00", "dotted"}, {"#333333", "bold"}, {"#999999", "dotted"}};

std::string dot(const Network& network, const std::string& title) {
    std::string out = fmt::format("digraph rig {{\n  label=\"{}\"; labelloc=t; rankdir=LR; fontname=\"sans-serif\";\n"
                                  "  node [shape=box, style=rounded, fontname=\"sans-serif\", fontsize=11];\n"
                                  "  edge [fontname=\"sans-serif\", fontsize=8];\n", title);
    for (const auto& p : network.parts()) out += fmt::format("  \"{0}\" [label=\"{0}\\n{1}\"];\n", p.name, p.type->name);
    for (const auto& p : network.parts())
        for (const auto& [end, node] : p.connections) {
            std::uint8_t domain = 0;
            bool moves = false;
            for (const Field* f = p.type->fields; f != p.type->fields + p.type->field_count; ++f)
                if (end == f->name) domain = f->domain, moves = moves || f->kind == Kind::end;
            const auto dotted = node.find('.');
            const bool arrives = end.starts_with("to") || end.ends_with("_out");
            const auto owner = node.substr(0, dotted);
            out += fmt::format("  \"{}\" -> \"{}\" [label=\"{}\", color=\"{}\", style={}, arrowhead={}];\n", arrives || !moves ? p.name : owner,
                               arrives || !moves ? owner : p.name, fmt::format("{}: {}", end, node.substr(dotted + 1)), pens[domain].colour,
                               pens[domain].style, moves ? "normal" : "none");
        }
    return out + "}\n";
}

}  // namespace

int draw_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    const auto& variant = study.variants.front();
    std::string text;
    try {
        text = dot(Network(variant.rig), study.title);
    } catch (const RigError& e) {
        throw locate(e, variant);
    }
    if (o.format == "dot") return fmt::print("{}", text), Exit::ok;
    std::fflush(stdout);
    FILE* graphviz = popen("dot -Tsvg", "w");
    if (graphviz) std::fwrite(text.data(), 1, text.size(), graphviz);
    if (!graphviz || pclose(graphviz) != 0) {
        fmt::print(stderr, "error: the SVG needs Graphviz' dot (Debian package graphviz); --format dot does without\n");
        return Exit::io;
    }
    return Exit::ok;
}

}  // namespace pullcast

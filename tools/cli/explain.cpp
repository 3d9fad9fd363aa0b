#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/study/results.hpp>

#include "explained_page.hpp"
#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

const Variant& variant_of(const Study& study, const std::string& name) {
    std::vector<std::string> names;
    for (const auto& v : study.variants) {
        if (v.name == name) return v;
        names.push_back(v.name);
    }
    throw ScenarioError({study.source}, fmt::format("no variant '{}'", name), suggestion(name, names));
}

/// Figures by key. What the ledger leaves unexplained is rounding: there is nothing to split.
std::vector<const Figure*> figures_named(const std::vector<std::string>& keys) {
    if (keys.empty()) return usual_figures();
    std::vector<std::string> known;
    std::vector<const Figure*> all;
    for (const auto& f : figures())
        if (f.decimals >= 0) known.emplace_back(f.key);
    for (const auto& key : keys) {
        if (std::find(known.begin(), known.end(), key) == known.end())
            throw UsageError(fmt::format("--figures: no figure '{}'; {}", key, suggestion(key, known)));
        for (const auto& f : figures())
            if (key == f.key) all.push_back(&f);
    }
    return all;
}

std::vector<Cause> causes_of(const Variant& from, const Variant& to, const Options& o) {
    auto causes = causes_between(from, to);
    for (const auto& titles : o.together) causes = together(std::move(causes), titles);
    return causes;
}

}  // namespace

int explain_command(const Options& o) {
    const auto asked = figures_named(o.figures);
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    const auto &to = variant_of(study, o.name), &from = variant_of(study, o.against.empty() ? study.base : o.against);
    const auto out = o.out.empty() ? std::filesystem::path("results") /
                                         fmt::format("{}-{}-from-{}", o.file.stem().string(), to.name, from.name)
                                   : o.out;
    const auto causes = causes_of(from, to, o);
    if (causes.empty())
        throw ScenarioError({study.source}, fmt::format("'{}' and '{}' differ in nothing", from.name, to.name),
                            "name two variants: the one to explain, and --against the other");
    check_destination(out, o.force);
    const auto explanation = explain(from, to, causes, asked, thread_count(o), &listen_to_signals());
    const Explained e{study, from, to, explanation};
    const auto json = explanation_json(e);
    std::optional<OutputError> not_written;  // the numbers are worth printing all the same
    try {
        write_folder(out, o.force, [&](const FileWriter& write) {
            write(explanation_file, json);
            write("explain.html", explained_html(e, o.units));
        });
    } catch (const OutputError& error) {
        not_written = error;
    }
    if (o.json) fmt::print("{}", json);
    else fmt::print("{}", explanation_text(e, o.units, terminal_width()));
    std::fflush(stdout);
    if (not_written) throw *not_written;
    fmt::print(stderr, "results: {}\npage:    {} (opens in a browser, needs no network)\n", out.string(),
               (out / "explain.html").string());
    return Exit::ok;
}

}  // namespace pullcast

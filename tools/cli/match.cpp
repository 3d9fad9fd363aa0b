#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <pullcast/network/names.hpp>
#include <pullcast/study/results.hpp>

#include "matched_page.hpp"
#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

void check_channels(const std::vector<std::string>& without) {
    std::vector<std::string> known;
    for (const auto& k : measure::channel_kinds()) known.emplace_back(k.name);
    for (const auto& name : without) {
        if (std::find(known.begin(), known.end(), name) != known.end()) continue;
        const auto near = nearest_name(name, known);
        throw UsageError(fmt::format("--without: no channel '{}'{}", name,
                                     near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
    }
}

int judge(const Options& o, bool match) {
    check_channels(o.without);
    const auto registry = load_plugins(o);
    const auto measured = measure::read_measured_study(o.file, registry, o.without);
    if (match && !measured.match.asked)
        throw ScenarioError({measured.study.source}, "nothing to match: there is no [match] and no [reference]",
                            "'pullcast fit' fits and compares only");
    check_destination(o.out, o.force);
    const auto results = measure::judge_pulls(measured, match, thread_count(o), &listen_to_signals());
    const auto json = measure::measured_json(results);
    const auto text = measure::measured_text(results, o.units, terminal_width());
    std::optional<OutputError> not_written;  // the numbers are worth printing all the same
    try {
        write_folder(o.out, o.force, [&](const FileWriter& write) {
            write(measured_file, json);
            write("measured.html", matched_html(results, o.units));
        });
    } catch (const OutputError& error) {
        not_written = error;
    }
    fmt::print("{}", o.json ? json : text);
    std::fflush(stdout);
    if (not_written) throw *not_written;
    fmt::print(stderr, "results: {}\npage:    {} (opens in a browser, needs no network)\n", o.out.string(),
               (o.out / "measured.html").string());
    if (results.fit.result.solution.converged) return Exit::ok;
    fmt::print(stderr, "error: the fit has not converged: {}\n", results.fit.result.solution.stopped);
    return Exit::fit;
}

}  // namespace

int fit_command(const Options& o) { return judge(o, false); }
int match_command(const Options& o) { return judge(o, true); }

}  // namespace pullcast

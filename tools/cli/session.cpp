#include <fmt/format.h>

#include <optional>
#include <pullcast/study/results.hpp>
#include <pullcast/study/session_words.hpp>

#include "day_page.hpp"
#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

bool print_failures(const Study& study, const std::vector<SessionResult>& results) {
    bool any = false;
    for (std::size_t v = 0; v < results.size(); ++v) {
        if (results[v].failure.empty()) continue;
        fmt::print(stderr, "error: {}: {}\n", study.variants[v].name, results[v].failure);
        any = true;
    }
    return any;
}

}  // namespace

int session_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    if (!study.session)
        throw ScenarioError({study.source}, "no session",
                            "[session] gives the order of steps, [step.NAME] describes each");
    check_destination(o.out, o.force);
    const auto results = run_sessions(study, thread_count(o), &listen_to_signals());
    const auto steady = steady_of_all(study, results, thread_count(o));
    const auto json = session_json(study, results, steady);
    std::optional<OutputError> not_written;  // the numbers are worth printing all the same
    try {
        write_folder(o.out, o.force, [&](const FileWriter& write) {
            write(session_file, json);
            write("report.html", day_html(study, results, steady, o.units));
            write("session.txt", session_text(study, results, steady, o.units, 100));
            for (std::size_t v = 0; v < results.size(); ++v)
                write(study.variants[v].name + ".csv", session_csv(study, results[v], o.units));
        });
    } catch (const OutputError& error) {
        not_written = error;
    }
    fmt::print("{}", o.json ? json : session_text(study, results, steady, o.units, terminal_width()));
    std::fflush(stdout);
    const bool failed = print_failures(study, results);
    if (not_written) throw *not_written;
    fmt::print(stderr, "results: {}\nreport:  {} (opens in a browser, needs no network)\n", o.out.string(),
               (o.out / "report.html").string());
    return failed ? Exit::solver : Exit::ok;
}

}  // namespace pullcast

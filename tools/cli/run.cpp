#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <optional>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/questions.hpp>
#include <pullcast/study/results.hpp>
#include <pullcast/study/text.hpp>

#include "options.hpp"
#include "page.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

void print_notes(const Study& study) {
    for (const std::string_view note : study.notes) spdlog::warn("{}", note.substr(0, note.find_last_not_of('\n') + 1));
}

void print_lines(const std::string& first, const std::vector<std::string>& lines) {
    for (const auto& line : lines) fmt::print("{}", wrapped(first + line, terminal_width()));
}

void print_words(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    std::vector<std::vector<std::string>> warnings;
    for (const auto& r : results) warnings.push_back(warnings_in_words(r, system));
    const auto common = take_common(warnings);
    const auto base = base_index(study);
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        const bool is_base = k == base && results.size() > 1;
        fmt::print("\n{}{}{}\n", v.name, v.title == v.name ? "" : ": " + v.title, is_base ? " (base)" : "");
        if (const auto parts = new_parts(study, k); !parts.empty()) print_lines("new parts: ", {parts});
        print_lines("", compare_in_words(study, results, k, system));
        print_lines("warning: ", warnings[k]);
    }
    if (!common.empty()) fmt::print("\nall variants\n");
    print_lines("warning: ", common);
}

void print_report(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    const auto width = terminal_width();
    fmt::print("{}", wrapped(title_of(study), width, "", ""));
    if (!study.question.empty()) fmt::print("{}", wrapped(study.question, width, "", ""));
    if (const auto table = figure_table(study, results, system, width); !table.empty()) fmt::print("\n{}", table);
    if (const auto caution = correction_caution(results); !caution.empty())
        fmt::print("\n{}", wrapped(caution, width, "", ""));
    print_words(study, results, system);
    fmt::print("\n{}", wrapped(cautions().front(), width, "", ""));
}

/// Failures of a pull, and whether there were any.
bool print_failures(const Study& study, const std::vector<VariantResult>& results) {
    bool any = false;
    for (std::size_t k = 0; k < results.size(); ++k) {
        if (results[k].failure.empty()) continue;
        fmt::print(stderr, "error: {}: {}\n", study.variants[k].name, results[k].failure);
        any = true;
    }
    return any;
}

}  // namespace

int run_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    print_notes(study);
    check_destination(o.out, o.force);
    const auto results = run_study(study, thread_count(o), &listen_to_signals());
    std::optional<OutputError> not_written;  // the numbers are worth printing all the same
    try {
        write_results(study, results, o.out, o.units, o.force,
                      {{"report.html", report_html(study, results, o.units)}});
    } catch (const OutputError& e) {
        not_written = e;
    }
    if (o.json) fmt::print("{}", summary_json(study, results));
    else print_report(study, results, o.units);
    std::fflush(stdout);
    const bool failed = print_failures(study, results);
    if (not_written) throw *not_written;
    fmt::print(stderr, "results: {}\nreport:  {} (opens in a browser, needs no network)\n", o.out.string(),
               (o.out / "report.html").string());
    return failed ? Exit::solver : Exit::ok;
}

int check_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    for (const auto& v : study.variants) {
        try {
            const Network network(v.rig);
            fmt::print("{}: {} components, {} states\n", v.name, network.parts().size(), network.state_count());
        } catch (const RigError& e) {
            throw locate(e, v);
        }
    }
    asked_by(study);
    print_notes(study);
    fmt::print("{}: no mistakes found\n", o.file.string());
    return Exit::ok;
}

}  // namespace pullcast

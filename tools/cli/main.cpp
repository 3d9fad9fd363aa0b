#include <CLI/CLI.hpp>
#include <cstdio>
#include <fmt/format.h>
#include <pullcast/scenario/diagnostics.hpp>
#include <pullcast/study/results.hpp>
#include <pullcast/study/version.hpp>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include "options.hpp"

namespace pullcast {
namespace {

constexpr const char* examples = R"(Examples:
  pullcast run scenarios/studies/pulley-or-core.toml              four variants of one car, as a table
  pullcast run scenarios/studies/pulley-or-core.toml --units us   the same in psi, degF, hp
  pullcast check my-study.toml                                    every mistake in the files, nothing run
  pullcast models blower.geometric                                what a component model computes and takes
  pullcast parts scenarios/parts                                  parts with their prices
  pullcast draw scenarios/rigs/hillclimb-v6.toml | dot -Tsvg      the rig as a graph

Exit codes: 0 ok, 1 internal error, 2 usage, 3 bad input, 4 solver or physics, 7 files
A simulated margin is a trend, not a permission: knock detection, the plugs and a licensed tuner decide.)";

/// A result folder named after the study: results/pulley-or-core.
std::filesystem::path default_out(const std::filesystem::path& file) { return std::filesystem::path("results") / file.stem(); }

int dispatch(CLI::App& app, Options& o) {
    if (o.out.empty()) o.out = default_out(o.file);
    if (app.got_subcommand("run")) return run_command(o);
    if (app.got_subcommand("check")) return check_command(o);
    if (app.got_subcommand("models")) return models_command(o);
    if (app.got_subcommand("parts")) return parts_command(o);
    return draw_command(o);
}

int parse_and_run(int argc, char** argv) {
    Options o;
    CLI::App app{"Simulates full-throttle pulls of supercharged cars: intake temperature, boost, power and knock margin before parts are bought.", "pullcast"};
    app.footer(examples);
    app.set_version_flag("--version", std::string("pullcast ") + version);
    app.require_subcommand(1);
    app.fallthrough();
    const std::map<std::string, UnitSystem> systems{{"metric", UnitSystem::metric}, {"us", UnitSystem::us}, {"si", UnitSystem::si}};
    app.add_option("--units", o.units, "units of tables and CSV files: metric, us or si")->transform(CLI::CheckedTransformer(systems))->option_text("SYSTEM");
    app.add_option("--plugin", o.plugins, "a further plugin file, or a folder of them; may be repeated")->expected(1)->take_all()->option_text("PATH");

    auto* run = app.add_subcommand("run", "run a study or a rig: table, results folder, notes");
    run->add_option("file", o.file, "study or rig (TOML)")->required();
    run->add_option("--out", o.out, "results folder (default: results/NAME)");
    run->add_option("--threads", o.threads, "variants at a time (default: all cores); results do not depend on it");
    run->add_flag("--force", o.force, "replace the results folder if it is there");
    run->add_flag("--json", o.json, "print the summary as JSON instead of the table");

    app.add_subcommand("check", "read and check a study or rig without running it")->add_option("file", o.file, "study or rig (TOML)")->required();
    app.add_subcommand("models", "list the component models, or describe one")->add_option("name", o.name, "a model, or a role");
    app.add_subcommand("parts", "list the parts in a folder, or describe one")->add_option("file", o.file, "part file or folder")->required();
    auto* draw = app.add_subcommand("draw", "the rig as a graph");
    draw->add_option("file", o.file, "study or rig (TOML)")->required();
    draw->add_option("--format", o.format, "dot, or svg (needs Graphviz)")->check(CLI::IsMember({"dot", "svg"}));

    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        if (e.get_exit_code() == 0) return app.exit(e), Exit::ok;
        fmt::print(stderr, "error: {}\nsee 'pullcast --help'\n", e.what());
        return Exit::usage;
    }
    return dispatch(app, o);
}

/// One place turns every failure into a message and an exit code.
int guarded(int argc, char** argv) {
    try {
        return parse_and_run(argc, argv);
    } catch (const ScenarioError& e) {
        const bool colour = isatty(STDERR_FILENO) && !std::getenv("NO_COLOR");
        fmt::print(stderr, "{}", render(e.diagnostics(), colour));
        return Exit::bad_input;
    } catch (const PluginError& e) {
        fmt::print(stderr, "error: {}\n", e.what());
        return Exit::bad_input;
    } catch (const SolveError& e) {
        fmt::print(stderr, "error: {}\n", e.what());
        return Exit::solver;
    } catch (const OutputError& e) {
        fmt::print(stderr, "error: {}\n", e.what());
        return Exit::io;
    } catch (const std::exception& e) {
        fmt::print(stderr, "internal error: {}\n", e.what());
        return Exit::internal;
    }
}

}  // namespace
}  // namespace pullcast

int main(int argc, char** argv) {
    auto log = spdlog::stderr_logger_st("pullcast");
    log->set_pattern("%v");
    spdlog::set_default_logger(log);
    return pullcast::guarded(argc, argv);
}

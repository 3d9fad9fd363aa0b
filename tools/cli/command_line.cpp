#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <pullcast/network/names.hpp>
#include <pullcast/study/version.hpp>
#include <sstream>

#include "options.hpp"

namespace pullcast {
namespace {

constexpr const char* about =
    "Simulates full-throttle pulls of supercharged cars: intake temperature, boost, power and knock margin before "
    "parts "
    "are bought.";
constexpr const char* examples = R"(Examples:
  pullcast run scenarios/studies/pulley-or-core.toml              four variants of one car, as a table
  pullcast run scenarios/studies/pulley-or-core.toml --units us   the same in psi, degF, hp
  pullcast live scenarios/studies/pulley-or-core.toml             the same car in the browser, with knobs to turn
  pullcast explain scenarios/studies/hot-day.toml core            what of a change is whose doing
  pullcast check my-study.toml                                    every mistake in the files, nothing run
  pullcast models blower.geometric                                what a component model computes and takes
  pullcast parts scenarios/parts                                  parts with their prices
  pullcast draw scenarios/rigs/hillclimb-v6.toml --format svg     the rig as a graph
  pullcast session scenarios/course/1-second-pull/lesson.toml     a day of pulls and waiting, states carried over
  pullcast live scenarios/course                                  a course: predict first, then see the day
  pullcast inspect my-log.csv --write-mapping my-log.toml         what a measured log holds, and its pulls
  pullcast match scenarios/studies/what-the-core-did.toml         what a part did, from logs of two days
  pullcast choose scenarios/studies/where-the-money-goes.toml     a shortlist out of a thousand combinations of parts

Exit codes: 0 ok, 1 internal error, 2 usage, 3 bad input, 4 solver or physics, 5 fit, 7 files, 130 interrupted
A simulated margin is a trend, not a permission: knock detection, the plugs and a licensed tuner decide.)";

const std::vector<std::string> commands = {"run",   "session", "answers", "explain", "live",  "check", "models",
                                           "parts", "draw",    "inspect", "fit",     "match", "choose"};
constexpr int most_threads = 1024, most_port = 65535;

UnitSystem unit_system(const std::string& text) {
    if (text == "metric") return UnitSystem::metric;
    if (text == "us") return UnitSystem::us;
    if (text == "si") return UnitSystem::si;
    throw UsageError(fmt::format("--units '{}': must be metric, us or si", text));
}

/// A whole number from 1 to `most`.
int count(const char* option, const std::string& text, int most) {
    int n = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n);
    if (error != std::errc() || end != text.data() + text.size() || n < 1 || n > most)
        throw UsageError(fmt::format("{} '{}': must be a whole number from 1 to {}", option, text, most));
    return n;
}

std::string graph_format(const std::string& text) {
    if (text != "dot" && text != "svg") throw UsageError(fmt::format("--format '{}': must be dot or svg", text));
    return text;
}

/// "a, b" as a and b.
std::vector<std::string> names_in(const std::string& list) {
    std::vector<std::string> names;
    std::istringstream in(list);
    for (std::string name; std::getline(in >> std::ws, name, ',');) {
        name.erase(name.find_last_not_of(' ') + 1);
        if (!name.empty()) names.push_back(name);
    }
    return names;
}

/// "2/8" as the second of eight shards.
choose::Shard shard_in(const std::string& text) {
    constexpr int most_shards = 100'000;
    const auto slash = text.find('/');
    if (slash == std::string::npos)
        throw UsageError(fmt::format("--shard '{}': must be I/N, the I-th of N shards, such as 2/8", text));
    const auto of = count("--shard", text.substr(slash + 1), most_shards);
    return {static_cast<std::size_t>(count("--shard", text.substr(0, slash), of)), static_cast<std::size_t>(of)};
}

/// Options as texts, so that what is wrong with them is said in our words.
struct Texts {
    std::string file, out, mapping, write_mapping, page, units = "metric", threads, port, format = "dot", figures,
                                                         without;
    std::string shard;
    std::vector<std::string> together;
};

void declare_inspect(CLI::App& inspect, Options& o, Texts& t) {
    inspect.add_option("file", t.file, "log (CSV, any separator)")->option_text("LOG");
    inspect.add_option("--mapping", t.mapping, "which column is what (TOML; default: guessed)")->option_text("FILE");
    inspect.add_option("--write-mapping", t.write_mapping, "write the mapping here, for editing")->option_text("FILE");
    inspect.add_flag("--force", o.force, "replace that file if it is there");
    inspect.add_flag("--all", o.all, "every line of long lists");
}

void declare(CLI::App& app, Options& o, Texts& t) {
    app.footer(examples);
    app.set_version_flag("--version", std::string("pullcast ") + version);
    app.fallthrough();
    app.add_option("--units", t.units, "units of tables and CSV files: metric, us or si")->option_text("SYSTEM");
    app.add_option("--plugin", o.plugins, "a further plugin file, or a folder of them; may be repeated")
        ->expected(1)
        ->take_all()
        ->option_text("PATH");
    const auto command = [&](const char* name, const char* what) {
        auto* c = app.add_subcommand(name, what);
        c->set_help_flag("-h,--help", "print this help");
        return c;
    };
    const auto results_options = [&](CLI::App* c, const char* out, const char* what) {
        c->add_option("--out", t.out, out)->option_text("FOLDER");
        c->add_option("--threads", t.threads,
                      fmt::format("{} at a time (default: all cores); results do not depend on it", what))
            ->option_text("N");
        c->add_flag("--force", o.force, "replace the results folder if it is there");
        c->add_flag("--json", o.json, "print the results as JSON instead of the table");
    };
    auto* run = command("run", "run a study or a rig: table, results folder, notes");
    run->add_option("file", t.file, "study or rig (TOML)")->option_text("FILE");
    results_options(run, "results folder (default: results/NAME)", "variants");
    auto* explain = command("explain", "split the change between two variants of a study by cause");
    explain->add_option("file", t.file, "study (TOML)")->option_text("FILE");
    explain->add_option("variant", o.name, "the variant to explain")->option_text("VARIANT");
    explain->add_option("--against", o.against, "the variant to start from (default: the study's base)")
        ->option_text("VARIANT");
    explain->add_option("--figures", t.figures, "keys of figures, with commas between; 'run --json' lists them")
        ->option_text("KEYS");
    explain->add_option("--together", t.together, "causes that count as one, with commas between; may be repeated")
        ->expected(1)
        ->take_all()
        ->option_text("CAUSES");
    results_options(explain, "results folder (default: results/NAME-VARIANT-from-VARIANT)", "pulls");
    auto* live = command("live", "a page in the browser whose knobs re-run a study; ends with Ctrl-C");
    live->add_option("file", t.file, "study with knobs or a session (TOML), or a folder of lessons")
        ->option_text("FILE");
    live->add_option("--port", t.port, "port of 127.0.0.1 (default: any that is free)")->option_text("N");
    command("check", "read and check a study or rig without running it")
        ->add_option("file", t.file, "study or rig (TOML)")
        ->option_text("FILE");
    command("models", "list the component models, or describe one")
        ->add_option("name", o.name, "a model, or a role")
        ->option_text("NAME");
    command("parts", "list the parts in a folder, or describe one")
        ->add_option("file", t.file, "part file or folder")
        ->option_text("FILE");
    auto* draw = command("draw", "the rig as a graph");
    draw->add_option("file", t.file, "study or rig (TOML)")->option_text("FILE");
    draw->add_option("--format", t.format, "dot, or svg (needs Graphviz)")->option_text("FORMAT");
    auto* session = command("session", "run a day of steps: pulls, idling, waiting; states carry over");
    session->add_option("file", t.file, "study with a session (TOML)")->option_text("FILE");
    results_options(session, "results folder (default: results/NAME-session)", "variants");
    auto* choose = command("choose", "try combinations of parts, rank them by wishes: a shortlist; may be interrupted");
    choose->add_option("file", t.file, "study with wishes (TOML)")->option_text("FILE");
    results_options(choose, "results folder (default: results/NAME-choose); runs are kept beside it", "runs");
    choose->add_option("--shard", t.shard, "only every N-th run, from the I-th on, into a file of their own")
        ->option_text("I/N");
    choose->add_option("--merge", o.stores, "put the runs of all shards together")->option_text("RUNS...");
    choose->add_flag("--anew", o.anew, "drop the runs that are kept beside the results folder");
    choose->add_flag("--estimate", o.estimate, "say how long it would take, from a few seconds of it");
    auto* answers =
        command("answers", "what the lessons of a course ask and what their runs answer, for the instructor");
    answers->add_option("file", t.file, "folder of lessons, or one study with a session (TOML)")->option_text("FILE");
    answers->add_option("--page", t.page, "write it as a page to be printed, too (HTML)")->option_text("FILE");
    answers->add_option("--threads", t.threads, "variants at a time (default: all cores); answers do not depend on it")
        ->option_text("N");
    answers->add_flag("--force", o.force, "replace that page if it is there");
    const auto measured = [&](const char* name, const char* what, const char* out) {
        auto* c = command(name, what);
        c->add_option("file", t.file, "study with measured pulls (TOML)")->option_text("FILE");
        c->add_option("--without", t.without, "channels of the logs to leave aside, as if they had not been logged")
            ->option_text("LIST");
        results_options(c, out, "pulls");
    };
    measured("fit", "fit a rig to measured pulls, and compare", "results folder (default: results/NAME-fit)");
    measured("match", "bring measured pulls to the same conditions: what did the parts do?",
             "results folder (default: results/NAME-match)");
    declare_inspect(*command("inspect", "what a measured log holds: channels, faults, repairs, pulls"), o, t);
}

std::string or_meant(const std::string& name, const std::vector<std::string>& known) {
    const auto near = nearest_name(name, known);
    return near.empty() ? "" : fmt::format("; did you mean '{}'?", near);
}

std::vector<std::string> option_names(const CLI::App& app) {
    std::vector<std::string> names;
    for (const auto* o : app.get_options())
        for (const auto& l : o->get_lnames()) names.push_back("--" + l);
    return names;
}

/// What is there that does not belong.
std::string unexpected(const CLI::App& app) {
    const auto left = app.remaining(true);
    const std::string first = left.empty() ? "" : left.front();
    const auto chosen = app.get_subcommands();
    auto options = option_names(app);
    for (const auto* c : chosen)
        for (const auto& name : option_names(*c)) options.push_back(name);
    if (first.starts_with("-")) return fmt::format("unknown option '{}'{}", first, or_meant(first, options));
    if (chosen.empty()) return fmt::format("unknown command '{}'{}", first, or_meant(first, commands));
    return fmt::format("'{}' is one argument too many for '{}'", first, chosen.front()->get_name());
}

std::string in_our_words(const CLI::App& app, const CLI::ParseError& e) {
    if (dynamic_cast<const CLI::ExtrasError*>(&e)) return unexpected(app);
    const std::string what = e.what();
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&e)) return what.substr(0, what.find(':')) + " needs a value";
    return what;
}

Options checked(const std::string& command, Options o, const Texts& t) {
    o.units = unit_system(t.units);
    o.format = graph_format(t.format);
    if (!t.threads.empty()) o.threads = static_cast<unsigned>(count("--threads", t.threads, most_threads));
    if (!t.port.empty()) o.port = count("--port", t.port, most_port);
    const bool measured = command == "fit" || command == "match";
    if (t.file.empty() && command != "models")
        throw UsageError(fmt::format("'{}' needs {}", command,
                                     command == "parts"     ? "a part file, or a folder of parts"
                                     : command == "inspect" ? "a log file"
                                     : command == "answers" ? "a folder of lessons, or a study with a session"
                                     : measured             ? "a study with measured pulls"
                                                            : "a study or rig file"));
    if (command == "explain" && o.name.empty()) throw UsageError("'explain' needs a variant to explain");
    o.file = t.file, o.mapping = t.mapping, o.write_mapping = t.write_mapping, o.page = t.page;
    o.figures = names_in(t.figures);
    o.without = names_in(t.without);
    for (const auto& list : t.together) o.together.push_back(names_in(list));
    if (t.out.empty() && command == "explain") return o;  // it names its folder after the variants
    if (!t.shard.empty()) o.shard = shard_in(t.shard);
    if (o.shard && !o.stores.empty()) throw UsageError("--shard and --merge exclude each other");
    if (t.out.empty() && (measured || command == "session" || command == "choose")) {
        o.out = std::filesystem::path("results") / fmt::format("{}-{}", o.file.stem().string(), command);
        return o;
    }
    o.out = t.out.empty() ? std::filesystem::path("results") / o.file.stem() : std::filesystem::path(t.out);
    return o;
}

}  // namespace

int run_command_line(int argc, char** argv) {
    Options o;
    Texts t;
    CLI::App app{about, "pullcast"};
    declare(app, o, t);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        if (e.get_exit_code() == 0) return app.exit(e);
        throw UsageError(in_our_words(app, e));
    }
    const auto chosen = app.get_subcommands();
    if (chosen.empty()) throw UsageError(fmt::format("no command; one of: {}", fmt::join(commands, ", ")));
    if (chosen.size() > 1)
        throw UsageError(fmt::format("two commands: '{}' and '{}'", chosen[0]->get_name(), chosen[1]->get_name()));
    const auto name = chosen.front()->get_name();
    o = checked(name, o, t);
    if (name == "run") return run_command(o);
    if (name == "explain") return explain_command(o);
    if (name == "live") return live_command(o);
    if (name == "check") return check_command(o);
    if (name == "models") return models_command(o);
    if (name == "parts") return parts_command(o);
    if (name == "choose") return choose_command(o);
    if (name == "session") return session_command(o);
    if (name == "answers") return answers_command(o);
    if (name == "fit") return fit_command(o);
    if (name == "match") return match_command(o);
    if (name == "inspect") return inspect_command(o);
    return draw_command(o);
}

}  // namespace pullcast

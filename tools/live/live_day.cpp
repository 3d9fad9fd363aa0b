#include "live_day.hpp"

#include <chrono>
#include <day_page.hpp>
#include <nlohmann/json.hpp>
#include <page.hpp>
#include <pullcast/scenario/knobs.hpp>
#include <pullcast/solve/pull.hpp>

#include "live_json.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

Study with_session(Study study) {
    if (study.session) return study;
    throw ScenarioError({study.source}, "no session", "[session] gives the order of steps, [step.NAME] describes each");
}

}  // namespace

LiveDay::LiveDay(const Registry& registry, const std::filesystem::path& study, const LiveOptions& options)
    : LiveDay(registry, read_study(study, registry), options) {}

LiveDay::LiveDay(const Registry& registry, Study study, const LiveOptions& options)
    : registry_(registry), options_(options), study_(with_session(std::move(study))), asked_(asked_by(study_)) {}

std::string LiveDay::page(const std::string& token) const {
    Json page = lesson_json(study_, asked_, links_, options_.shown_first);
    page["live"] = live_json(study_, token);
    Json units = Json::object();
    add_units(page, units);
    page["units"] = std::move(units);
    return page_html(page, title_of(study_),
                     "This page runs the session with a script; without one, run\n\n" +
                         ("    pullcast session " + study_.file + "\n"));
}

std::string LiveDay::run(const RunRequest& request) {
    const auto place = turns_.take(request.client, request.sequence);
    const auto run = compute(turn(request), place.interrupt());
    const Json reply = {{"sequence", request.sequence},
                        {"simulated_ms", run.engine_ms},
                        {"answers", answers_json(run.study, asked_, run.results)},
                        {"day", day_json(run.study, run.results, run.steady, options_.shown_first)}};
    return reply.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string LiveDay::study_text(const RunRequest& request) { return turn(request)->text; }

std::string LiveDay::report(const RunRequest& request) {
    const auto place = turns_.take();
    const auto run = compute(turn(request), place.interrupt());
    return day_html(run.study, run.results, run.steady, options_.shown_first);
}

/// What the knobs turn, they turn of every variant.
Source LiveDay::turn(const RunRequest& request) const {
    if (request.start != study_.base) throw BadRequest("'start' must be the study's base");
    try {
        return with_turned(study_, request.knobs);
    } catch (const ScenarioError& e) {
        throw bad_values(study_, e);
    }
}

LiveDay::Run LiveDay::compute(const Source& text, const std::atomic<bool>& interrupt) const {
    using Clock = std::chrono::steady_clock;
    try {
        Run run{read_study(text, registry_), {}, {}, 0};
        const auto begin = Clock::now();
        run.results = run_sessions(run.study, options_.threads, &interrupt);
        run.steady = steady_of_all(run.study, run.results, options_.threads, &interrupt);
        run.engine_ms = std::chrono::duration<double, std::milli>(Clock::now() - begin).count();
        return run;
    } catch (const Interrupted&) {
        turns_.throw_why_interrupted();
    } catch (const ScenarioError& e) {
        throw bad_values(study_, e);
    }
}

}  // namespace pullcast

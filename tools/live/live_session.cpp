#include "live_session.hpp"

#include <nlohmann/json.hpp>
#include <page.hpp>
#include <pullcast/scenario/knobs.hpp>
#include <pullcast/study/headline.hpp>
#include <pullcast/study/words.hpp>

#include "live_json.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

constexpr PageDetail short_answer{.instants = 13, .every = 2};  // plots have some 200 pixels

Study with_knobs(Study study) {
    if (!study.knobs.empty()) return study;
    throw ScenarioError({{Severity::error,
                          Place{std::make_shared<SourceFile>(SourceFile{study.file, ""})},
                          "has no knobs to turn",
                          "in a study, [knob.NAME] declares one: title, sets, and choices or from and to",
                          {}}});
}

}  // namespace

LiveSession::LiveSession(const Registry& registry, const std::filesystem::path& study, const LiveOptions& options,
                         const std::atomic<bool>* interrupt)
    : LiveSession(registry, read_study(study, registry), options, interrupt) {}

LiveSession::LiveSession(const Registry& registry, Study study, const LiveOptions& options,
                         const std::atomic<bool>* interrupt)
    : registry_(registry),
      options_(options),
      study_(with_knobs(std::move(study))),
      results_(run_study(study_, options.threads, interrupt)),
      turns_({.at_a_time = options.threads}) {}

std::string LiveSession::page(const std::string& token) const {
    Json page = page_json(study_, results_, options_.shown_first);
    page["mode"] = "live";
    page["live"] = live_json(study_, token);
    add_units(page["live"], page["units"]);
    return page_html(page, title_of(study_),
                     "This page turns the study's knobs with a script; without one, run\n\n" +
                         ("    pullcast run " + study_.file + "\n"));
}

std::string LiveSession::run(const RunRequest& request) {
    const auto place = turns_.take(request.client, request.sequence);
    const auto compared = compare(turn(request), place.interrupt());
    Json rigs = Json::array();
    Json variant = variant_json(compared.study, compared.results, 1, rigs, short_answer);
    Json headline = variant["headline"];
    const Json reply = {{"sequence", request.sequence},
                        {"simulated_ms", compared.engine_ms},
                        {"headline", std::move(headline)},
                        {"rigs", std::move(rigs)},
                        {"variant", std::move(variant)}};  // last: members before a fifth one are copied
    return reply.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string LiveSession::study_text(const RunRequest& request) { return turn(request).text->text; }

std::string LiveSession::report(const RunRequest& request) {
    const auto place = turns_.take();
    const auto compared = compare(turn(request), place.interrupt());
    return report_html(compared.study, compared.results, options_.shown_first);
}

LiveSession::Turned LiveSession::turn(const RunRequest& request) const {
    try {
        const auto turned = with_variant(study_, request.start, request.knobs);
        return {turned.text, read_study(turned.text, registry_, turned.variant)};
    } catch (const ScenarioError& e) {
        throw bad_values(study_, e);
    }
}

LiveSession::Compared LiveSession::compare(Turned turned, const std::atomic<bool>& interrupt) const {
    const auto base = base_index(study_);
    Compared out{std::move(turned.study), {results_[base]}, 0};
    const auto begin = std::chrono::steady_clock::now();
    try {
        out.results.push_back(std::move(run_study(out.study, 1, &interrupt).front()));
    } catch (const Interrupted&) {
        turns_.throw_why_interrupted();
    } catch (const ScenarioError& e) {
        throw bad_values(study_, e);
    }
    out.engine_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
    out.study.base = study_.variants[base].name;
    out.study.variants.insert(out.study.variants.begin(), study_.variants[base]);
    return out;
}

}  // namespace pullcast

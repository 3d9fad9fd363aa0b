#include "answers_page.hpp"

#include <pullcast/study/session_words.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/version.hpp>

#include "in_systems.hpp"
#include "page.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t text_width = 100;

Json questions_json(const AnsweredLesson& l) {
    const auto asked = asked_by(l.study);
    Json all = Json::array();
    for (std::size_t k = 0; k < asked.size(); ++k) {
        const auto answer = answer_to(l.study.questions[k], l.study, l.results);
        all.push_back({{"text", l.study.questions[k].text},
                       {"answer", in_systems([&](UnitSystem s) { return answer_in_words(asked[k], answer, s); })}});
    }
    return all;
}

Json variants_json(const AnsweredLesson& l) {
    Json all = Json::array();
    for (std::size_t v = 0; v < l.results.size(); ++v) {
        const auto words = [&](UnitSystem s) { return session_in_words(l.study, l.results, v, l.steady[v], s); };
        all.push_back({{"title", l.study.variants[v].title},
                       {"failure", l.results[v].failure.empty() ? Json(nullptr) : Json(l.results[v].failure)},
                       {"words", l.results[v].failure.empty() ? in_systems(words) : in_systems([](UnitSystem) {
                            return std::vector<std::string>();
                        })}});
    }
    return all;
}

Json lesson_json(const AnsweredLesson& l) {
    return {{"title", title_of(l.study)},  {"question", l.study.question}, {"note", l.study.note},
            {"file", l.study.file},        {"hash", l.study.hash},         {"questions", questions_json(l)},
            {"variants", variants_json(l)}};
}

}  // namespace

AnsweredLesson run_lesson(Study study, unsigned threads, const std::atomic<bool>* interrupt) {
    auto results = run_sessions(study, threads, interrupt);
    auto steady = steady_of_all(study, results, threads, interrupt);
    return {std::move(study), std::move(results), std::move(steady)};
}

std::string answers_text(const AnsweredLesson& l, UnitSystem system, std::size_t width) {
    const auto questions = questions_text(l.study, l.results, system, width);
    return session_text(l.study, l.results, l.steady, system, width) + (questions.empty() ? "" : "\n" + questions);
}

std::string answers_html(const std::string& title, const std::vector<AnsweredLesson>& lessons, UnitSystem shown_first) {
    Json all = Json::array();
    std::string plain = title + "\n";
    for (const auto& l : lessons) {
        all.push_back(lesson_json(l));
        plain += "\n\n" + answers_text(l, shown_first, text_width);
    }
    Json page = {{"schema", "pullcast.page"},
                 {"schema_version", 1},
                 {"mode", "answers"},
                 {"program", {{"name", "pullcast"}, {"version", version}}},
                 {"title", title},
                 {"system", shown_first == UnitSystem::us ? "us" : "metric"},
                 {"units", Json::object()},
                 {"lessons", std::move(all)},
                 {"cautions", cautions()}};
    return page_html(page, title, plain);
}

}  // namespace pullcast

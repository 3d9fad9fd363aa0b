/// What every lesson of a course asks and what its run answers, for the instructor: text, and a page to be printed
/// (type `Answers` in tools/page/src/data.ts).
#pragma once
#include <pullcast/study/questions.hpp>
#include <string>

namespace pullcast {

/// A lesson that was run.
struct AnsweredLesson {
    Study study;
    std::vector<SessionResult> results;
    std::vector<std::vector<double>> steady;
};
AnsweredLesson run_lesson(Study study, unsigned threads, const std::atomic<bool>* interrupt);

std::string answers_text(const AnsweredLesson& lesson, UnitSystem system, std::size_t width);

/// One HTML file that opens from disk.
std::string answers_html(const std::string& title, const std::vector<AnsweredLesson>& lessons, UnitSystem shown_first);

}  // namespace pullcast

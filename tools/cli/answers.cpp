#include <fmt/format.h>

#include <pullcast/study/questions.hpp>

#include "answers_page.hpp"
#include "course.hpp"
#include "options.hpp"
#include "terminal.hpp"
#include "write_file.hpp"

namespace pullcast {

int answers_command(const Options& o) {
    const auto registry = load_plugins(o);
    const bool folder = std::filesystem::is_directory(o.file);
    const auto course = folder ? course_in(o.file) : Course{{}, {o.file}};
    auto studies = read_lessons(course.lessons, registry);
    for (const auto& study : studies) asked_by(study);  // every mistake before the first run
    const auto& interrupt = listen_to_signals();
    std::vector<AnsweredLesson> lessons;
    bool failed = false;
    for (auto& study : studies) {
        lessons.push_back(run_lesson(std::move(study), thread_count(o), &interrupt));
        const auto& l = lessons.back();
        fmt::print("{}{}", lessons.size() > 1 ? "\n\n" : "", answers_text(l, o.units, terminal_width()));
        for (const auto& r : l.results)
            if (!r.failure.empty()) failed = true, fmt::print(stderr, "error: {}: {}\n", l.study.file, r.failure);
    }
    if (!o.page.empty()) {
        const auto title = folder ? course.title : title_of(lessons.front().study);
        write_file(o.page, answers_html("Answers: " + title, lessons, o.units), o.force);
        fmt::print(stderr, "page: {} (opens in a browser, needs no network)\n", o.page.string());
    }
    return failed ? Exit::solver : Exit::ok;
}

}  // namespace pullcast

#include "course.hpp"

#include <algorithm>
#include <charconv>
#include <fstream>

namespace pullcast {
namespace {

namespace fs = std::filesystem;

constexpr const char* lesson_file = "lesson.toml";

/// The number that a name starts with, and the name.
std::pair<long, std::string> order_of(const fs::path& lesson) {
    const auto name = lesson.parent_path().filename().string();
    long number = 0;
    std::from_chars(name.data(), name.data() + name.size(), number);
    return {number, name};
}

std::string title_of_folder(const fs::path& folder) {
    constexpr std::string_view heading = "# ";
    std::ifstream readme(folder / "README.md");
    for (std::string line; std::getline(readme, line);)
        if (line.starts_with(heading)) return line.substr(heading.size());
    return fs::absolute(folder / "").lexically_normal().parent_path().filename().string();
}

}  // namespace

Course course_in(const fs::path& folder) {
    Course course{title_of_folder(folder), {}};
    for (const auto& e : fs::directory_iterator(folder))
        if (fs::exists(e.path() / lesson_file)) course.lessons.push_back(e.path() / lesson_file);
    std::sort(course.lessons.begin(), course.lessons.end(),
              [](const fs::path& a, const fs::path& b) { return order_of(a) < order_of(b); });
    if (!course.lessons.empty()) return course;
    throw ScenarioError(Place{std::make_shared<SourceFile>(SourceFile{folder.string(), ""})}, "has no lessons",
                        "a lesson is a folder with a lesson.toml, which is a study with a session");
}

std::vector<Study> read_lessons(const std::vector<fs::path>& files, const Registry& registry) {
    std::vector<Study> all;
    for (const auto& file : files) {
        all.push_back(read_study(file, registry));
        if (!all.back().session)
            throw ScenarioError({all.back().source}, "no session",
                                "[session] gives the order of steps, [step.NAME] describes each");
    }
    return all;
}

}  // namespace pullcast

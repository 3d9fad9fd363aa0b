/// A folder of lessons: FOLDER/NAME/lesson.toml, in the order of their names with numbers counted ("2-..." before
/// "10-...").
#pragma once
#include <filesystem>
#include <pullcast/scenario/scenario.hpp>
#include <string>
#include <vector>

namespace pullcast {

struct Course {
    std::string title;  // first heading of the folder's README.md, else its name
    std::vector<std::filesystem::path> lessons;
};
/// Throws ScenarioError where there are none.
Course course_in(const std::filesystem::path& folder);

/// Studies with a session: those of a course, or the one file. Throws ScenarioError.
std::vector<Study> read_lessons(const std::vector<std::filesystem::path>& files, const Registry& registry);

}  // namespace pullcast

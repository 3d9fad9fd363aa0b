#include "live_course.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <page.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

}  // namespace

LiveCourse::LiveCourse(const Registry& registry, const std::filesystem::path& folder, const LiveOptions& options)
    : course_(course_in(folder)), options_(options) {
    for (auto& study : read_lessons(course_.lessons, registry)) days_.emplace_back(registry, std::move(study), options);
    link_lessons();
}

void LiveCourse::link_lessons() {
    for (std::size_t k = 0; k < days_.size(); ++k) {
        std::vector<LessonLink> links{{course_.title, "../"}};
        const auto add = [&](const char* which, std::size_t other) {
            links.push_back(
                {fmt::format("{}: {}", which, title_of(days_[other].study())), fmt::format("../{}/", other + 1)});
        };
        if (k > 0) add("Before", k - 1);
        if (k + 1 < days_.size()) add("Next", k + 1);
        days_[k].link_to(std::move(links));
    }
}

std::string LiveCourse::page(const std::string& token) const {
    Json lessons = Json::array();
    std::string plain = course_.title + "\n\n";
    for (std::size_t k = 0; k < days_.size(); ++k) {
        const auto& study = days_[k].study();
        lessons.push_back(
            {{"title", title_of(study)}, {"question", study.question}, {"address", fmt::format("{}/", k + 1)}});
        plain += fmt::format("    pullcast session {}\n", study.file);
    }
    const Json page = {{"schema", "pullcast.page"},
                       {"schema_version", 1},
                       {"mode", "contents"},
                       {"program", {{"name", "pullcast"}, {"version", version}}},
                       {"title", course_.title},
                       {"token", token},
                       {"lessons", std::move(lessons)},
                       {"cautions", cautions()}};
    return page_html(page, course_.title, plain);
}

std::vector<LivePage*> LiveCourse::lessons() {
    std::vector<LivePage*> all;
    for (auto& day : days_) all.push_back(&day);
    return all;
}

}  // namespace pullcast

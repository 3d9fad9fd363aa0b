/// What the page of a session shows before it is run: type `Lesson` in tools/page/src/data.ts. Nothing of a run is in
/// it.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/study/questions.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// Another page of the same server.
struct LessonLink {
    std::string title, address;  // as seen from this page: "../2/"
};

/// Without `live` and `units`. Throws ScenarioError where a rig cannot be compiled.
nlohmann::ordered_json lesson_json(const Study& study, const std::vector<Asked>& asked,
                                   const std::vector<LessonLink>& links, UnitSystem shown_first);

/// Answers of a run, in the order of the questions.
nlohmann::ordered_json answers_json(const Study& study, const std::vector<Asked>& asked,
                                    const std::vector<SessionResult>& results);

}  // namespace pullcast

/// The questions of a session (scenario/predict_reader.hpp) and what its run answers.
#pragma once
#include <pullcast/study/session_run.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {

/// What a question asks for, with its unit.
struct Asked {
    std::string label;            // "intake at start (sensor)"
    const char *unit, *quantity;  // as of a Figure; of a difference where the question asks for one
    int decimals;
    std::optional<double> alike_within;  // SI
    const char *less, *more;             // "cooler", "hotter": which way a difference goes
};

/// One for each question of the study. Throws ScenarioError with everything that is wrong: a figure that there is not,
/// two of different kinds, a width in another unit.
std::vector<Asked> asked_by(const Study& study);

struct Answer {
    std::optional<double> value;  // SI
    std::string why_not;          // where there is none
};
Answer answer_to(const Question& question, const Study& study, const std::vector<SessionResult>& results);

/// "4.3 K hotter", "about the same: 0.4 K hotter", "61.2 degC".
std::string answer_in_words(const Asked& asked, const Answer& answer, UnitSystem system);

/// Plain text: each question with its answer; "" without questions.
std::string questions_text(const Study& study, const std::vector<SessionResult>& results, UnitSystem system,
                           std::size_t width);

}  // namespace pullcast

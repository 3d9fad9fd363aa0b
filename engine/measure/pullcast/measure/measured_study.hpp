/// A study with measured pulls, read whole: its rigs, its logs, what is to be fitted and what is to be said.
#pragma once
#include <pullcast/measure/fit_choices.hpp>
#include <pullcast/measure/logged_pull.hpp>
#include <pullcast/measure/match_choices.hpp>

namespace pullcast::measure {

struct MeasuredStudy {
    Study study;  // its hash is of the logs too
    std::vector<FitChoice> choices;
    MatchChoices match;
    std::vector<LoggedPull> pulls;
};

/// `without`: channels of the logs that are left aside, to see what would be known without them. Throws ScenarioError
/// with everything that is wrong in any of the files.
MeasuredStudy read_measured_study(const std::filesystem::path& file, const Registry& registry,
                                  const std::vector<std::string>& without = {});

}  // namespace pullcast::measure

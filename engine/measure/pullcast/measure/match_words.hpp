/// Results of measured pulls in words, as text and as JSON.
#pragma once
#include <pullcast/measure/checklist.hpp>

namespace pullcast::measure {

inline constexpr const char* measured_schema = "pullcast.measured";
/// Goes up when a member goes or changes its meaning.
inline constexpr int measured_schema_version = 1;

/// The first comparison in one sentence or two; "" where nothing is compared.
std::string headline(const MeasuredResults& results, UnitSystem system);

/// What was held alike and what that took, what could have been shown, how many more pulls and which channel would
/// help.
std::vector<std::string> comparison_in_words(const MeasuredResults& results, const Comparison& comparison,
                                             UnitSystem system);

/// One figure of a comparison: what changed, how surely, and what of the doubt is whose doing.
std::string figure_in_words(const MatchedFigure& figure, UnitSystem system);
const char* in_words(Verdict verdict);

/// How well the rig follows the pulls, and what cannot be told apart.
std::vector<std::string> fit_in_words(const MeasuredResults& results, UnitSystem system);

/// What the logs themselves show of the figures that are split by cause.
std::vector<std::string> measured_in_words(const PullsExplained& explained, UnitSystem system);

std::vector<std::string> how_to_read_matches();

/// All of it as plain text.
std::string measured_text(const MeasuredResults& results, UnitSystem system, std::size_t width);

std::string measured_json(const MeasuredResults& results);

}  // namespace pullcast::measure

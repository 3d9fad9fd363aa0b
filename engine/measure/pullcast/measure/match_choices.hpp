/// What is to be said of the parts that measured pulls were made with: the [match] table of a study (described in
/// README.md).
#pragma once
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast::measure {

/// What is kept alike when two variants are compared; ambient and start state always are.
enum class Question : std::uint8_t { same_pulley, same_manifold_pressure, same_knock_margin };
const char* in_words(Question question);

/// Scatter from pull to pull that no model follows, one standard deviation. Assumed: common practice, no source.
struct Repeatability {
    double power = 0.01;  // share; of all that is neither temperature, pressure nor spark
    double temperature = 1, pressure = 1e3, spark = 0.0087266;  // K, Pa, rad
};

struct NoWorse {
    const Figure* figure;
    double limit;  // SI, or a share of the base's figure
    bool share;
};

struct MatchChoices {
    bool asked = false;  // the study has a [match] or a [reference]
    std::vector<Question> questions{Question::same_pulley};
    std::vector<const Figure*> figures;
    Repeatability repeatability;
    std::vector<NoWorse> no_worse;
    std::vector<std::string> explain;  // two pulls, the change between which is split by cause; or none
};

/// With presets where nothing is said. What is wrong goes to the diagnostics.
MatchChoices read_match_choices(const Study& study, Diagnostics& diagnostics);

}  // namespace pullcast::measure

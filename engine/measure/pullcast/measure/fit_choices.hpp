/// What of a rig is to be fitted to measured pulls: the [fit.NAME] tables of a study (described in README.md).
#pragma once
#include <pullcast/measure/channel_kinds.hpp>
#include <pullcast/measure/fit.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast::measure {

/// What a fitted value belongs to. A condition of one pull is replaced when pulls are brought to the same conditions;
/// what belongs to the rig or to a variant stays with it.
enum class Belongs : std::uint8_t { rig, variant, pull };

struct FitChoice {
    std::string name, title;         // "core", "heat conductance of the core"
    std::vector<std::string> paths;  // "component.key", or "common.key" for all that share it
    Parameter::Kind kind = Parameter::Kind::factor;
    Belongs belongs = Belongs::rig;
    std::vector<std::string> pulls;  // that have it; empty: all
    std::string unit, quantity;      // of its values: "1" of a factor
    double lowest = -std::numeric_limits<double>::infinity(), highest = std::numeric_limits<double>::infinity();
    std::optional<double> expected, deviation;  // what is known of it
    const ChannelKind* measured = nullptr;      // expected is instead what this channel reads at the start, if logged,
    double reading_deviation = 0;               // but for its accuracy and for so much
    Place place;

    int decimals() const { return unit == "K" ? 2 : 3; }  // that its values are shown with
};

/// The choices of a study, of which each must fit all its pulls. What is wrong goes to the diagnostics.
std::vector<FitChoice> read_fit_choices(const Study& study, Diagnostics& diagnostics);

/// Where a path stands in a variant's rig. Empty where it is nowhere.
std::vector<Parameter::Place> places_of(const std::string& path, const Variant& variant);

}  // namespace pullcast::measure

/// In what two variants of one rig differ, gathered into causes that a person would name, and everything between the
/// two.
#pragma once
#include <optional>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/shapley.hpp>

namespace pullcast {

/// A parameter that differs in effect: as set, or as preset where nothing is set. The key `model` stands for the model
/// itself with its connections and with the parameters that only one of the two models has.
struct Difference {
    std::size_t component;  // of the rig; the number of components stands for the procedure
    std::string key;
};

struct Cause {
    std::string title;  // "ambient temperature"
    std::vector<Difference> differences;
};

/// What is set, or the preset; nothing where a parameter that may be left out is.
std::optional<ParameterValue> parameter_in_effect(const ComponentSpec& component, const Field& field);

/// The causes of all that differs, in the order of the rules (causes.cpp). Empty where nothing does. Throws
/// std::invalid_argument where the two rigs have not the same components.
std::vector<Cause> causes_between(const Variant& from, const Variant& to);

/// Makes one cause of those named, in the place of the first; "a, b". Throws ScenarioError for a name that none has.
std::vector<Cause> together(std::vector<Cause> causes, const std::vector<std::string>& titles);

/// So many of them; what is more counts as one with the last.
std::vector<Cause> at_most(std::vector<Cause> causes, std::size_t count);

/// `from` with those causes taken from `to` whose bit is set. Rig and procedure alone.
Variant between(const Variant& from, const Variant& to, const std::vector<Cause>& causes, Coalition taken);

/// What a cause changes: "temperature 14 degC -> 24 degC", "slim core -> deep core".
std::vector<std::string> change_in_words(const Cause& cause, const Variant& from, const Variant& to, UnitSystem system);

/// "pulley, core and humidity"
std::string listed(const std::vector<std::string>& names);

}  // namespace pullcast

/// Knobs: what of a study is meant to be turned, and a study's text with some of them turned.
///
///     [knob.pulley]
///     title = "blower pulley"                 (optional: title, note, step)
///     sets = "drive.parts.pulley"             one path or a list: as in [variant.NAME.set]
///     choices = ["pulley-92", "pulley-80"]    parts, models, or words of a choice
///     [knob.ambient]
///     sets = "ambient.temperature"
///     from = "5 degC"
///     to = "40 degC"
///     step = "1 K"                            a fiftieth of the range if left out; 1 for whole numbers
///     [knob.wait]
///     sets = "step.wait.lasts"                of a session: how long a step lasts, or a number or word of its settings:
///     from = "30 s"                           "step.wait.set.front.face_velocity"
///     to = "10 min"
///
/// Paths and values are checked against the study's base variant: there each choice and both ends of a range must bind.
#pragma once
#include <map>
#include <pullcast/scenario/diagnostics.hpp>
#include <variant>

namespace pullcast {

struct Study;

struct Choice {
    std::string value;  // what is set
    std::string label;  // of a part: its name, and its price if it has one; else the value
};

struct Knob {
    std::string name, title, note;
    std::vector<std::string> sets;  // paths; a path belongs to one knob
    std::vector<Choice> choices;    // of a knob without range
    std::string unit, quantity;     // of a range: schema unit and name of what the first path sets (units.hpp)
    double from = 0, to = 0;        // SI
    double step = 0;                // SI; a difference ("dK") where the unit is "K"
    bool whole = false;             // takes whole numbers
    Place place;                    // of its header
    /// By variant: what the first path has there, a number in SI or the value of a choice. Left out where the variant
    /// has no such thing, or no value that is among the choices.
    std::map<std::string, std::variant<double, std::string>> start;
};

/// A study's text with one more variant at its end.
struct TurnedStudy {
    Source text;          // stands where the study does: read_study(text, registry, variant)
    std::string variant;  // its name: "live", or "live-2", ... where that is taken
};

/// The study's text and, behind it, a variant like `start` with `values` by knob: texts as they would stand in the file
/// ("31 degC", "pulley-80"). What is no choice of its knob never gets into the text. Throws ScenarioError for an
/// unknown variant, knob or choice, and for a number beyond its knob's range. What is no number of the knob's unit is told
/// by read_study; knob_at then tells which knob it is about.
TurnedStudy with_variant(const Study& study, const std::string& start,
                         const std::map<std::string, std::string>& values);

/// The study's text and, behind it, a table [[turned]] with these values, which stands above all variants and steps
/// (turned_tables.hpp). Refuses what with_variant refuses. Without values the text as it is.
Source with_turned(const Study& study, const std::map<std::string, std::string>& values);

/// The knob that a place in a text of these two, or in an error of theirs, is about; "" if none.
std::string knob_at(const Study& study, const Place& place);

}  // namespace pullcast

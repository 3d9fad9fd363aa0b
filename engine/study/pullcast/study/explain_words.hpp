/// An explanation as text and JSON.
#pragma once
#include <pullcast/study/explain.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {

inline constexpr const char* explanation_schema = "pullcast.explanation";
/// Goes up when a member goes or changes its meaning.
inline constexpr int explanation_schema_version = 1;

/// What is explained, and between which variants of which study.
struct Explained {
    const Study& study;
    const Variant &from, &to;
    const Explanation& explanation;
};

/// The figure's label; with its group where the label alone does not say enough.
std::string figure_name(const Figure& figure);

/// How a figure changes and which causes that is the doing of; one more sentence where what a cause does depends much
/// on the others.
std::string figure_in_words(const Explained& e, std::size_t figure, UnitSystem system);

/// One sentence for each figure that was asked for in vain.
std::vector<std::string> not_there_in_words(const Explained& e);

/// How to read the three numbers of a cause.
std::string how_to_read();

/// All of it as plain text: causes, a table of the figures, sentences, a caution.
std::string explanation_text(const Explained& e, UnitSystem system, std::size_t width);

std::string explanation_json(const Explained& e);

}  // namespace pullcast

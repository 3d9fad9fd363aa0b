/// What the numbers say, in plain words, by rules; and what must be said beside them.
#pragma once
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// A number with its display unit: "78.4 kPa", "11.4 psi", "78412 Pa"; "-" for NaN. `decimals` suit the metric unit.
std::string show(double si, const char* unit, const char* quantity, int decimals, UnitSystem system);
/// The same without its unit.
std::string show_number(double si, const char* unit, const char* quantity, int decimals, UnitSystem system);

/// How one figure differs between two results: "41.2 hp", and its sense where that shows any (-1, 0, 1). Empty where one
/// of them has no such figure.
struct Moved {
    std::string size;
    int sense;
};
Moved moved(const VariantResult& from, const VariantResult& to, std::string_view key, UnitSystem system);

/// The study's title, or its file's name where it has none.
std::string title_of(const Study& study);

/// All figures that any variant has, one column a variant.
std::string figure_table(const Study& study, const std::vector<VariantResult>& results, UnitSystem system,
                         std::size_t width);

/// Which parts a variant has that the base has not, with prices: "deep core (640 EUR)"; "" if none.
std::string new_parts(const Study& study, std::size_t variant);

/// What changed from the base to a variant, and why. Of the base: what would move its knock margin.
std::vector<std::string> compare_in_words(const Study& study, const std::vector<VariantResult>& results,
                                          std::size_t variant, UnitSystem system);

/// The second half of that alone: surprises that are expected, what a change can be mistaken for, and what moved the
/// knock margin.
std::vector<std::string> explain_in_words(const Study& study, const std::vector<VariantResult>& results,
                                          std::size_t variant, UnitSystem system);

/// What happened within one pull that its reader should know.
std::vector<std::string> warnings_in_words(const VariantResult& result, UnitSystem system);

/// The correction standards' factors at the pull's ambient state.
std::vector<std::string> corrections_in_words(const VariantResult& result);
/// Where the state of the air is outside a standard's range, which of the table's figures that spoils; "" elsewhere.
std::string correction_caution(const std::vector<VariantResult>& results);

/// The models behind the numbers, each once, with what each is good for; and what other variants take instead.
std::vector<std::string> assumptions(const Study& study);

/// The usual cautions; the same for every study.
std::vector<std::string> cautions();

/// Takes out of every list the lines that all lists have, in order. One list alone keeps its lines.
std::vector<std::string> take_common(std::vector<std::vector<std::string>>& lists);

}  // namespace pullcast

/// What the numbers say, in plain words, by rules; and what must be said beside them.
#pragma once
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// A number with its display unit: "78.4 kPa", "11.4 psi"; "n/a" for NaN.
std::string show(double si, const char* unit, const char* quantity, int decimals, UnitSystem system);

/// What changed from the base to a variant, and which surprises are expected ones.
std::vector<std::string> compare_in_words(const Study& study, const std::vector<VariantResult>& results, std::size_t variant, UnitSystem system);

/// What happened within one pull that its reader should know, warnings first.
std::vector<std::string> warnings_in_words(const VariantResult& result, UnitSystem system);
std::vector<std::string> corrections_in_words(const VariantResult& result);

/// The models behind the numbers, with what each is good for.
std::vector<std::string> assumptions(const Variant& variant);

/// The usual cautions; the same for every study.
std::vector<std::string> cautions();

}  // namespace pullcast

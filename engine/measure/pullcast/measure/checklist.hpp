/// What must be asked before two measured pulls are compared: were they alike?
#pragma once
#include <pullcast/measure/measured_results.hpp>

namespace pullcast::measure {

enum class Alike : std::uint8_t { alike, differs, unknown };
const char* in_words(Alike state);

struct CheckItem {
    std::string item;  // "spark"
    Alike state;
    std::string words;
};

/// Start, air, fuel, spark, belt, tyres, sensor, repeats: each by what the logs show, or by what the study says.
std::vector<CheckItem> checklist(const MeasuredResults& results, UnitSystem system);

}  // namespace pullcast::measure

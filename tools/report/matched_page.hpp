/// The page of measured pulls: its document is `Matched` in tools/page/src/data.ts.
#pragma once
#include <pullcast/measure/match_words.hpp>

namespace pullcast {

/// One HTML file that opens from disk.
std::string matched_html(const measure::MeasuredResults& results, UnitSystem shown_first);

}  // namespace pullcast

/// The page of a change split by cause: `Explained` in tools/page/src/data.ts.
#pragma once
#include <pullcast/study/explain_words.hpp>
#include <string>

namespace pullcast {

/// One HTML file, like a report. `shown_first`: the units that it starts with (SI counts as metric).
std::string explained_html(const Explained& e, UnitSystem shown_first);

}  // namespace pullcast

/// The page of a change split by cause: `Explained` in tools/page/src/data.ts.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/study/explain_words.hpp>
#include <string>

namespace pullcast {

/// One HTML file, like a report. `shown_first`: the units that it starts with (SI counts as metric).
std::string explained_html(const Explained& e, UnitSystem shown_first);

/// Causes and figures of it, for a page that holds more.
nlohmann::ordered_json explained_json(const Explained& e);

}  // namespace pullcast

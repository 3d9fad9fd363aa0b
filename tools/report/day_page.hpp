/// The page of a session: its document is `Day` in tools/page/src/data.ts.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/session_run.hpp>
#include <string>

namespace pullcast {

/// The document. `steady`: steady_figures of each variant's first pull, or empty. `shown_first`: the units that the
/// page starts with (SI counts as metric).
nlohmann::ordered_json day_json(const Study& study, const std::vector<SessionResult>& results,
                                const std::vector<std::vector<double>>& steady, UnitSystem shown_first);

/// One HTML file that opens from disk.
std::string day_html(const Study& study, const std::vector<SessionResult>& results,
                     const std::vector<std::vector<double>>& steady, UnitSystem shown_first);

}  // namespace pullcast

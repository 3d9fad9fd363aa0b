/// The page of a choice of parts: its document is `Chosen` in tools/page/src/data.ts.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/choose/chosen.hpp>

namespace pullcast {

nlohmann::ordered_json choice_json(const choose::Chosen& chosen, UnitSystem shown_first);

/// One HTML file that opens from disk.
std::string choice_html(const choose::Chosen& chosen, UnitSystem shown_first);

}  // namespace pullcast

/// What a live page needs beside the report's document: type `Live` in tools/page/src/data.ts.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <string>

namespace pullcast {

/// The knobs start from the study's base.
nlohmann::ordered_json live_json(const Study& study, const std::string& token);

}  // namespace pullcast

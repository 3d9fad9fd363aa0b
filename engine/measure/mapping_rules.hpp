/// [faults] and [pulls] of a mapping: from TOML and back.
#pragma once
#include <pullcast/measure/log_mapping.hpp>
#include <pullcast/scenario/toml_document.hpp>

namespace pullcast::measure {

FaultRules read_fault_rules(const Entry* table, Diagnostics& diagnostics);
PullRules read_pull_rules(const Entry* table, Diagnostics& diagnostics);
/// Both as TOML; presets are left out.
std::string rules_text(const FaultRules& faults, const PullRules& pulls);

}  // namespace pullcast::measure

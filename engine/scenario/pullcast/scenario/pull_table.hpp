/// The [pull.NAME] tables of a study: which variant each measured pull is of, where its log is, what else was
/// different.
#pragma once
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

struct PullEntry {
    StudyPull pull;  // its variant's rig is not bound yet
    const Entry* set = nullptr;
};

/// The entries whose variant is known. `variants` are the names that the study has.
std::vector<PullEntry> read_pull_table(const Entry& pulls, const std::vector<std::string>& variants, Diagnostics& d);

}  // namespace pullcast

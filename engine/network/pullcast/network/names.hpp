/// Nearest names, for hints.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace pullcast {

/// The candidate with the smallest edit distance to `name` (transpositions count one), or "" if none is near enough to
/// be what was meant.
std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates);

}  // namespace pullcast

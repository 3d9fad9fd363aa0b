/// A fingerprint of what a study was read from.
#pragma once
#include <pullcast/scenario/diagnostics.hpp>

namespace pullcast {

/// XXH3, 128 bits, as 32 hexadecimal digits: over length (8 bytes, lowest first) and bytes of each file in turn. Names
/// do not count: in the order of reading each file names the next, wherever their folder stands.
std::string content_hash(const std::vector<Source>& files);

}  // namespace pullcast

/// Counts every heap allocation of the process, plugins included, by standing in for malloc and its kin.
#pragma once
#include <cstdint>

namespace pullcast::test {

/// False under a sanitizer, which needs malloc for itself.
bool allocations_are_counted();
std::uint64_t allocation_count();

}  // namespace pullcast::test

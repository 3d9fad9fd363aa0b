/// What no other choice beats in everything.
#pragma once
#include <cstddef>
#include <vector>

namespace pullcast::choose {

enum class Better : bool { less, more };

/// Indices, rising, of the rows that no other row dominates (at least as good in all columns and better in one). Equal
/// rows stay together. A row with NaN is never on the front. `better` has one entry a column; a row of another length
/// is std::invalid_argument. Takes rows * (rows on the front) comparisons.
std::vector<std::size_t> pareto_front(const std::vector<std::vector<double>>& rows, const std::vector<Better>& better);

}  // namespace pullcast::choose

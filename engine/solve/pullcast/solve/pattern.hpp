/// Where a sparse Jacobian can be non-zero, and how few directions of differentiation recover all of it: columns that
/// share no row get one colour and are differentiated together (Curtis, Powell, Reid 1974; from memory).
#pragma once
#include <cstdint>
#include <span>
#include <vector>

namespace pullcast {

/// Compressed rows: the entries of row i are start[i] .. start[i + 1] - 1, their columns ascending and unique.
struct Pattern {
    std::vector<std::uint32_t> start{0}, column;

    Pattern() = default;
    /// The columns of each row, in any order; repeated ones count once. Throws std::out_of_range beyond `columns`.
    Pattern(std::vector<std::vector<std::uint32_t>> rows, std::size_t columns);

    std::uint32_t rows() const { return static_cast<std::uint32_t>(start.size() - 1); }
    std::uint32_t columns() const { return columns_; }
    std::size_t entries() const { return column.size(); }
    std::span<const std::uint32_t> row(std::uint32_t i) const {
        return {column.data() + start[i], column.data() + start[i + 1]};
    }

private:
    std::uint32_t columns_ = 0;
};

/// A colour for each of the first `count` columns, from 0 without gaps: no two of one colour have an entry in the same
/// row. Greedy, columns with the most neighbours first, equal ones by index, so that the result is the same everywhere.
std::vector<std::uint32_t> colour_columns(const Pattern& pattern, std::size_t count);

}  // namespace pullcast

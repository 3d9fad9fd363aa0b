/// Where a sparse Jacobian can be non-zero, and how few directions of differentiation recover all of it: columns that
/// share no row get one colour and are differentiated together (Curtis, Powell, Reid 1974; from memory).
#pragma once
#include <cstdint>
#include <pullcast/dual.hpp>
#include <span>
#include <utility>
#include <vector>

namespace pullcast {

/// Compressed rows: the entries of row i are row_start[i] .. row_start[i + 1] - 1, columns ascending and unique.
struct Pattern {
    std::uint32_t rows = 0, columns = 0;
    std::vector<std::uint32_t> row_start{0}, column;

    using Entry = std::pair<std::uint32_t, std::uint32_t>;  // row, column
    Pattern() = default;
    /// In any order; repeated entries count once. Throws std::out_of_range for an entry outside the matrix.
    Pattern(std::uint32_t row_count, std::uint32_t column_count, std::vector<Entry> entries);

    std::size_t entries() const { return column.size(); }
    std::span<const std::uint32_t> row(std::uint32_t i) const {
        return {column.data() + row_start[i], column.data() + row_start[i + 1]};
    }
    Pattern transposed() const;
};

/// A colour for every column: no two columns of one colour have an entry in the same row.
struct Colouring {
    std::vector<std::uint32_t> colour;
    std::uint32_t colours = 0;
};
/// Greedy, columns with the most neighbours first; equal ones by index, so that the result is the same everywhere.
Colouring colour_columns(const Pattern& pattern);

/// One evaluation with dual numbers: seed these columns, then read these entries.
struct DualPass {
    struct Seed { std::uint32_t column, direction; };
    struct Read { std::uint32_t entry, row, direction; };
    std::vector<Seed> seeds;
    std::vector<Read> reads;
};
/// `width` colours a pass; every entry of the pattern is read exactly once. Columns without entries are not seeded.
std::vector<DualPass> dual_passes(const Pattern& pattern, const Colouring& colouring, std::uint32_t width = dual_width);

}  // namespace pullcast

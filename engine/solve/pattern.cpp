#include <algorithm>
#include <numeric>
#include <pullcast/solve/pattern.hpp>
#include <stdexcept>

namespace pullcast {

Pattern::Pattern(std::uint32_t row_count, std::uint32_t column_count, std::vector<Entry> entries)
    : rows(row_count), columns(column_count) {
    std::sort(entries.begin(), entries.end());
    entries.erase(std::unique(entries.begin(), entries.end()), entries.end());
    row_start.assign(rows + 1, 0);
    column.reserve(entries.size());
    for (const auto& [i, j] : entries) {
        if (i >= rows || j >= columns) throw std::out_of_range("pattern entry outside the matrix");
        ++row_start[i + 1];
        column.push_back(j);
    }
    std::partial_sum(row_start.begin(), row_start.end(), row_start.begin());
}

Pattern Pattern::transposed() const {
    std::vector<Entry> entries_of_transpose;
    for (std::uint32_t i = 0; i < rows; ++i)
        for (const auto j : row(i)) entries_of_transpose.emplace_back(j, i);
    return {columns, rows, std::move(entries_of_transpose)};
}

namespace {

/// The columns that share a row with each column.
Pattern neighbours(const Pattern& pattern) {
    std::vector<Pattern::Entry> pairs;
    for (std::uint32_t i = 0; i < pattern.rows; ++i)
        for (const auto a : pattern.row(i))
            for (const auto b : pattern.row(i))
                if (a != b) pairs.emplace_back(a, b);
    return {pattern.columns, pattern.columns, std::move(pairs)};
}

}  // namespace

Colouring colour_columns(const Pattern& pattern) {
    const Pattern graph = neighbours(pattern);
    std::vector<std::uint32_t> order(pattern.columns);
    std::iota(order.begin(), order.end(), 0u);
    std::stable_sort(order.begin(), order.end(),
                     [&](auto a, auto b) { return graph.row(a).size() > graph.row(b).size(); });

    constexpr auto none = ~std::uint32_t{0};
    Colouring result{std::vector<std::uint32_t>(pattern.columns, none), 0};
    std::vector<std::uint32_t> taken_by(pattern.columns + 1, none);  // the last column that met this colour next door
    for (const auto j : order) {
        for (const auto k : graph.row(j))
            if (result.colour[k] != none) taken_by[result.colour[k]] = j;
        std::uint32_t colour = 0;
        while (taken_by[colour] == j) ++colour;
        result.colour[j] = colour;
        result.colours = std::max(result.colours, colour + 1);
    }
    return result;
}

std::vector<DualPass> dual_passes(const Pattern& pattern, const Colouring& colouring, std::uint32_t width) {
    std::vector<DualPass> passes((colouring.colours + width - 1) / width);
    std::vector<bool> used(pattern.columns, false);
    for (std::uint32_t i = 0; i < pattern.rows; ++i)
        for (auto e = pattern.row_start[i]; e < pattern.row_start[i + 1]; ++e) {
            const auto colour = colouring.colour[pattern.column[e]];
            passes[colour / width].reads.push_back({e, i, colour % width});
            used[pattern.column[e]] = true;
        }
    for (std::uint32_t j = 0; j < pattern.columns; ++j)
        if (used[j]) passes[colouring.colour[j] / width].seeds.push_back({j, colouring.colour[j] % width});
    return passes;
}

}  // namespace pullcast

#include <algorithm>
#include <bit>
#include <numeric>
#include <pullcast/solve/pattern.hpp>
#include <stdexcept>

namespace pullcast {

Pattern::Pattern(std::vector<std::vector<std::uint32_t>> rows, std::size_t columns)
    : columns_(static_cast<std::uint32_t>(columns)) {
    for (auto& row : rows) {
        std::sort(row.begin(), row.end());
        row.erase(std::unique(row.begin(), row.end()), row.end());
        if (!row.empty() && row.back() >= columns) throw std::out_of_range("pattern entry outside the matrix");
        column.insert(column.end(), row.begin(), row.end());
        start.push_back(static_cast<std::uint32_t>(column.size()));
    }
}

namespace {

/// For each of the first `count` columns, the bits of those that share a row with it, itself included.
std::vector<std::vector<std::uint64_t>> neighbours(const Pattern& pattern, std::size_t count) {
    const std::size_t words = (count + 63) / 64;
    std::vector<std::vector<std::uint64_t>> bits(count, std::vector<std::uint64_t>(words));
    std::vector<std::uint64_t> row(words);
    for (std::uint32_t i = 0; i < pattern.rows(); ++i) {
        std::fill(row.begin(), row.end(), 0);
        for (const auto a : pattern.row(i))
            if (a < count) row[a / 64] |= std::uint64_t{1} << (a % 64);
        for (const auto a : pattern.row(i))
            for (std::size_t w = 0; a < count && w < words; ++w) bits[a][w] |= row[w];
    }
    return bits;
}

}  // namespace

std::vector<std::uint32_t> colour_columns(const Pattern& pattern, std::size_t count) {
    const auto graph = neighbours(pattern, count);
    std::vector<std::uint32_t> order(count), degree(count);
    std::iota(order.begin(), order.end(), 0u);
    for (std::uint32_t j = 0; j < count; ++j)
        for (const auto word : graph[j]) degree[j] += static_cast<std::uint32_t>(std::popcount(word));
    std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return degree[a] > degree[b]; });

    constexpr auto none = ~std::uint32_t{0};
    std::vector<std::uint32_t> colour(count, none), taken_by(count + 1, none);  // the last column next door to a colour
    for (const auto j : order) {
        for (std::uint32_t k = 0; k < count; ++k)
            if (colour[k] != none && (graph[j][k / 64] >> (k % 64) & 1)) taken_by[colour[k]] = j;
        std::uint32_t c = 0;
        while (taken_by[c] == j) ++c;
        colour[j] = c;
    }
    return colour;
}

}  // namespace pullcast

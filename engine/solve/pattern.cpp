#include <algorithm>
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

/// Which of the first `count` columns share a row with each of them.
Pattern neighbours(const Pattern& pattern, std::size_t count) {
    std::vector<std::vector<std::uint32_t>> pairs(count);
    for (std::uint32_t i = 0; i < pattern.rows(); ++i)
        for (const auto a : pattern.row(i))
            for (const auto b : pattern.row(i))
                if (a != b && a < count && b < count) pairs[a].push_back(b);
    return {std::move(pairs), count};
}

}  // namespace

std::vector<std::uint32_t> colour_columns(const Pattern& pattern, std::size_t count) {
    const Pattern graph = neighbours(pattern, count);
    std::vector<std::uint32_t> order(count);
    std::iota(order.begin(), order.end(), 0u);
    std::stable_sort(order.begin(), order.end(),
                     [&](auto a, auto b) { return graph.row(a).size() > graph.row(b).size(); });

    constexpr auto none = ~std::uint32_t{0};
    std::vector<std::uint32_t> colour(count, none), taken_by(count + 1, none);  // the last column next door to a colour
    for (const auto j : order) {
        for (const auto k : graph.row(j))
            if (colour[k] != none) taken_by[colour[k]] = j;
        std::uint32_t c = 0;
        while (taken_by[c] == j) ++c;
        colour[j] = c;
    }
    return colour;
}

}  // namespace pullcast

// The sparsity pattern and its colouring against brute force.
#include <gtest/gtest.h>

#include <algorithm>
#include <pullcast/solve/pattern.hpp>
#include <random>
#include <set>
#include <stdexcept>

namespace pattern_tests {

using namespace pullcast;

Pattern random_pattern(std::uint32_t rows, std::uint32_t columns, int per_row, unsigned seed) {
    std::mt19937 random(seed);
    std::vector<std::vector<std::uint32_t>> entries(rows);
    for (auto& row : entries)
        for (int k = 0; k < per_row; ++k) row.push_back(static_cast<std::uint32_t>(random() % columns));
    return {entries, columns};
}

TEST(Pattern, SortsRowsAndDropsRepeats) {
    const Pattern p({{4, 1, 4}, {}, {0}}, 5);
    EXPECT_EQ(p.rows(), 3u);
    EXPECT_EQ(p.columns(), 5u);
    EXPECT_EQ(p.start, (std::vector<std::uint32_t>{0, 2, 2, 3}));
    EXPECT_EQ(p.column, (std::vector<std::uint32_t>{1, 4, 0}));
    EXPECT_EQ(p.row(1).size(), 0u);
}

TEST(Pattern, RefusesAColumnBeyondTheLast) { EXPECT_THROW(Pattern({{0}, {5}}, 5), std::out_of_range); }

TEST(Pattern, EmptyIsAllowed) {
    EXPECT_EQ(Pattern().rows(), 0u);
    EXPECT_TRUE(colour_columns(Pattern(), 0).empty());
}

TEST(Colouring, NoTwoColumnsOfAColourShareARow) {
    for (unsigned seed = 0; seed < 40; ++seed) {
        const Pattern p = random_pattern(30 + seed, 20 + 2 * seed, 1 + static_cast<int>(seed) % 7, seed);
        const auto colour = colour_columns(p, p.columns());
        for (std::uint32_t i = 0; i < p.rows(); ++i) {
            std::set<std::uint32_t> seen;
            for (const auto j : p.row(i)) EXPECT_TRUE(seen.insert(colour[j]).second) << "row " << i << ", column " << j;
        }
        const std::set<std::uint32_t> used(colour.begin(), colour.end());
        EXPECT_EQ(used.size(), 1 + *used.rbegin()) << "colours leave a gap";
    }
}

// Curtis, Powell, Reid 1974 (from memory): a band matrix needs as many directions as its band is wide, never fewer.
TEST(Colouring, OfABandIsItsWidth) {
    std::vector<std::vector<std::uint32_t>> rows(40);
    for (std::uint32_t i = 0; i < 40; ++i)
        for (std::uint32_t j = i < 2 ? 0 : i - 2; j < std::min(40u, i + 3); ++j) rows[i].push_back(j);
    const auto colour = colour_columns(Pattern(rows, 40), 40);
    EXPECT_EQ(*std::max_element(colour.begin(), colour.end()), 4u);
}

TEST(Colouring, OfADiagonalIsOne) {
    std::vector<std::vector<std::uint32_t>> rows(9);
    for (std::uint32_t i = 0; i < 9; ++i) rows[i] = {i};
    for (const auto c : colour_columns(Pattern(rows, 9), 9)) EXPECT_EQ(c, 0u);
}

TEST(Colouring, LeavesColumnsBeyondTheCountOut) {
    const Pattern p({{0, 2}, {1, 2}}, 3);
    EXPECT_EQ(colour_columns(p, 2), (std::vector<std::uint32_t>{0, 0}));
    EXPECT_EQ(colour_columns(p, 3), (std::vector<std::uint32_t>{1, 1, 0}));
}

}  // namespace pattern_tests

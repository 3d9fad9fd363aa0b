/// Fronts of problems whose front is known, and of random rows against the definition.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <pullcast/choose/pareto.hpp>
#include <random>
#include <stdexcept>

namespace pareto_tests {

using pullcast::choose::Better;
using pullcast::choose::pareto_front;
using Rows = std::vector<std::vector<double>>;
using Indices = std::vector<std::size_t>;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

/// The definition, word by word.
Indices by_definition(const Rows& rows, const std::vector<Better>& better) {
    const auto has_nan = [](const std::vector<double>& row) {
        for (double x : row)
            if (std::isnan(x)) return true;
        return false;
    };
    const auto dominates = [&](const std::vector<double>& one, const std::vector<double>& other) {
        bool as_good = true, better_in_one = false;
        for (std::size_t c = 0; c < better.size(); ++c) {
            const bool less = better[c] == Better::less;
            as_good = as_good && (less ? one[c] <= other[c] : one[c] >= other[c]);
            better_in_one = better_in_one || (less ? one[c] < other[c] : one[c] > other[c]);
        }
        return as_good && better_in_one;
    };
    Indices front;
    for (std::size_t k = 0; k < rows.size(); ++k) {
        bool beaten = has_nan(rows[k]);
        for (const auto& other : rows) beaten = beaten || (!has_nan(other) && dominates(other, rows[k]));
        if (!beaten) front.push_back(k);
    }
    return front;
}

// Schaffer (1985): f1 = x^2, f2 = (x - 2)^2, both to be small; the front is x in 0 to 2. Dyadic x: nothing is rounded.
TEST(ParetoFront, OfSchaffersProblemIsZeroToTwo) {
    Rows rows;
    Indices expected;
    for (int k = -640; k <= 640; ++k) {
        const double x = k / 64.0;
        if (x >= 0 && x <= 2) expected.push_back(rows.size());
        rows.push_back({x * x, (x - 2) * (x - 2)});
    }
    EXPECT_EQ(pareto_front(rows, {Better::less, Better::less}), expected);
    for (auto& row : rows) row[1] *= -1;
    EXPECT_EQ(pareto_front(rows, {Better::less, Better::more}), expected);
    for (auto& row : rows) row[0] *= -1;
    EXPECT_EQ(pareto_front(rows, {Better::more, Better::more}), expected);
}

// Zitzler, Deb and Thiele (2000), first problem with two variables: f1 = x1, g = 1 + 9 x2, f2 = g (1 - sqrt(f1/g));
// the front is g = 1, f2 = 1 - sqrt(f1).
TEST(ParetoFront, OfAConvexFrontAmongTenThousandRows) {
    Rows rows;
    Indices expected;
    for (int i = 0; i < 100; ++i)
        for (int k = 0; k < 100; ++k) {
            const double x1 = i / 99.0, g = 1 + 9 * (k / 99.0);
            if (k == 0) expected.push_back(rows.size());
            rows.push_back({x1, g * (1 - std::sqrt(x1 / g))});
        }
    EXPECT_EQ(pareto_front(rows, {Better::less, Better::less}), expected);
}

// Deb, Thiele, Laumanns and Zitzler (2002), first problem with three objectives: f1 = x1 x2 (1 + g)/2,
// f2 = x1 (1 - x2) (1 + g)/2, f3 = (1 - x1) (1 + g)/2; the front is g = 0, the plane f1 + f2 + f3 = 1/2. Dyadic:
// nothing is rounded. Where x1 = 0 all x2 are the same row.
TEST(ParetoFront, OfThreeObjectivesIsAPlane) {
    Rows rows;
    Indices expected;
    for (int i = 0; i <= 16; ++i)
        for (int j = 0; j <= 16; ++j)
            for (int k = 2; k >= 0; --k) {
                const double x1 = i / 16.0, x2 = j / 16.0, half = (1 + k / 4.0) / 2;
                if (k == 0) expected.push_back(rows.size());
                rows.push_back({x1 * x2 * half, x1 * (1 - x2) * half, (1 - x1) * half});
            }
    EXPECT_EQ(pareto_front(rows, {Better::less, Better::less, Better::less}), expected);
}

// Few different values, so that many rows tie in some or all columns.
TEST(ParetoFront, IsTheDefinitionOnRandomRowsWithTiesAndNaN) {
    std::mt19937 random(1);
    for (int trial = 0; trial < 400; ++trial) {
        const std::size_t columns = 1 + random() % 4, levels = 2 + random() % 6;
        std::vector<Better> better;
        for (std::size_t c = 0; c < columns; ++c) better.push_back(random() % 2 ? Better::more : Better::less);
        Rows rows(random() % 60, std::vector<double>(columns));
        for (auto& row : rows)
            for (double& x : row) {
                const std::size_t draw = random() % 40;
                x = draw == 0   ? nan
                    : draw == 1 ? infinity
                    : draw == 2 ? -infinity
                                : static_cast<double>(random() % levels) - 2;
            }
        ASSERT_EQ(pareto_front(rows, better), by_definition(rows, better)) << trial;
    }
}

TEST(ParetoFront, KeepsEqualRowsTogetherAndLeavesNaNOut) {
    EXPECT_EQ(pareto_front({{1, 2}, {2, 1}, {1, 2}, {2, 2}, {nan, 0}, {0, nan}}, {Better::less, Better::less}),
              (Indices{0, 1, 2}));
    EXPECT_EQ(pareto_front({{0.0}, {-0.0}}, {Better::less}), (Indices{0, 1}));
    EXPECT_EQ(pareto_front({{nan}, {nan}}, {Better::more}), Indices{});
    EXPECT_EQ(pareto_front({}, {Better::more}), Indices{});
}

TEST(ParetoFront, RefusesARowOfAnotherLength) {
    try {
        pareto_front({{1, 2}, {1}}, {Better::less, Better::less});
        FAIL() << "not refused";
    } catch (const std::invalid_argument& error) {
        EXPECT_STREQ(error.what(), "row 1 has 1 columns, must be 2");
    }
}

}  // namespace pareto_tests

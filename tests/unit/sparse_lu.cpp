// The sparse LU against Eigen's dense LU with partial pivoting, on random patterns and on matrices made to fail.
#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <new>
#include <pullcast/solve/sparse_lu.hpp>
#include <random>
#include <stdexcept>

namespace {
std::size_t allocations = 0;
}
// Out of line, or gcc takes the pair of malloc and free for a mismatch.
[[gnu::noinline]] void* operator new(std::size_t size) {
    ++allocations;
    if (void* p = std::malloc(size ? size : 1)) return p;
    throw std::bad_alloc();
}
[[gnu::noinline]] void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations;
    return std::malloc(size ? size : 1);
}
[[gnu::noinline]] void operator delete(void* p) noexcept { std::free(p); }
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept { std::free(p); }

namespace {

using namespace pullcast;
using Rows = std::vector<std::vector<std::uint32_t>>;

/// A random pattern (the diagonal not always in it) with values, and I + scale * A as Eigen sees it.
struct Problem {
    Pattern pattern;
    std::vector<double> values;

    Problem(std::uint32_t n, int per_row, unsigned seed) {
        std::mt19937 random(seed);
        std::uniform_real_distribution<double> number(-1, 1);
        Rows rows(n);
        for (auto& row : rows)
            for (int k = 0; k < per_row; ++k) row.push_back(static_cast<std::uint32_t>(random() % n));
        pattern = Pattern(rows, n);
        for (std::size_t e = 0; e < pattern.entries(); ++e) values.push_back(number(random));
    }
    Eigen::MatrixXd dense(double diagonal, double scale) const {
        Eigen::MatrixXd m = diagonal * Eigen::MatrixXd::Identity(pattern.rows(), pattern.rows());
        for (std::uint32_t i = 0; i < pattern.rows(); ++i)
            for (auto e = pattern.start[i]; e < pattern.start[i + 1]; ++e) m(i, pattern.column[e]) += scale * values[e];
        return m;
    }
};

/// |M x - b| over |M| |x|: small whatever the condition of M.
double backward_error(const Eigen::MatrixXd& m, const Eigen::VectorXd& x, const Eigen::VectorXd& b) {
    return (m * x - b).lpNorm<Eigen::Infinity>() /
           (m.cwiseAbs().rowwise().sum().maxCoeff() * x.lpNorm<Eigen::Infinity>() + b.lpNorm<Eigen::Infinity>());
}

TEST(SparseLU, AgreesWithDenseLU) {
    for (unsigned seed = 0; seed < 60; ++seed) {
        const std::uint32_t n = 1 + (seed * 7) % 97;
        const Problem p(n, 1 + static_cast<int>(seed) % 8, seed);
        SparseLU lu(p.pattern);
        for (const double gamma : {1e-6, 0.05, 0.3}) {
            const Eigen::MatrixXd m = p.dense(1, -gamma);
            const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(n, -1, 2);
            Eigen::VectorXd x = b;
            lu.load(1, -gamma, p.values.data());
            ASSERT_TRUE(lu.factor()) << "seed " << seed << ", gamma " << gamma;
            lu.solve(x.data());
            EXPECT_LT(backward_error(m, x, b), 1e-13) << "seed " << seed << ", gamma " << gamma;
            EXPECT_LT((x - m.partialPivLu().solve(b)).norm() / x.norm(), 1e-10)
                << "seed " << seed << ", gamma " << gamma;
        }
    }
}

TEST(SparseLU, SolvesInterleavedColumnsAsSingleOnes) {
    const Problem p(41, 5, 11);
    SparseLU lu(p.pattern);
    lu.load(1, 0.2, p.values.data());
    ASSERT_TRUE(lu.factor());
    for (const std::uint32_t columns : {2u, 9u, 18u}) {
        std::vector<double> all(41 * columns), one(41);
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = std::sin(static_cast<double>(i));
        const auto before = all;
        lu.solve(all.data(), columns);
        for (std::uint32_t c = 0; c < columns; ++c) {
            for (std::uint32_t i = 0; i < 41; ++i) one[i] = before[i * columns + c];
            lu.solve(one.data());
            for (std::uint32_t i = 0; i < 41; ++i) EXPECT_EQ(all[i * columns + c], one[i]);
        }
    }
}

// An arrow needs no fill when its point goes last, and a chain none when it is taken from its ends.
TEST(SparseLU, OrdersWithoutFillWhereThatIsPossible) {
    Rows arrow(30), chain(30);
    for (std::uint32_t i = 0; i < 30; ++i) {
        arrow[i] = {0, i};
        arrow[0].push_back(i);
        chain[i] = {i, i ? i - 1 : 0, i < 29 ? i + 1 : 29};
    }
    EXPECT_EQ(SparseLU(Pattern(arrow, 30)).factor_entries(), Pattern(arrow, 30).entries());
    EXPECT_EQ(SparseLU(Pattern(chain, 30)).factor_entries(), Pattern(chain, 30).entries());
}

TEST(SparseLU, ReportsPivotsThatNeedExchanges) {
    const Pattern full(Rows{{0, 1}, {0, 1}}, 2);
    SparseLU lu(full);
    const auto succeeds = [&](std::vector<double> values) {
        lu.load(0, 1, values.data());
        return lu.factor();
    };
    EXPECT_FALSE(succeeds({0, 1, 1, 0})) << "a zero pivot in a regular matrix";
    EXPECT_FALSE(succeeds({1e-14, 1, 1, 1})) << "growth that would lose every digit of an entry";
    EXPECT_FALSE(succeeds({1, 2, 2, 4})) << "singular";
    EXPECT_FALSE(succeeds({1, 1, 1, 1 + 1e-13})) << "cancellation";
    EXPECT_FALSE(succeeds({std::numeric_limits<double>::quiet_NaN(), 1, 1, 1}));
    EXPECT_FALSE(succeeds({1, std::numeric_limits<double>::infinity(), 1, 1}));
    EXPECT_FALSE(succeeds({1, 1, std::numeric_limits<double>::quiet_NaN(), 1}));
    EXPECT_TRUE(succeeds({2, 1, 1, 2})) << "a failure must not stick";
}

// Rows in J and kg differ by 1e6 and more: the checks must not mind units.
TEST(SparseLU, ChecksDoNotDependOnUnits) {
    const Problem p(25, 4, 5);
    for (const double spread : {1.0, 1e4, 1e8}) {
        auto scaled = p.values;
        for (std::uint32_t i = 0; i < 25; ++i)
            for (auto e = p.pattern.start[i]; e < p.pattern.start[i + 1]; ++e)
                scaled[e] *= std::pow(spread, (i % 3)) / std::pow(spread, p.pattern.column[e] % 3);
        SparseLU lu(p.pattern);
        lu.load(1, 0.2, scaled.data());
        EXPECT_TRUE(lu.factor()) << "units that differ by " << spread;
    }
}

TEST(SparseLU, RefusesARectangle) { EXPECT_THROW(SparseLU(Pattern(Rows{{0, 1}}, 2)), std::invalid_argument); }

TEST(SparseLU, FactorAndSolveLeaveTheHeapAlone) {
    const Problem p(80, 8, 2);
    SparseLU lu(p.pattern);
    std::vector<double> b(80 * 9, 1.0);
    const auto counted = allocations;
    EXPECT_GT(counted, 0u) << "the heap is not being watched";
    bool factored = true;
    for (int k = 0; k < 100; ++k) {
        lu.load(1, -0.2, p.values.data());
        factored = factored && lu.factor();
        lu.solve(b.data());
        lu.solve(b.data(), 9);
    }
    EXPECT_EQ(allocations, counted);
    EXPECT_TRUE(factored);
}

}  // namespace

/// Curves and maps: exact at the grid, C1 everywhere (knots, cell borders, edges of the range), linear beyond it, duals
/// as differences. The slopes stand in the test: what fits them to a table is tested with the reader.
#include <array>
#include <cmath>
#include <functional>
#include <gtest/gtest.h>
#include <pullcast/tables.hpp>

namespace tables_tests {

using namespace pullcast;

// ---- curve ----------------------------------------------------------------------------------------------------
constexpr std::array<double, 4> cx{-1, 0.5, 2, 5}, cy{3, 1, 2.5, 2}, cdy{-2, 0.25, 0.5, -1};
const Curve curve{cx.data(), cy.data(), cdy.data(), 4};

Dual variable(double v, int direction) {
    Dual x(v);
    x.d[direction] = 1;
    return x;
}

TEST(Curve, PassesThroughItsPointsWithItsSlopes) {
    for (std::size_t i = 0; i < cx.size(); ++i) {
        EXPECT_DOUBLE_EQ(curve(cx[i]), cy[i]);
        EXPECT_NEAR(curve(variable(cx[i], 0)).d[0], cdy[i], 1e-14);
    }
    EXPECT_EQ(curve.low(), -1);
    EXPECT_EQ(curve.high(), 5);
}

TEST(Curve, IsC1AtKnotsAndAtTheEdges) {
    for (double knot : cx) {
        const Dual left = curve(variable(knot - 1e-9, 0)), right = curve(variable(knot + 1e-9, 0));
        EXPECT_NEAR(left.v, right.v, 1e-8) << knot;
        EXPECT_NEAR(left.d[0], right.d[0], 1e-7) << knot;
    }
}

TEST(Curve, ContinuesLinearly) {
    EXPECT_DOUBLE_EQ(curve(-4.0), 3 - 2 * -3.0);
    EXPECT_DOUBLE_EQ(curve(9.0), 2 - 1 * 4.0);
    EXPECT_EQ(curve(variable(100, 2)).d[2], -1);
    EXPECT_EQ(curve(variable(-100, 2)).d[2], -2);
}

TEST(Curve, DualMatchesDifferences) {
    for (double x = -2; x <= 6; x += 0.0625 + 0.001) {
        const double step = 1e-6, slope = (curve(x + step) - curve(x - step)) / (2 * step);
        const Dual y = curve(variable(x, 4));
        EXPECT_DOUBLE_EQ(y.v, curve(x));
        EXPECT_NEAR(y.d[4], slope, 1e-8) << x;
        EXPECT_EQ(y.d[0], 0);
    }
}

// A cubic with its own slopes is reproduced exactly, whatever the grid.
TEST(Curve, ReproducesACubic) {
    const auto f = [](double x) { return 1 + x * (-2 + x * (0.5 + x * 0.25)); };
    const auto g = [](double x) { return -2 + x * (1 + x * 0.75); };
    std::array<double, 4> y{}, dy{};
    for (std::size_t i = 0; i < 4; ++i) y[i] = f(cx[i]), dy[i] = g(cx[i]);
    const Curve cubic{cx.data(), y.data(), dy.data(), 4};
    for (double x = -1; x <= 5; x += 0.1) EXPECT_NEAR(cubic(x), f(x), 2e-14 * (1 + std::fabs(f(x)))) << x;
}

TEST(Curve, TwoPointsAreEnough) {
    constexpr std::array<double, 2> x{0, 2}, y{1, 5}, dy{2, 2};
    const Curve line{x.data(), y.data(), dy.data(), 2};
    for (double at : {-3.0, 0.0, 0.7, 2.0, 8.0}) EXPECT_DOUBLE_EQ(line(at), 1 + 2 * at);
}

// ---- map ------------------------------------------------------------------------------------------------------
constexpr std::array<double, 3> mx{0, 1, 3};
constexpr std::array<double, 4> my{-1, 0, 2, 2.5};

/// A map over the grid above with values and slopes of a function given by value and derivatives.
struct Table {
    std::array<double, 12> f{}, fx{}, fy{}, fxy{};
    Map map;

    using Function = std::function<double(double, double)>;
    Table(const Function& value_, const Function& along_x, const Function& along_y, const Function& cross) {
        for (std::size_t i = 0; i < 3; ++i)
            for (std::size_t j = 0; j < 4; ++j) {
                const std::size_t at = i * 4 + j;
                f[at] = value_(mx[i], my[j]), fx[at] = along_x(mx[i], my[j]);
                fy[at] = along_y(mx[i], my[j]), fxy[at] = cross(mx[i], my[j]);
            }
        map = {mx.data(), my.data(), f.data(), fx.data(), fy.data(), fxy.data(), 3, 4};
    }
    Table(const Table&) = delete;
};

/// Nothing special: slopes that belong to no smooth function of low order, so that cells differ.
Table wavy() {
    return {[](double x, double y) { return std::sin(2 * x + y) + 0.3 * y * y; },
            [](double x, double y) { return 2 * std::cos(2 * x + y); },
            [](double x, double y) { return std::cos(2 * x + y) + 0.6 * y; },
            [](double x, double y) { return -2 * std::sin(2 * x + y); }};
}

TEST(Map, PassesThroughItsPointsWithItsSlopes) {
    const Table t = wavy();
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 4; ++j) {
            const Dual z = t.map(variable(mx[i], 0), variable(my[j], 1));
            EXPECT_NEAR(z.v, t.f[i * 4 + j], 1e-15);
            EXPECT_NEAR(z.d[0], t.fx[i * 4 + j], 1e-14);
            EXPECT_NEAR(z.d[1], t.fy[i * 4 + j], 1e-14);
        }
}

/// Value and both slopes on either side of a point, a hair apart along (dx, dy).
void expect_smooth_across(const Map& map, double x, double y, double dx, double dy) {
    constexpr double hair = 1e-9;
    const Dual a = map(variable(x - hair * dx, 0), variable(y - hair * dy, 1));
    const Dual b = map(variable(x + hair * dx, 0), variable(y + hair * dy, 1));
    EXPECT_NEAR(a.v, b.v, 1e-7) << x << ", " << y;
    EXPECT_NEAR(a.d[0], b.d[0], 1e-6) << "slope along x at " << x << ", " << y;
    EXPECT_NEAR(a.d[1], b.d[1], 1e-6) << "slope along y at " << x << ", " << y;
}

TEST(Map, IsC1AcrossCellBorders) {
    const Table t = wavy();
    for (double y = -0.95; y < 2.5; y += 0.173) expect_smooth_across(t.map, 1, y, 1, 0);
    for (double x = 0.05; x < 3; x += 0.173)
        for (double y : {0.0, 2.0}) expect_smooth_across(t.map, x, y, 0, 1);
}

TEST(Map, IsC1AcrossTheEdgesOfTheRange) {
    const Table t = wavy();
    for (double y = -0.95; y < 2.5; y += 0.173)
        for (double x : {0.0, 3.0}) expect_smooth_across(t.map, x, y, 1, 0);
    for (double x = 0.05; x < 3; x += 0.173)
        for (double y : {-1.0, 2.5}) expect_smooth_across(t.map, x, y, 0, 1);
    for (double x : {0.0, 3.0})
        for (double y : {-1.0, 2.5}) expect_smooth_across(t.map, x, y, 1, 1);
}

// The lines that prolong the grid lines and the edges, outside the range.
TEST(Map, IsC1BeyondTheEdges) {
    const Table t = wavy();
    for (double x : {-0.8, 4.1})
        for (double y : {-1.0, 0.0, 2.0, 2.5}) expect_smooth_across(t.map, x, y, 0, 1);
    for (double y : {-1.7, 3.3})
        for (double x : {0.0, 1.0, 3.0}) expect_smooth_across(t.map, x, y, 1, 0);
}

TEST(Map, ContinuesLinearly) {
    const Table t = wavy();
    for (double y : {-1.6, -0.3, 1.1, 4.0}) {
        const double near = t.map(3.5, y), middle = t.map(4.5, y), far = t.map(5.5, y);
        EXPECT_NEAR(near - 2 * middle + far, 0, 1e-13) << y;
    }
    for (double x : {-0.5, 0.4, 2.2, 3.9}) {
        const double near = t.map(x, -2.0), middle = t.map(x, -3.0), far = t.map(x, -4.0);
        EXPECT_NEAR(near - 2 * middle + far, 0, 1e-13) << x;
    }
    // past a corner: along either axis, with the corner's cross derivative
    EXPECT_NEAR(t.map(5.0, 4.5), t.f[11] + 2 * t.fx[11] + 2 * t.fy[11] + 4 * t.fxy[11], 1e-13);
    EXPECT_NEAR(t.map(-1.0, -3.0), t.f[0] - t.fx[0] - 2 * t.fy[0] + 2 * t.fxy[0], 1e-13);
}

TEST(Map, DualMatchesDifferences) {
    const Table t = wavy();
    const double step = 1e-6;
    for (double x = -0.73; x < 4; x += 0.217)
        for (double y = -1.91; y < 4; y += 0.233) {
            const Dual z = t.map(variable(x, 0), variable(y, 6));
            EXPECT_DOUBLE_EQ(z.v, t.map(x, y));
            EXPECT_NEAR(z.d[0], (t.map(x + step, y) - t.map(x - step, y)) / (2 * step), 2e-8) << x << ", " << y;
            EXPECT_NEAR(z.d[6], (t.map(x, y + step) - t.map(x, y - step)) / (2 * step), 2e-8) << x << ", " << y;
            EXPECT_EQ(z.d[1], 0);
        }
}

// A bicubic polynomial with its own slopes is reproduced exactly, whatever the grid.
TEST(Map, ReproducesABicubic) {
    const auto p = [](double x) { return 1 + x * (0.5 + x * (-1 + x * 0.3)); };
    const auto dp = [](double x) { return 0.5 + x * (-2 + x * 0.9); };
    const auto q = [](double y) { return 2 + y * (-1 + y * (0.2 + y * 0.1)); };
    const auto dq = [](double y) { return -1 + y * (0.4 + y * 0.3); };
    const Table t([&](double x, double y) { return p(x) * q(y); }, [&](double x, double y) { return dp(x) * q(y); },
                  [&](double x, double y) { return p(x) * dq(y); }, [&](double x, double y) { return dp(x) * dq(y); });
    for (double x = 0; x <= 3; x += 0.2)
        for (double y = -1; y <= 2.5; y += 0.25) EXPECT_NEAR(t.map(x, y), p(x) * q(y), 1e-13) << x << ", " << y;
}

TEST(Map, SaysHowFarOutsideAPointLies) {
    const Table t = wavy();
    EXPECT_TRUE(t.map.inside(0, 2.5));
    EXPECT_FALSE(t.map.inside(3.01, 0));
    EXPECT_EQ(t.map.outside(1.2, 0.4), 0);
    EXPECT_DOUBLE_EQ(t.map.outside(4.5, 0), 0.5);
    EXPECT_DOUBLE_EQ(t.map.outside(-0.3, 6), 1);
}

}  // namespace tables_tests

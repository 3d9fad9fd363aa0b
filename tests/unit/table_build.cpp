/// Slopes of curves and maps: against SciPy 1.10.1 (CubicSpline with natural ends, PchipInterpolator), and by their
/// defining properties: C2 at the knots, monotone data stay monotone, order of convergence.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <pullcast/network/tables_build.hpp>
#include <random>

namespace table_build_tests {

using namespace pullcast;

const std::vector<double> knots{0, 0.5, 1.25, 2, 3.5, 4, 6}, values{0.2, 1.1, 1.4, 1.35, 2.8, 2.9, 2.95};
const std::vector<double> at{0.1, 0.9, 1.7, 2.6, 3.9, 5.3};

/// Second derivative of a cubic in Hermite form at the left (side 0) or right (side 1) end of interval k.
double second(const CurveData& c, std::size_t k, int side) {
    const double h = c.x[k + 1] - c.x[k], d = (c.y[k + 1] - c.y[k]) / h;
    return side == 0 ? (6 * d - 4 * c.dy[k] - 2 * c.dy[k + 1]) / h : (2 * c.dy[k] + 4 * c.dy[k + 1] - 6 * d) / h;
}

std::vector<double> even(double lo, double hi, int n) {
    std::vector<double> x;
    for (int k = 0; k < n; ++k) x.push_back(lo + (hi - lo) * k / (n - 1));
    return x;
}

template <class F> std::vector<double> on(const std::vector<double>& x, F f) {
    std::vector<double> y;
    for (double a : x) y.push_back(f(a));
    return y;
}
template <class F> std::vector<double> on(const std::vector<double>& x, const std::vector<double>& y, F f) {
    std::vector<double> z;
    for (double a : x)
        for (double b : y) z.push_back(f(a, b));
    return z;
}

void expect_all_near(const std::vector<double>& got, const std::vector<double>& wanted, double tolerance) {
    ASSERT_EQ(got.size(), wanted.size());
    for (std::size_t k = 0; k < got.size(); ++k) EXPECT_NEAR(got[k], wanted[k], tolerance) << "at " << k;
}

TEST(TableBuild, SplineAgreesWithSciPyCubicSplineNatural) {
    const auto c = make_curve(knots, values, false);
    expect_all_near(c.dy,
                    {2.063008214023495, 1.2739835719530104, -0.16443018080029373, 0.3837371512481646,
                     0.5264374541116006, 0.03492107195301048, 0.020039464023494956},
                    1e-14);
    expect_all_near(on(at, [&](double x) { return c.view()(x); }),
                    {0.40524878854625557, 1.3923258402675802, 1.314317414647577, 1.867480231277533, 2.895788050660793,
                     2.9355470092235687},
                    1e-14);
}

TEST(TableBuild, ShapePreservingAgreesWithSciPyPchip) {
    const auto c = make_curve(knots, values, true);
    expect_all_near(c.dy, {2.36, 0.6835443037974681, 0, 0, 0.2987124463519315, 0.05263157894736867, 0}, 1e-14);
    expect_all_near(on(at, [&](double x) { return c.view()(x); }),
                    {0.43370329113924055, 1.3245220815752459, 1.3676, 1.817385407725322, 2.891010978088999,
                     2.944294078947369},
                    1e-14);
}

TEST(TableBuild, MapAgreesWithSciPySplinesInBothDirections) {
    const std::vector<double> x{0, 1, 2.5, 4}, y{1, 1.5, 2.5, 3, 5};
    const auto f = [](double a, double b) { return std::sin(0.7 * a) * std::log(b) + 0.1 * a * a * b; };
    const auto m = make_map(x, y, on(x, y, f), false);
    EXPECT_NEAR(m.view()(0.3, 1.2), 0.05904143413225248, 1e-14);
    EXPECT_NEAR(m.view()(1.7, 2.1), 1.2821874659497732, 1e-14);
    EXPECT_NEAR(m.view()(3.1, 4.4), 5.505826463390141, 1e-14);
    EXPECT_NEAR(m.view()(2.5, 2.75), 2.713201034968004, 1e-14);
}

TEST(TableBuild, SplineIsTwiceContinuousWithNaturalEnds) {
    const auto c = make_curve(knots, values, false);
    for (std::size_t k = 1; k + 1 < knots.size(); ++k) EXPECT_NEAR(second(c, k - 1, 1), second(c, k, 0), 1e-13) << k;
    EXPECT_NEAR(second(c, 0, 0), 0, 1e-13);
    EXPECT_NEAR(second(c, knots.size() - 2, 1), 0, 1e-13);
    const auto pchip = make_curve(knots, values, true);
    EXPECT_GT(std::fabs(second(pchip, 2, 1) - second(pchip, 3, 0)), 0.1);  // this one is not: the check can fail
}

TEST(TableBuild, CubicsAreReproducedAwayFromTheNaturalEnds) {
    // A line is natural everywhere. x^3 on [-1, 1] is not at the ends: its error starts there and fades inwards.
    const auto line = make_curve(knots, on(knots, [](double x) { return 3 - 2 * x; }), false);
    for (double x : at) EXPECT_NEAR(line.view()(x), 3 - 2 * x, 1e-13);
    const auto x = even(-1, 1, 81);
    const auto cube = make_curve(x, on(x, [](double a) { return a * a * a; }), false);
    const auto error = [&](double a) { return std::fabs(cube.view()(a) - a * a * a); };
    EXPECT_GT(error(0.9875), 1e-5);  // half an interval from the end
    EXPECT_LT(error(0.5125), 1e-14); // each interval damps the end's error by 2 - sqrt(3)
    EXPECT_LT(error(0.0125), 1e-15);
    EXPECT_NEAR(error(0.9625) / error(0.9875), 2 - std::sqrt(3.0), 0.01);
}

TEST(TableBuild, TwoPointsAreALine) {
    for (const bool shape : {false, true}) {
        const auto c = make_curve({1, 3}, {10, 4}, shape);
        expect_all_near(c.dy, {-3, -3}, 1e-15);
        EXPECT_NEAR(c.view()(2.5), 5.5, 1e-14);
        const auto m = make_map({0, 2}, {0, 4}, {1, 9, 5, 17}, shape);  // 1 + 2x + 2y + 0.5xy
        EXPECT_NEAR(m.view()(0.5, 3.0), 1 + 1 + 6 + 0.75, 1e-13);
        expect_all_near(m.fxy, {0.5, 0.5, 0.5, 0.5}, 1e-15);
    }
}

TEST(TableBuild, MonotoneDataStayMonotone) {
    std::mt19937 random(7);
    std::exponential_distribution<double> step(1.0);
    double spline_drop = 0;
    for (int trial = 0; trial < 200; ++trial) {
        std::vector<double> x{0}, y{0};
        for (int k = 0; k < 11; ++k) {
            x.push_back(x.back() + 0.05 + step(random));
            y.push_back(y.back() + (k % 3 == 1 ? 0 : std::pow(step(random), 3)));
        }
        const auto smooth = make_curve(x, y, false), kept = make_curve(x, y, true);
        double last = kept.view()(x[0]), last_smooth = smooth.view()(x[0]);
        for (int k = 1; k <= 2000; ++k) {
            const double where = x[0] + (x.back() - x[0]) * k / 2000;
            const double now = kept.view()(where), now_smooth = smooth.view()(where);
            ASSERT_GE(now, last - 1e-13 * y.back()) << "trial " << trial << " at " << where;
            spline_drop = std::max(spline_drop, last_smooth - now_smooth);
            last = now, last_smooth = now_smooth;
        }
    }
    EXPECT_GT(spline_drop, 0.01);  // the C2 spline does overshoot on these data: the check can fail
}

TEST(TableBuild, MapIsMonotoneOnGridLinesAndStaysInItsRange) {
    std::mt19937 random(11);
    std::exponential_distribution<double> step(1.0);
    const int n = 6;
    double worst = 0;
    for (int trial = 0; trial < 60; ++trial) {
        std::vector<double> x{0}, y{0}, f(n * n);
        for (int k = 1; k < n; ++k) {
            x.push_back(x.back() + 0.2 + step(random));
            y.push_back(y.back() + 0.2 + step(random));
        }
        for (int i = 0; i < n; ++i)
            for (int j = 0; j < n; ++j)
                f[i * n + j] = std::pow(step(random), 2) +
                               std::max(i ? f[(i - 1) * n + j] : 0, j ? f[i * n + j - 1] : 0);
        const auto m = make_map(x, y, f, true);
        for (int i = 0; i < n; ++i) {
            double last = f[i * n];
            for (int k = 1; k <= 200; ++k) {
                const double now = m.view()(x[i], y.back() * k / 200);
                ASSERT_GE(now, last - 1e-12 * f.back());
                last = now;
            }
        }
        for (int k = 0; k < 2500; ++k) {  // anywhere: beyond the corner values by how much of the cell's own step
            const double px = x.back() * (k / 50 + 0.5) / 50, py = y.back() * (k % 50 + 0.5) / 50, z = m.view()(px, py);
            const auto i = detail::interval(x.data(), n, px), j = detail::interval(y.data(), n, py);
            const double lo = f[i * n + j], hi = f[(i + 1) * n + j + 1];
            worst = std::max(worst, std::max(lo - z, z - hi) / (hi - lo));
        }
    }
    EXPECT_LT(worst, 1e-12);
}

TEST(TableBuild, SeparableMapIsTheProductOfItsCurves) {
    const std::vector<double> x{0, 0.4, 1, 2.2, 3}, y{-1, 0, 0.3, 2};
    const auto g = [](double a) { return 1 + a * a; };
    const auto h = [](double b) { return std::exp(0.5 * b); };
    for (const bool shape : {false, true}) {
        const auto cx = make_curve(x, on(x, g), shape), cy = make_curve(y, on(y, h), shape);
        const auto m = make_map(x, y, on(x, y, [&](double a, double b) { return g(a) * h(b); }), shape);
        for (double a : {0.1, 0.7, 1.9, 2.9})
            for (double b : {-0.4, 0.2, 1.5}) EXPECT_NEAR(m.view()(a, b), cx.view()(a) * cy.view()(b), 1e-13);
    }
}

/// Orders measured between the two finest grids of a ladder.
double order(bool shape, bool natural) {
    const auto f = [&](double x) { return natural ? std::sin(x) : std::exp(0.5 * x) + x * x; };
    double last = 0, measured = 0;
    for (const int n : {17, 33, 65, 129}) {
        const auto x = even(0, natural ? std::numbers::pi : 2, n);
        const auto c = make_curve(x, on(x, f), shape);
        double error = 0;
        for (int k = 0; k < 4000; ++k) {
            const double where = x.back() * (k + 0.5) / 4000;
            error = std::max(error, std::fabs(c.view()(where) - f(where)));
        }
        measured = last > 0 ? std::log2(last / error) : 0;
        last = error;
    }
    return measured;
}

TEST(TableBuild, OrdersOfConvergence) {
    EXPECT_NEAR(order(false, true), 4, 0.1);   // sin on [0, pi]: f'' = 0 at both ends, as the spline's
    EXPECT_NEAR(order(false, false), 2, 0.1);  // f'' != 0 at the ends
    EXPECT_NEAR(order(true, false), 3, 0.2);   // rising data: inside the slopes are O(h^2)
    EXPECT_NEAR(order(true, true), 2, 0.2);    // a turning point is cut flat
}

TEST(TableBuild, OrderOfMaps) {
    const auto f = [](double a, double b) { return std::sin(a) * std::sin(2 * b); };
    double last = 0, measured = 0;
    for (const int n : {9, 17, 33, 65}) {
        const auto x = even(0, std::numbers::pi, n), y = even(0, std::numbers::pi, n);
        const auto m = make_map(x, y, on(x, y, f), false);
        double error = 0;
        for (int k = 0; k < 10000; ++k) {
            const double a = std::numbers::pi * (k / 100 + 0.5) / 100, b = std::numbers::pi * (k % 100 + 0.5) / 100;
            error = std::max(error, std::fabs(m.view()(a, b) - f(a, b)));
        }
        measured = last > 0 ? std::log2(last / error) : 0;
        last = error;
    }
    EXPECT_NEAR(measured, 4, 0.1);
}

template <class Build> void expect_error(Build build, const char* array, std::size_t index, const char* message) {
    try {
        build();
        FAIL() << "no error, wanted: " << message;
    } catch (const TableError& e) {
        EXPECT_EQ(e.array, array);
        EXPECT_EQ(e.index, index);
        EXPECT_STREQ(e.what(), message);
    }
}

TEST(TableBuild, ErrorsNameArrayIndexAndValue) {
    const double nan = std::nan(""), inf = INFINITY;
    expect_error([] { make_curve({0, 1, 1}, {1, 2, 3}, false); }, "x", 2, "x[2] = 1 must be greater than x[1] = 1");
    expect_error([] { make_curve({0, 2, 1.5}, {1, 2, 3}, true); }, "x", 2, "x[2] = 1.5 must be greater than x[1] = 2");
    expect_error([] { make_curve({0}, {1}, false); }, "x", 1,
                 "x has 1 point, a table needs at least 2 along each axis");
    expect_error([] { make_curve({}, {}, false); }, "x", 0, "x has 0 points, a table needs at least 2 along each axis");
    expect_error([] { make_curve({0, 1}, {1, 2, 3}, false); }, "y", 3, "y has 3 values, the grid of 2 points wants 2");
    expect_error([&] { make_curve({0, nan}, {1, 2}, false); }, "x", 1, "x[1] = nan is not a finite number");
    expect_error([&] { make_curve({0, 1}, {inf, 2}, false); }, "y", 0, "y[0] = inf is not a finite number");
    expect_error([] { make_map({0, 1}, {5, 4}, {1, 2, 3, 4}, false); }, "y", 1,
                 "y[1] = 4 must be greater than y[0] = 5");
    expect_error([] { make_map({0, 1}, {4, 5, 6}, {1, 2, 3, 4}, false); }, "f", 4,
                 "f has 4 values, the grid of 2 x 3 points wants 6");
    expect_error([&] { make_map({0, 1}, {4, 5}, {1, 2, nan, 4}, true); }, "f", 2, "f[2] = nan is not a finite number");
    expect_error([] { make_map({0, 1}, {4}, {1, 2}, false); }, "y", 1,
                 "y has 1 point, a table needs at least 2 along each axis");
}

}  // namespace table_build_tests

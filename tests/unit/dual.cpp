/// Dual numbers: every function against central differences, and identities that only exact derivatives keep.
#include <cmath>
#include <gtest/gtest.h>
#include <pullcast/dual.hpp>

namespace dual_tests {

using namespace pullcast;

Dual variable(double v, int direction) {
    Dual x(v);
    x.d[direction] = 1;
    return x;
}

/// One-argument function `f`, generic, at `at`: value as in plain arithmetic, slope as the difference quotient, other
/// directions untouched, and the chain rule for a seed other than 1.
template <class F>
void check(F&& f, double at) {
    const Dual r = f(variable(at, 3));
    EXPECT_DOUBLE_EQ(r.v, f(at)) << "at " << at;
    const double step = 1e-6 * std::max(1.0, std::fabs(at)), slope = (f(at + step) - f(at - step)) / (2 * step);
    EXPECT_NEAR(r.d[3], slope, 2e-9 * std::max(1.0, std::fabs(slope)) + 1e-9 * std::fabs(r.v)) << "at " << at;
    for (int i = 0; i < dual_width; ++i) {
        if (i != 3) { EXPECT_EQ(r.d[i], 0); }
    }
    Dual scaled(at);
    scaled.d[3] = -2.5, scaled.d[0] = 4;
    const Dual s = f(scaled);
    EXPECT_DOUBLE_EQ(s.d[3], -2.5 * r.d[3]);
    EXPECT_DOUBLE_EQ(s.d[0], 4 * r.d[3]);
}

template <class F>
void check_both(F&& f, double a, double b) {
    check([&](const auto& x) { return f(x, b); }, a);   // dual with double
    check([&](const auto& y) { return f(a, y); }, b);   // double with dual
    const Dual r = f(variable(a, 1), variable(b, 2));   // dual with dual
    EXPECT_DOUBLE_EQ(r.v, f(a, b));
    EXPECT_NEAR(r.d[1], f(variable(a, 1), b).d[1], 1e-15 * std::fabs(r.d[1]));
    EXPECT_NEAR(r.d[2], f(a, variable(b, 2)).d[2], 1e-15 * std::fabs(r.d[2]));
    EXPECT_EQ(r.d[0], 0);
}

TEST(Dual, Arithmetic) {
    for (double a : {-2.0, 0.3, 4.0})
        for (double b : {-1.5, 0.7, 3.0}) {
            check_both([](const auto& x, const auto& y) { return x + y; }, a, b);
            check_both([](const auto& x, const auto& y) { return x - y; }, a, b);
            check_both([](const auto& x, const auto& y) { return x * y; }, a, b);
            check_both([](const auto& x, const auto& y) { return x / y; }, a, b);
        }
    check([](const auto& x) { return -x; }, 1.7);
}

TEST(Dual, CompoundAssignment) {
    check([](auto x) { return x += 2.0, x; }, 1.3);
    check([](auto x) { return x -= 2.0 * x, x; }, 1.3);
    check([](auto x) { return x *= x, x; }, 1.3);
    check([](auto x) { return x /= 1 + x * x, x; }, 1.3);
}

TEST(Dual, Functions) {
    using std::atan, std::cbrt, std::cos, std::exp, std::expm1, std::fabs;
    using std::log, std::log1p, std::sin, std::sqrt, std::tanh;
    for (double x : {0.2, 0.9, 1.0, 3.7}) {
        check([](const auto& a) { return sqrt(a); }, x);
        check([](const auto& a) { return log(a); }, x);
    }
    for (double x : {-2.1, -0.4, 0.2, 0.9, 3.7}) {
        check([](const auto& a) { return exp(a); }, x);
        check([](const auto& a) { return expm1(a); }, x);
        check([](const auto& a) { return sin(a); }, x);
        check([](const auto& a) { return cos(a); }, x);
        check([](const auto& a) { return atan(a); }, x);
        check([](const auto& a) { return tanh(a); }, x);
        check([](const auto& a) { return fabs(a); }, x);
        check([](const auto& a) { return cbrt(a); }, x);
    }
    for (double x : {-0.6, -0.1, 0.0, 0.4, 5.0}) check([](const auto& a) { return log1p(a); }, x);
}

TEST(Dual, Power) {
    using std::pow;
    for (double a : {0.3, 1.0, 2.6})
        for (double b : {-1.4, 0.5, 1.0, 3.0}) check_both([](const auto& x, const auto& y) { return pow(x, y); }, a, b);
    // a power that is a whole number is smooth through zero
    EXPECT_EQ(pow(variable(0, 0), 2.0).d[0], 0);
    EXPECT_EQ(pow(variable(0, 0), 1.0).d[0], 1);
    check([](const auto& x) { return pow(x, 3.0); }, -1.2);
}

TEST(Dual, SmallArgumentsKeepTheirDigits) {
    const Dual x = variable(1e-12, 0);
    EXPECT_DOUBLE_EQ(expm1(x).v, std::expm1(1e-12));
    EXPECT_DOUBLE_EQ(log1p(x).v, std::log1p(1e-12));
    EXPECT_DOUBLE_EQ(expm1(x).d[0], 1 + 1e-12);
}

// Identities in one variable: constants have no derivative, inverse functions give back the seed.
TEST(Dual, Identities) {
    for (double at : {0.15, 0.8, 2.3}) {
        const Dual x = variable(at, 5);
        const Dual ones[] = {sin(x) * sin(x) + cos(x) * cos(x), exp(x) * exp(-x),
                             x / x,                             pow(x, 2.0) / (x * x),
                             exp(0.4 * log(x)) / pow(x, 0.4),   pow(2.0, x) / exp(x * std::log(2.0)),
                             pow(x, x) / exp(x * log(x))};
        for (const Dual& one : ones) {
            EXPECT_NEAR(one.v, 1, 4e-16);
            EXPECT_NEAR(one.d[5], 0, 4e-15);
        }
        const Dual same[] = {log(exp(x)), sqrt(x) * sqrt(x), cbrt(x) * cbrt(x) * cbrt(x), log1p(expm1(x)), 1 / (1 / x),
                             fabs(-x)};
        for (const Dual& one : same) {
            EXPECT_NEAR(one.v, at, 1e-15 * (1 + at));
            EXPECT_NEAR(one.d[5], 1, 4e-15);
        }
    }
}

// A compound of several variables, with its gradient worked by hand: f = x^2 y / sqrt(1 + z) + exp(x z).
TEST(Dual, GradientOfACompound) {
    const double a = 1.3, b = -0.7, c = 0.4;
    const Dual x = variable(a, 0), y = variable(b, 1), z = variable(c, 7);
    const Dual f = x * x * y / sqrt(1 + z) + exp(x * z);
    const double root = std::sqrt(1 + c), e = std::exp(a * c);
    EXPECT_DOUBLE_EQ(f.v, a * a * b / root + e);
    EXPECT_DOUBLE_EQ(f.d[0], 2 * a * b / root + c * e);
    EXPECT_DOUBLE_EQ(f.d[1], a * a / root);
    EXPECT_DOUBLE_EQ(f.d[7], -0.5 * a * a * b / (root * root * root) + a * e);
    for (int i = 2; i < 7; ++i) EXPECT_EQ(f.d[i], 0);
}

TEST(Dual, BranchesAreTakenOnValues) {
    const Dual small = variable(1, 0), large = variable(2, 1);
    EXPECT_TRUE(small < large);
    EXPECT_TRUE(large > small);
    EXPECT_TRUE(small <= small);
    EXPECT_TRUE(small >= small);
    EXPECT_FALSE(small > large);
    EXPECT_TRUE(small < 1.5);
    EXPECT_TRUE(1.5 < large);
    EXPECT_EQ(value(large), 2);
    EXPECT_EQ(value(3.5), 3.5);
    EXPECT_EQ(fabs(variable(-2, 0)).d[0], -1);
}

TEST(Dual, ConstantsAndWidth) {
    const Dual c = 4.0;
    EXPECT_EQ(c.v, 4);
    for (int i = 0; i < dual_width; ++i) EXPECT_EQ(c.d[i], 0);
    EXPECT_EQ(sizeof(Dual), sizeof(double) * (1 + dual_width));
    const DualN<2> narrow(1.5);
    EXPECT_EQ((narrow * narrow).v, 2.25);
}

}  // namespace dual_tests

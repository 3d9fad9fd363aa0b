/// Dual numbers: a value and its derivatives along `width` directions, so that a sweep that is written once gives
/// both the right-hand side and its exact Jacobian. Branches are taken on values, as in the plain arithmetic.
#pragma once
#include <cmath>

namespace pullcast {

template <int N>
struct DualN {
    /// Vector arithmetic of the compiler (g++ and clang++): stays in registers where an array would not.
    typedef double Lanes __attribute__((vector_size(N * sizeof(double)), aligned(alignof(double))));

    double v = 0;
    Lanes d{};

    DualN() = default;
    DualN(double value) : v(value) {}  // implicit on purpose: constants mix with states

    DualN operator-() const { return chain(*this, -v, -1); }
    DualN& operator+=(const DualN& b) {
        v += b.v;
        d += b.d;
        return *this;
    }
    DualN& operator-=(const DualN& b) {
        v -= b.v;
        d -= b.d;
        return *this;
    }
    DualN& operator*=(const DualN& b) { return *this = *this * b; }
    DualN& operator/=(const DualN& b) { return *this = *this / b; }

    friend DualN operator+(DualN a, const DualN& b) { return a += b; }
    friend DualN operator-(DualN a, const DualN& b) { return a -= b; }
    friend DualN operator*(const DualN& a, const DualN& b) { return combine(a, b.v, b, a.v, a.v * b.v); }
    friend DualN operator/(const DualN& a, const DualN& b) {
        const double inverse = 1 / b.v, quotient = a.v * inverse;
        return combine(a, inverse, b, -quotient * inverse, quotient);
    }
    friend DualN operator+(DualN a, double b) { return a.v += b, a; }
    friend DualN operator+(double a, DualN b) { return b.v += a, b; }
    friend DualN operator-(DualN a, double b) { return a.v -= b, a; }
    friend DualN operator-(double a, const DualN& b) { return chain(b, a - b.v, -1); }
    friend DualN operator*(const DualN& a, double b) { return chain(a, a.v * b, b); }
    friend DualN operator*(double a, const DualN& b) { return chain(b, a * b.v, a); }
    friend DualN operator/(const DualN& a, double b) { return chain(a, a.v / b, 1 / b); }
    friend DualN operator/(double a, const DualN& b) { return chain(b, a / b.v, -a / (b.v * b.v)); }

    friend bool operator<(const DualN& a, const DualN& b) { return a.v < b.v; }
    friend bool operator>(const DualN& a, const DualN& b) { return a.v > b.v; }
    friend bool operator<=(const DualN& a, const DualN& b) { return a.v <= b.v; }
    friend bool operator>=(const DualN& a, const DualN& b) { return a.v >= b.v; }

    friend DualN sqrt(const DualN& a) {
        const double root = std::sqrt(a.v);
        return chain(a, root, 0.5 / root);
    }
    friend DualN cbrt(const DualN& a) {
        const double root = std::cbrt(a.v);
        return chain(a, root, 1 / (3 * root * root));
    }
    friend DualN exp(const DualN& a) {
        const double e = std::exp(a.v);
        return chain(a, e, e);
    }
    friend DualN expm1(const DualN& a) {
        const double e = std::expm1(a.v);
        return chain(a, e, e + 1);
    }
    friend DualN log(const DualN& a) { return chain(a, std::log(a.v), 1 / a.v); }
    friend DualN log1p(const DualN& a) { return chain(a, std::log1p(a.v), 1 / (1 + a.v)); }
    friend DualN pow(const DualN& a, double b) {
        const double power = std::pow(a.v, b);
        return chain(a, power, a.v != 0 ? b * power / a.v : b * std::pow(a.v, b - 1));
    }
    friend DualN pow(double a, const DualN& b) {
        const double power = std::pow(a, b.v);
        return chain(b, power, power * std::log(a));
    }
    friend DualN pow(const DualN& a, const DualN& b) {
        const double power = std::pow(a.v, b.v);
        return combine(a, b.v * power / a.v, b, power * std::log(a.v), power);
    }
    friend DualN sin(const DualN& a) { return chain(a, std::sin(a.v), std::cos(a.v)); }
    friend DualN cos(const DualN& a) { return chain(a, std::cos(a.v), -std::sin(a.v)); }
    friend DualN atan(const DualN& a) { return chain(a, std::atan(a.v), 1 / (1 + a.v * a.v)); }
    friend DualN tanh(const DualN& a) {
        const double t = std::tanh(a.v);
        return chain(a, t, 1 - t * t);
    }
    friend DualN fabs(const DualN& a) { return a.v < 0 ? -a : a; }

private:
    /// f(a) with f = value and f' = slope.
    static DualN chain(const DualN& a, double value, double slope) {
        DualN r(value);
        r.d = slope * a.d;
        return r;
    }
    static DualN combine(const DualN& a, double slope_a, const DualN& b, double slope_b, double value) {
        DualN r(value);
        r.d = slope_a * a.d + slope_b * b.d;
        return r;
    }
};

/// The one width that plugins are built for; part of the ABI.
inline constexpr int dual_width = 8;
using Dual = DualN<dual_width>;

inline double value(double a) { return a; }
template <int N>
double value(const DualN<N>& a) { return a.v; }

}  // namespace pullcast

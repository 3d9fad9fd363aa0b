/// Several operating points side by side in one vector of numbers, so that a cycle is marched for all of them at once.
/// Arithmetic is the compiler's own (g++ and clang++); the transcendental functions are those of the C library, lane by
/// lane. Where a branch would be taken on a value, the lanes are blended instead.
#pragma once
#include <cmath>

namespace pullcast::knock {

struct Lanes {
    static constexpr int count = 8;
    typedef double Vector __attribute__((vector_size(count * sizeof(double)), aligned(alignof(double))));
    Vector v{};

    Lanes() = default;
    Lanes(double all) : v(Vector{} + all) {}  // implicit on purpose: constants mix with lanes
    explicit Lanes(const Vector& lanes) : v(lanes) {}

    double& operator[](int k) { return reinterpret_cast<double*>(&v)[k]; }
    double operator[](int k) const { return reinterpret_cast<const double*>(&v)[k]; }

    Lanes& operator+=(const Lanes& b) { return v += b.v, *this; }
    Lanes& operator-=(const Lanes& b) { return v -= b.v, *this; }
    Lanes operator-() const { return Lanes(-v); }
    friend Lanes operator+(const Lanes& a, const Lanes& b) { return Lanes(a.v + b.v); }
    friend Lanes operator-(const Lanes& a, const Lanes& b) { return Lanes(a.v - b.v); }
    friend Lanes operator*(const Lanes& a, const Lanes& b) { return Lanes(a.v * b.v); }
    friend Lanes operator/(const Lanes& a, const Lanes& b) { return Lanes(a.v / b.v); }

    friend Lanes exp(const Lanes& a) {
        return each(a, [](double x) { return std::exp(x); });
    }
    friend Lanes log(const Lanes& a) {
        return each(a, [](double x) { return std::log(x); });
    }
    friend Lanes sqrt(const Lanes& a) {
        return each(a, [](double x) { return std::sqrt(x); });
    }
    friend Lanes larger(const Lanes& a, const Lanes& b) { return Lanes(a.v > b.v ? a.v : b.v); }
    friend Lanes smaller(const Lanes& a, const Lanes& b) { return Lanes(a.v < b.v ? a.v : b.v); }
    /// a, or b where a is 0.
    friend Lanes given_or(const Lanes& a, const Lanes& b) { return Lanes(a.v != 0 ? a.v : b.v); }
    friend double largest(const Lanes& a) {
        double most = a[0];
        for (int k = 1; k < count; ++k) most = std::fmax(most, a[k]);
        return most;
    }

private:
    template <class F> static Lanes each(const Lanes& a, F f) {
        Lanes r;
        for (int k = 0; k < count; ++k) r[k] = f(a[k]);
        return r;
    }
};

// The same words for one point and for a dual number; branches are taken on values there.
template <class S> S larger(const S& a, const S& b) { return a > b ? a : b; }
template <class S> S smaller(const S& a, const S& b) { return a < b ? a : b; }
template <class S> S given_or(const S& a, const S& b) { return value(a) != 0 ? a : b; }
template <class S> double largest(const S& a) { return value(a); }

}  // namespace pullcast::knock

/// A property function is computed in plain doubles together with its exact partial derivatives, and then lifted to the
/// scalar of the sweep. A dual argument costs one multiplication per direction instead of a polynomial of duals, and
/// Newton iterations are differentiated by the implicit function theorem, not by differentiating their steps.
#pragma once
#include <array>
#include <cstddef>
#include <type_traits>
#include <pullcast/dual.hpp>

namespace pullcast::media {

/// One argument of a lifted function and the function's partial derivative along it.
template <class S>
struct Along {
    const S& x;
    double slope;
};
template <class S>
Along(const S&, double) -> Along<S>;

/// The number `f` as an S that carries the derivatives of all arguments.
template <class S, class... More>
S lift(double f, const Along<S>& first, const More&... more) {
    if constexpr (std::is_same_v<S, double>) {
        return f;
    } else {
        S r = first.slope * (first.x - value(first.x));
        ((r += more.slope * (more.x - value(more.x))), ...);
        return r += f;
    }
}

/// c0 + c1 x + c2 x^2 + ... by Horner's rule.
template <std::size_t N>
constexpr double polynomial(const std::array<double, N>& c, double x) {
    double r = c[N - 1];
    for (std::size_t i = N - 1; i-- > 0;) r = r * x + c[i];
    return r;
}
template <std::size_t N>
constexpr double polynomial_slope(const std::array<double, N>& c, double x) {
    double r = (N - 1) * c[N - 1];
    for (std::size_t i = N - 1; i-- > 1;) r = r * x + static_cast<double>(i) * c[i];
    return r;
}

}  // namespace pullcast::media

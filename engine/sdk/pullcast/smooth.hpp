/// Regularised forms of the usual kinks. Every width is a documented parameter of the component that uses it.
/// Call them with a scalar that is double or Dual.
#pragma once
#include <cmath>
#include <pullcast/domains.hpp>
#include <pullcast/dual.hpp>

namespace pullcast {

/// |x|, zero and flat at zero: x^2 / sqrt(x^2 + width^2).
template <class S> S soft_abs(const S& x, double width) {
    using std::sqrt;
    return x * x / sqrt(x * x + width * width);
}
/// max(a, b), rounded over about `width` around a = b (never below the larger one).
template <class S> S soft_max(const S& a, const S& b, double width) {
    using std::sqrt;
    const S d = a - b;
    return 0.5 * (a + b + sqrt(d * d + width * width));
}
template <class S> S soft_min(const S& a, const S& b, double width) {
    using std::sqrt;
    const S d = a - b;
    return 0.5 * (a + b - sqrt(d * d + width * width));
}
/// 0 below `lo`, 1 above `hi`, C2 between.
template <class S> S soft_step(const S& x, double lo, double hi) {
    if (value(x) <= lo) return S(0);
    if (value(x) >= hi) return S(1);
    const S s = (x - lo) / (hi - lo);
    return s * s * s * (10 + s * (-15 + 6 * s));
}
/// sign(x) sqrt(|x|), linear near zero: x / (x^2 + width^2)^(1/4).
template <class S> S signed_sqrt(const S& x, double width) {
    using std::sqrt;
    return x / sqrt(sqrt(x * x + width * width));
}
/// flow * (what the upstream side carries), smooth through reversal: positive flow carries `a`, negative carries `b`.
template <class S> S upwind(const S& flow, const S& a, const S& b, double width) {
    return 0.5 * (flow * (a + b) + soft_abs(flow, width) * (a - b));
}
/// A gas flow `m` from `a` to `b` with the enthalpy and vapour of the side it leaves; `width` in kg/s.
template <class S>
Gas::Flow<S> carried(const S& m, const Gas::Potential<S>& a, const Gas::Potential<S>& b, double width = 1e-4) {
    return {m, upwind(m, a.h, b.h, width), upwind(m, a.w, b.w, width)};
}
template <class S>
Coolant::Flow<S> carried(const S& m, const Coolant::Potential<S>& a, const Coolant::Potential<S>& b,
                         double width = 1e-4) {
    return {m, upwind(m, a.h, b.h, width)};
}

}  // namespace pullcast

/// The knock-limited spark as a smooth function of the operating point, cheap enough for a right-hand side.
///
///   ln ON_required(k) = sum c_kabc T_a(u) T_b(v) T_c(s) + m(lambda) + g_a (a - a_0) + g_w (w - w_0)
///       u, v linear in ln omega, ln p, s in T_1, all in -1 .. 1; T: Chebyshev polynomials; k: the five sparks of
///       limit.hpp m a parabola; a residual ratio, w humidity; T_1, a: trapped.hpp
///   limit: where the curve through the five meets the fuel's octane number
///
/// Learned once from the cycle: 120 operating points for the sum, and a few around `typical` for what mixture, residual
/// gas and humidity do beside changing T_1. Outside its box the nearest edge is used; beyond that of pressure octane
/// required goes on as the delay's own p^(1.7/3.402), so that nothing is held back at part throttle.
#pragma once
#include <pullcast/smooth.hpp>

#include "limit.hpp"

namespace pullcast::knock {

class LimitTable {
public:
    struct Axis {
        double lo, hi;
    };
    static constexpr int speeds = 5, pressures = 6, temperatures = 4;
    static constexpr Axis speed{100, 900}, pressure{70e3, 350e3}, temperature{290, 450};  // rad/s, Pa, K of T_1

    void learn(const Engine& e, const Point<double>& typical);

    /// rad before top centre. `T` and `residual`: T_1 and a at this point.
    template <class S> S operator()(const Point<S>& at, const S& T, const S& residual) const {
        const S off = at.lambda - lambda_;
        using std::exp, std::log;
        const S beyond = (delay_pressure / delay_octane) * log(at.p / inside(at.p, pressure));
        const S beside = beyond + mixture_[0] * off + mixture_[1] * off * off +
                         per_residual_ * (residual - residual_0_) + per_humidity_ * (at.w - humidity_);
        const auto sums = tensor(at.omega, at.p, T);
        std::array<S, OctaneCurve::sparks.size()> required;
        OctaneCurve::Row values;
        for (std::size_t k = 0; k < values.size(); ++k) {
            required[k] = exp(sums[k] + beside);
            values[k] = value(required[k]);
        }
        const OctaneCurve curve(values);
        const double limit = curve.solve(octane_), per_octane = 1 / curve.slope(limit);
        S result = limit;  // its derivatives: by the implicit function theorem
        const auto weights = curve.weights(limit);
        for (std::size_t k = 0; k < values.size(); ++k) result += -per_octane * weights[k] * (required[k] - values[k]);
        return result;
    }

private:
    using Coefficients = std::array<double, OctaneCurve::sparks.size()>;  // one a spark
    Coefficients c_[speeds][pressures][temperatures];
    double octane_, lambda_, residual_0_, humidity_, mixture_[2], per_residual_, per_humidity_;

    template <class S> static S inside(const S& x, const Axis& a) {
        constexpr double share = 1e-3;  // of the edge, over which it is rounded
        return soft_min(soft_max(x, S(a.lo), share * a.lo), S(a.hi), share * a.hi);
    }
    template <int n, class S> static std::array<S, n> polynomials(const S& x, double lo, double hi) {
        std::array<S, n> T;
        const S at = (2 * x - (lo + hi)) / (hi - lo);
        T[0] = 1.0, T[1] = at;
        for (int k = 2; k < n; ++k) T[k] = 2 * at * T[k - 1] - T[k - 2];
        return T;
    }
    template <class S> std::array<S, OctaneCurve::sparks.size()> tensor(const S& omega, const S& p, const S& T) const {
        using std::log;
        const auto u = polynomials<speeds>(S(log(inside(omega, speed))), std::log(speed.lo), std::log(speed.hi));
        const auto v =
            polynomials<pressures>(S(log(inside(p, pressure))), std::log(pressure.lo), std::log(pressure.hi));
        const auto s = polynomials<temperatures>(inside(T, temperature), temperature.lo, temperature.hi);
        std::array<S, OctaneCurve::sparks.size()> sums{};
        for (int a = 0; a < speeds; ++a)
            for (int b = 0; b < pressures; ++b) {
                const S uv = u[a] * v[b];
                for (int c = 0; c < temperatures; ++c) {
                    const S product = uv * s[c];
                    for (std::size_t k = 0; k < sums.size(); ++k) sums[k] += c_[a][b][c][k] * product;
                }
            }
        return sums;
    }
};

}  // namespace pullcast::knock

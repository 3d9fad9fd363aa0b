/// What the tests of coolers share: a core with flows that are set directly, and its steady state by Newton's method.
#pragma once
#include <cmath>
#include <pullcast/media/coolant.hpp>
#include <pullcast/media/moist_air.hpp>
#include <stdexcept>

#include "bench.hpp"

namespace pullcast::test {

/// Solves A x = b in place by Gaussian elimination with row pivoting; returns x.
inline std::vector<double> solved(std::vector<std::vector<double>> A, std::vector<double> b) {
    const std::size_t n = b.size();
    for (std::size_t c = 0; c < n; ++c) {
        std::size_t pivot = c;
        for (std::size_t r = c + 1; r < n; ++r)
            if (std::fabs(A[r][c]) > std::fabs(A[pivot][c])) pivot = r;
        std::swap(A[c], A[pivot]), std::swap(b[c], b[pivot]);
        for (std::size_t r = c + 1; r < n; ++r) {
            const double f = A[r][c] / A[c][c];
            for (std::size_t k = c; k < n; ++k) A[r][k] -= f * A[c][k];
            b[r] -= f * b[c];
        }
    }
    for (std::size_t r = n; r-- > 0;) {
        for (std::size_t k = r + 1; k < n; ++k) b[r] -= A[r][k] * b[k];
        b[r] /= A[r][r];
    }
    return b;
}

/// Brings all states to rest at the present potentials: Newton with the component's own exact derivatives.
inline void settle_core(Bench& b, int steps = 8) {
    const std::size_t n = b.state_count();
    for (int i = 0; i < steps; ++i) {
        b.evaluate();
        const auto d = b.evaluate_dual();
        std::vector<std::vector<double>> A(n);
        std::vector<double> rate(n);
        for (std::size_t r = 0; r < n; ++r)
            A[r].assign(d.d[r].begin(), d.d[r].begin() + static_cast<std::ptrdiff_t>(n)), rate[r] = b.rates()[r];
        const auto step = solved(A, rate);
        for (std::size_t k = 0; k < n; ++k) *b.inputs()[k].at -= step[k];
    }
    b.evaluate();
}

/// Pressures and densities at both ends such that `flow` kg/s pass a quadratic path whose rated point is rated_flow at
/// `drop` and 1.6 kg/m^3. Temperature `T` on both sides; dry.
inline void blow(Bench& b, double flow, double rated_flow, double T, double drop = 5000) {
    const double dp = drop * (flow / rated_flow) * std::fabs(flow / rated_flow);
    auto in = media::gas_state(1.8e5, T, 0.0), out = media::gas_state(1.8e5 - dp, T, 0.0);
    in.rho = out.rho = 1.6;
    b.gas("from") = in, b.gas("to") = out;
}
/// Coolant of `glycol` that passes a quadratic path of 12 kPa at rated_flow.
inline void pump(Bench& b, double flow, double rated_flow, double T, double glycol) {
    const auto mix = media::coolant(glycol);
    const double dp = 1.2e4 * (flow / rated_flow) * std::fabs(flow / rated_flow);
    b.coolant("coolant_in") = {1.5e5 + dp, T, mix.h(T)};
    b.coolant("coolant_out") = {1.5e5, T, mix.h(T)};
}

}  // namespace pullcast::test

/// One component run in time or brought to its steady state on the bench.
#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>
#include <vector>

#include "bench.hpp"
#include "rk4.hpp"

namespace pullcast::test {

/// Advances states and accounts to `end` by steps of `dt`. `feed(t)` sets potentials and injected flows before each
/// evaluation; potentials of own nodes are then those of the evaluation before, so it may be called twice a stage.
template <class Feed>
void advance(Bench& b, double end, double dt, Feed feed, std::vector<double>* accounts = nullptr) {
    const std::size_t n = b.state_count();
    std::vector<double> x = b.states();
    const auto rates = [&](double t, const std::vector<double>& y) {
        for (std::size_t i = 0; i < n; ++i) *b.inputs()[i].at = y[i];
        b.evaluate();
        feed(t);
        b.evaluate();
        return b.rates();
    };
    const auto steps = std::lround(end / dt);
    for (long k = 0; k < steps; ++k) rk4(x, static_cast<double>(k) * dt, dt, rates);
    for (std::size_t i = 0; i < n; ++i) *b.inputs()[i].at = x[i];
    if (accounts) accounts->assign(x.begin() + static_cast<std::ptrdiff_t>(n), x.end());
    feed(end);
    b.evaluate();
}

/// Solves A y = r by elimination with row exchange.
inline std::vector<double> solve_dense(std::vector<std::vector<double>> A, std::vector<double> r) {
    const std::size_t n = r.size();
    for (std::size_t c = 0; c < n; ++c) {
        std::size_t best = c;
        for (std::size_t i = c; i < n; ++i)
            if (std::fabs(A[i][c]) > std::fabs(A[best][c])) best = i;
        std::swap(A[c], A[best]), std::swap(r[c], r[best]);
        for (std::size_t i = c + 1; i < n; ++i) {
            const double f = A[i][c] / A[c][c];
            for (std::size_t j = c; j < n; ++j) A[i][j] -= f * A[c][j];
            r[i] -= f * r[c];
        }
    }
    for (std::size_t c = n; c-- > 0;) {
        for (std::size_t j = c + 1; j < n; ++j) r[c] -= A[c][j] * r[j];
        r[c] /= A[c][c];
    }
    return r;
}

/// Newton's method with the exact Jacobian until all states rest.
inline void settle(Bench& b) {
    const std::size_t n = b.state_count();
    for (int step = 0; step < 30; ++step) {
        b.evaluate();
        std::vector<double> rate(b.rates().begin(), b.rates().begin() + static_cast<std::ptrdiff_t>(n));
        const Derivatives d = b.evaluate_dual();
        std::vector<std::vector<double>> A(n, std::vector<double>(n));
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t j = 0; j < n; ++j) A[i][j] = d.d[i][j];
        const auto move = solve_dense(A, rate);
        double size = 0;
        for (std::size_t i = 0; i < n; ++i) {
            *b.inputs()[i].at -= move[i];
            size = std::max(size, std::fabs(move[i]) / b.inputs()[i].nominal);
        }
        if (size < 1e-11) return b.evaluate();
    }
    throw std::runtime_error("no steady state found");
}

}  // namespace pullcast::test

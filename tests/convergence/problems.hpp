/// Problems with known answers for the integrator, each small enough to read.
#pragma once
#include <cmath>
#include <functional>
#include <limits>
#include <pullcast/solve/integrator.hpp>
#include <string>
#include <utility>
#include <vector>

namespace pullcast::test {

/// A system from two functions; the Jacobian pattern is full unless rows are given.
struct Problem : System {
    using Rows = std::vector<std::vector<std::uint32_t>>;
    std::size_t n, tested;
    Pattern jacobian_pattern;
    std::function<bool(double, const double*, double*)> f;
    std::function<void(double, const double*, double*)> j;
    std::vector<std::function<double(double, const double*)>> g;
    std::string reason;

    Problem(std::size_t size, decltype(f) rates, decltype(j) jacobian_values, Rows rows = {})
        : n(size), tested(size), f(std::move(rates)), j(std::move(jacobian_values)) {
        if (rows.empty()) rows.assign(n, full_row());
        jacobian_pattern = Pattern(rows, n);
    }
    std::size_t size() const override { return n; }
    std::size_t error_tested() const override { return tested; }
    const Pattern& pattern() const override { return jacobian_pattern; }
    bool derivative(double t, const double* x, double* dx) override { return f(t, x, dx); }
    bool jacobian(double t, const double* x, double* values) override { return j(t, x, values), true; }
    std::size_t crossing_count() const override { return g.size(); }
    void crossings(double t, const double* x, double* out) override {
        for (const auto& one : g) *out++ = one(t, x);
    }
    std::string explain() override { return reason; }
    std::string state_name(std::size_t i) const override { return std::string("part.") + static_cast<char>('a' + i); }
    std::string crossing_name(std::size_t i) const override { return "gate " + std::to_string(i); }

private:
    std::vector<std::uint32_t> full_row() const {
        std::vector<std::uint32_t> row;
        for (std::uint32_t k = 0; k < n; ++k) row.push_back(k);
        return row;
    }
};

inline Integrator::Options tolerance(double rtol, std::vector<double> atol) {
    Integrator::Options o;
    o.rtol = rtol, o.atol = std::move(atol);
    return o;
}

/// x' = -rate x
inline Problem decay(double rate) {
    return {1, [rate](double, const double* x, double* dx) { return dx[0] = -rate * x[0], true; },
            [rate](double, const double*, double* v) { v[0] = -rate; }};
}
/// x' = -k (x - cos t) - sin t, x = cos t + (x0 - 1) exp(-k t) (Prothero, Robinson 1974; from memory)
inline Problem prothero_robinson(double k) {
    return {1,
            [k](double t, const double* x, double* dx) {
                return dx[0] = -k * (x[0] - std::cos(t)) - std::sin(t), true;
            },
            [k](double, const double*, double* v) { v[0] = -k; }};
}
/// Emptying through an orifice: x' = -c sqrt(x), x = (sqrt(x0) - c t / 2)^2 until empty.
inline Problem blow_down(double c) {
    return {1,
            [c](double, const double* x, double* dx) {
                if (x[0] < 0) return false;
                return dx[0] = -c * std::sqrt(x[0]), true;
            },
            [c](double, const double* x, double* v) { v[0] = -c / (2 * std::sqrt(x[0])); }};
}
/// Robertson's kinetics as in cvRoberts_dns of the SUNDIALS examples: rates 0.04, 1e4, 3e7, from (1, 0, 0).
inline Problem robertson() {
    return {3,
            [](double, const double* y, double* d) {
                d[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
                d[2] = 3e7 * y[1] * y[1];
                d[1] = -d[0] - d[2];
                return true;
            },
            [](double, const double* y, double* v) {
                v[0] = -0.04, v[1] = 1e4 * y[2], v[2] = 1e4 * y[1];
                v[3] = 0.04, v[4] = -1e4 * y[2] - 6e7 * y[1], v[5] = -1e4 * y[1];
                v[6] = 0, v[7] = 6e7 * y[1], v[8] = 0;
            }};
}
/// x'' = mu (1 - x^2) x' - x
inline Problem van_der_pol(double mu) {
    return {2,
            [mu](double, const double* x, double* d) {
                d[0] = x[1], d[1] = mu * (1 - x[0] * x[0]) * x[1] - x[0];
                return true;
            },
            [mu](double, const double* x, double* v) {
                v[0] = 0, v[1] = 1, v[2] = -2 * mu * x[0] * x[1] - 1, v[3] = mu * (1 - x[0] * x[0]);
            }};
}
/// Three vessels in a row that exchange at very different rates (1, 1e3, 1e5 1/s, the last one squared), the middle one
/// fed from outside, the last one leaking; accounts count what came in and what left. a + b + c - in + out never
/// changes.
inline Problem vessels_with_accounts() {
    Problem p(
        5,
        [](double t, const double* x, double* d) {
            const double ab = 1e3 * (x[0] - x[1]), bc = 1e5 * (x[1] - x[2]) * std::fabs(x[1] - x[2]);
            const double in = 1 + std::sin(3 * t), out = x[2];
            d[0] = -ab, d[1] = ab - bc + in, d[2] = bc - out, d[3] = in, d[4] = out;
            return true;
        },
        [](double, const double* x, double* v) {
            const double ab = 1e3, bc = 2e5 * std::fabs(x[1] - x[2]);
            double* e = v;
            *e++ = -ab, *e++ = ab;
            *e++ = ab, *e++ = -ab - bc, *e++ = bc;
            *e++ = bc, *e++ = -bc - 1;
            *e++ = 1;
        },
        {{0, 1}, {0, 1, 2}, {1, 2}, {}, {2}});
    p.tested = 3;
    return p;
}

}  // namespace pullcast::test

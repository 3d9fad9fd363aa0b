/// The classical Runge-Kutta step of fourth order, for tests that integrate one component against a closed solution.
#pragma once
#include <vector>

namespace pullcast::test {

/// Advances `x` by `dt`; `rates(t, x)` returns dx/dt.
template <class Rates>
void rk4(std::vector<double>& x, double t, double dt, Rates rates) {
    const auto moved = [&](const std::vector<double>& k, double step) {
        std::vector<double> y = x;
        for (std::size_t i = 0; i < y.size(); ++i) y[i] += step * k[i];
        return y;
    };
    const auto a = rates(t, x), b = rates(t + dt / 2, moved(a, dt / 2)), c = rates(t + dt / 2, moved(b, dt / 2)),
               d = rates(t + dt, moved(c, dt));
    for (std::size_t i = 0; i < x.size(); ++i) x[i] += dt / 6 * (a[i] + 2 * b[i] + 2 * c[i] + d[i]);
}

}  // namespace pullcast::test

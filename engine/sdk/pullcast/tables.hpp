/// Curves and maps as parameters: piecewise cubic in Hermite form, continued linearly beyond their range and never
/// cubically. The engine computes the slopes when it reads the table: a C2 spline (natural ends), or shape-preserving
/// slopes (C1, no overshoot) where the schema asks for it. Trivially copyable views of numbers that the engine owns.
#pragma once
#include <algorithm>
#include <cstdint>
#include <pullcast/dual.hpp>

namespace pullcast {

namespace detail {
/// Index of the interval of a rising grid that holds `at`; the first or last one beyond the ends.
inline std::uint32_t interval(const double* grid, std::uint32_t n, double at) {
    const auto up = std::upper_bound(grid + 1, grid + n - 1, at);
    return static_cast<std::uint32_t>(up - grid) - 1;
}
/// Cubic Hermite weights on [0, 1]: values at 0 and 1, then slopes at 0 and 1.
template <class S>
struct Hermite {
    S f0, f1, g0, g1;
    explicit Hermite(const S& s) {
        const S r = 1 - s, s2 = s * s, r2 = r * r;
        f0 = r2 * (1 + 2 * s), f1 = s2 * (3 - 2 * s), g0 = s * r2, g1 = -1 * (s2 * r);
    }
};
}  // namespace detail

/// y(x). `dy` holds the slope at each grid point.
struct Curve {
    const double *x = nullptr, *y = nullptr, *dy = nullptr;
    std::uint32_t n = 0;

    template <class S>
    S operator()(const S& at) const {
        if (value(at) <= x[0]) return y[0] + dy[0] * (at - x[0]);
        if (value(at) >= x[n - 1]) return y[n - 1] + dy[n - 1] * (at - x[n - 1]);
        const auto k = detail::interval(x, n, value(at));
        const double width = x[k + 1] - x[k];
        const detail::Hermite<S> w((at - x[k]) / width);
        return y[k] * w.f0 + y[k + 1] * w.f1 + width * (dy[k] * w.g0 + dy[k + 1] * w.g1);
    }
    double low() const { return x[0]; }
    double high() const { return x[n - 1]; }
};

/// z(x, y) on a rectangular grid; element (i, j) stands at [i * ny + j]. `fx`, `fy`, `fxy` are derivatives at the grid.
struct Map {
    const double *x = nullptr, *y = nullptr, *f = nullptr, *fx = nullptr, *fy = nullptr, *fxy = nullptr;
    std::uint32_t nx = 0, ny = 0;

    template <class S>
    S operator()(const S& at_x, const S& at_y) const {
        const S cx = clamp(at_x, x[0], x[nx - 1]), cy = clamp(at_y, y[0], y[ny - 1]);
        const auto i = detail::interval(x, nx, value(cx)), j = detail::interval(y, ny, value(cy));
        const double hx = x[i + 1] - x[i], hy = y[j + 1] - y[j];
        const detail::Hermite<S> u((cx - x[i]) / hx), v((cy - y[j]) / hy);
        const auto row = [&](const double* along, const double* across, std::uint32_t at) {
            return along[at] * v.f0 + along[at + 1] * v.f1 + hy * (across[at] * v.g0 + across[at + 1] * v.g1);
        };
        const std::uint32_t a = i * ny + j, b = a + ny;
        const S z =
            row(f, fy, a) * u.f0 + row(f, fy, b) * u.f1 + hx * (row(fx, fxy, a) * u.g0 + row(fx, fxy, b) * u.g1);
        if (inside(value(at_x), value(at_y))) return z;
        // Linear along either axis with the slopes of the edge itself, so that value and slopes join everywhere.
        const auto column = [&](const double* along, const double* across, std::uint32_t at) {
            return along[at] * u.f0 + along[at + ny] * u.f1 + hx * (across[at] * u.g0 + across[at + ny] * u.g1);
        };
        const std::uint32_t high_x = value(at_x) > x[nx - 1] ? ny : 0, high_y = value(at_y) > y[ny - 1] ? 1 : 0;
        const S dx = at_x - cx, dy = at_y - cy;
        return z + row(fx, fxy, a + high_x) * dx + column(fy, fxy, a + high_y) * dy +
               fxy[a + high_x + high_y] * dx * dy;
    }
    bool inside(double at_x, double at_y) const {
        return at_x >= x[0] && at_x <= x[nx - 1] && at_y >= y[0] && at_y <= y[ny - 1];
    }
    /// How far a point lies beyond the grid, as a fraction of the grid's extent; 0 inside.
    double outside(double at_x, double at_y) const {
        const auto beyond = [](double at, double lo, double hi) {
            return std::max({lo - at, at - hi, 0.0}) / (hi - lo);
        };
        return std::max(beyond(at_x, x[0], x[nx - 1]), beyond(at_y, y[0], y[ny - 1]));
    }

private:
    template <class S> static S clamp(const S& a, double lo, double hi) {
        return value(a) < lo ? S(lo) : value(a) > hi ? S(hi) : a;
    }
};

}  // namespace pullcast

#include <fmt/format.h>

#include <cmath>
#include <pullcast/network/tables_build.hpp>

namespace pullcast {
namespace {

using Slopes = void (*)(std::span<const double>, const double*, double*, std::size_t);

void check_finite(const std::vector<double>& values, const char* array) {
    for (std::size_t k = 0; k < values.size(); ++k) {
        if (std::isfinite(values[k])) continue;
        throw TableError(array, k, values[k], fmt::format("{}[{}] = {} is not a finite number", array, k, values[k]));
    }
}

void check_axis(const std::vector<double>& axis, const char* array) {
    if (axis.size() < 2)
        throw TableError(array, axis.size(), static_cast<double>(axis.size()),
                         fmt::format("{} has {} point{}, a table needs at least 2 along each axis", array, axis.size(),
                                     axis.size() == 1 ? "" : "s"));
    check_finite(axis, array);
    for (std::size_t k = 1; k < axis.size(); ++k)
        if (!(axis[k] > axis[k - 1]))
            throw TableError(array, k, axis[k],
                             fmt::format("{0}[{1}] = {2} must be greater than {0}[{3}] = {4}", array, k, axis[k], k - 1,
                                         axis[k - 1]));
}

void check_values(const std::vector<double>& values, const char* array, std::size_t wanted, const std::string& grid) {
    if (values.size() != wanted)
        throw TableError(array, values.size(), static_cast<double>(values.size()),
                         fmt::format("{} has {} values, the grid of {} wants {}", array, values.size(), grid, wanted));
    check_finite(values, array);
}

/// Three-point slope at an end, next to the intervals h0, h1 with slopes d0, d1; limited so that it keeps the shape.
double end_slope(double h0, double h1, double d0, double d1) {
    const double m = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if (m * d0 <= 0) return 0;
    if (d0 * d1 < 0 && std::fabs(m) > 3 * std::fabs(d0)) return 3 * d0;
    return m;
}

double smaller(double a, double b) { return a * b <= 0 ? 0 : std::fabs(a) < std::fabs(b) ? a : b; }

}  // namespace

TableError::TableError(std::string of, std::size_t at, double number, const std::string& message)
    : std::invalid_argument(message), array(std::move(of)), index(at), value(number) {}

void spline_slopes(std::span<const double> x, const double* y, double* slopes, std::size_t stride) {
    const std::size_t last = x.size() - 1;
    const auto width = [&](std::size_t k) { return x[k + 1] - x[k]; };
    const auto rise = [&](std::size_t k) { return (y[(k + 1) * stride] - y[k * stride]) / width(k); };
    std::vector<double> upper(x.size());  // after elimination: m_k + upper_k m_k+1 = slopes_k
    upper[0] = 0.5;
    slopes[0] = 1.5 * rise(0);
    for (std::size_t k = 1; k < last; ++k) {
        const double a = 1 / width(k - 1), c = 1 / width(k), pivot = 2 * (a + c) - a * upper[k - 1];
        upper[k] = c / pivot;
        slopes[k * stride] = (3 * (a * rise(k - 1) + c * rise(k)) - a * slopes[(k - 1) * stride]) / pivot;
    }
    slopes[last * stride] = (3 * rise(last - 1) - slopes[(last - 1) * stride]) / (2 - upper[last - 1]);
    for (std::size_t k = last; k-- > 0;) slopes[k * stride] -= upper[k] * slopes[(k + 1) * stride];
}

void shape_preserving_slopes(std::span<const double> x, const double* y, double* slopes, std::size_t stride) {
    const std::size_t last = x.size() - 1;
    const auto width = [&](std::size_t k) { return x[k + 1] - x[k]; };
    const auto rise = [&](std::size_t k) { return (y[(k + 1) * stride] - y[k * stride]) / width(k); };
    if (last == 1) {
        slopes[0] = slopes[stride] = rise(0);
        return;
    }
    slopes[0] = end_slope(width(0), width(1), rise(0), rise(1));
    for (std::size_t k = 1; k < last; ++k) {
        const double before = rise(k - 1), after = rise(k);
        const double w1 = 2 * width(k) + width(k - 1), w2 = width(k) + 2 * width(k - 1);
        slopes[k * stride] = before * after <= 0 ? 0 : (w1 + w2) / (w1 / before + w2 / after);
    }
    slopes[last * stride] = end_slope(width(last - 1), width(last - 2), rise(last - 1), rise(last - 2));
}

CurveData make_curve(std::vector<double> x, std::vector<double> y, bool shape_preserving) {
    check_axis(x, "x");
    check_values(y, "y", x.size(), fmt::format("{} points", x.size()));
    CurveData c{std::move(x), std::move(y), {}};
    c.dy.resize(c.x.size());
    (shape_preserving ? shape_preserving_slopes : spline_slopes)(c.x, c.y.data(), c.dy.data(), 1);
    return c;
}

MapData make_map(std::vector<double> x, std::vector<double> y, std::vector<double> f, bool shape_preserving) {
    check_axis(x, "x");
    check_axis(y, "y");
    check_values(f, "f", x.size() * y.size(), fmt::format("{} x {} points", x.size(), y.size()));
    MapData m{std::move(x), std::move(y), std::move(f), {}, {}, {}};
    const std::size_t nx = m.x.size(), ny = m.y.size();
    const Slopes slopes = shape_preserving ? shape_preserving_slopes : spline_slopes;
    const auto along_x = [&](const std::vector<double>& of, std::vector<double>& to) {
        to.resize(nx * ny);
        for (std::size_t j = 0; j < ny; ++j) slopes(m.x, &of[j], &to[j], ny);
    };
    const auto along_y = [&](const std::vector<double>& of, std::vector<double>& to) {
        to.resize(nx * ny);
        for (std::size_t i = 0; i < nx; ++i) slopes(m.y, &of[i * ny], &to[i * ny], 1);
    };
    along_x(m.f, m.fx);
    along_y(m.f, m.fy);
    along_x(m.fy, m.fxy);
    if (shape_preserving) {
        std::vector<double> other;
        along_y(m.fx, other);
        for (std::size_t k = 0; k < other.size(); ++k) m.fxy[k] = smaller(m.fxy[k], other[k]);
    }
    return m;
}

}  // namespace pullcast

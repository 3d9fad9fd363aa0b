#include "weighted_residuals.hpp"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

namespace pullcast::measure {

namespace {

struct Bent {
    double value, slope;
};

/// sign(r) sqrt(rho(r^2)) and its derivative by r.
Bent bend(double r, const LeastSquaresOptions& o) {
    using Loss = LeastSquaresOptions::Loss;
    const double c = o.loss_scale, size = std::fabs(r);
    if (o.loss == Loss::huber && size > c) {
        const double root = std::sqrt(2 * c * size - c * c);
        return {std::copysign(root, r), c / root};
    }
    if (o.loss == Loss::cauchy && size > 1e-6 * c) {
        const double s = size / c, root = c * std::sqrt(std::log1p(s * s));
        return {std::copysign(root, r), size / ((1 + s * s) * root)};
    }
    return {r, 1};
}

}  // namespace

std::size_t residual_count(const Block& block) {
    std::size_t n = 0;
    for (const Series& s : block.series) n += s.accuracy.size();
    return n;
}

void weighted_residuals(const Block& block, const LeastSquaresOptions& options, std::span<const double> values,
                        std::span<double> plain, std::span<double> bent, double* slopes) {
    block.evaluate(values, plain, slopes);
    std::size_t i = 0;
    for (const Series& s : block.series)
        for (std::size_t k = 0; k < s.accuracy.size(); ++k, ++i) {
            plain[i] /= s.accuracy[k];
            if (!std::isfinite(plain[i]))
                throw std::domain_error(fmt::format("{}, point {}: the residual is not a number", s.name, k + 1));
            const Bent b = bend(plain[i], options);
            bent[i] = b.value;
            for (std::size_t j = 0; slopes && j < values.size(); ++j)
                slopes[i * values.size() + j] *= b.slope / s.accuracy[k];
        }
}

std::vector<SeriesFit> judge_series(const Block& block, std::span<const double> plain) {
    std::vector<SeriesFit> all;
    std::size_t first = 0;
    for (const Series& s : block.series) {
        const auto n = s.accuracy.size();
        const double* r = plain.data() + first;
        double squares = 0, neighbours = 0, differences = 0;
        for (std::size_t k = 0; k < n; ++k) squares += r[k] * r[k];
        for (std::size_t k = 1; k < n; ++k)
            neighbours += r[k] * r[k - 1], differences += (r[k] - r[k - 1]) * (r[k] - r[k - 1]);
        const double points = static_cast<double>(n), lag = squares > 0 ? neighbours / squares : 0;
        all.push_back({s.name, n, n ? std::sqrt(squares / points) : 0, lag, squares > 0 ? differences / squares : 2,
                       lag > 0 ? std::max(1.0, points * (1 - lag) / (1 + lag)) : points});
        first += n;
    }
    return all;
}

}  // namespace pullcast::measure

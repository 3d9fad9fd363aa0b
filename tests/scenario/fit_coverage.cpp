// Whether a fit knows how well it knows: 500 fits to one pull of a small rig, computed from known parameters, each with
// noise of its own of the stated accuracies. The reference is what the words mean: a 95 % interval holds the truth in
// 95 of 100 fits, and a standard deviation is how far estimates scatter. Bounds are three standard deviations of what
// 500 fits can show. The seeds are fixed, so the figures are the same every time.
#include <Eigen/Cholesky>
#include <cmath>
#include <pullcast/measure/fit.hpp>
#include <random>

#include "blower_bench.hpp"
#include "shipped.hpp"

namespace fit_coverage_tests {

using namespace shipped;
using namespace pullcast::measure;
using Kind = Parameter::Kind;

constexpr int fits = 500, width = 4;
using Vector = Eigen::Vector4d;
using Matrix = Eigen::Matrix4d;

/// Two factors, a number, and a condition of the day that a thermometer tells about as well as the pull does.
struct Bench {
    std::vector<FitParameter> parameters{{{"clearance", {{"blower", "clearance_area"}}, Kind::factor}, 1, 0.1, 10},
                                         {{"valve", {{"valve", "discharge_coefficient"}}, Kind::factor}, 1, 0.5, 1.17},
                                         {{"lag", {{"sensor", "time_constant"}}}, 0.5, 0.05, 5},
                                         {{"air", {{"ambient", "temperature"}}}, 293.15, 250, 320, Prior{293.15, 0.3}}};
    Vector truth{1.3, 0.95, 0.4, 294.5};
    MeasuredPull pull;
    std::vector<double> exact;

    Bench() {
        pull.name = "bench";
        pull.rig = read_study(blower_bench, registry()).variants.front().rig;
        pull.plan = {.settle = 0.05, .output_step = 0.05, .tolerance = 3e-5};
        pull.parameters = {0, 1, 2, 3};
        std::vector<double> at(100);
        for (std::size_t k = 0; k < at.size(); ++k) at[k] = 0.01 * static_cast<double>(k + 1);
        for (const auto& [channel, accuracy] :
             {std::pair{"box.gas.p", 2500.0}, {"sensor.reading", 1.2}, {"blower.drive_power", 700.0}})
            pull.measured.push_back({channel, at, at, std::vector<double>(at.size(), accuracy)});
        exact.resize(pull.measured.size() * at.size());
        compute(pull, parameters, {truth.data(), width}, exact, nullptr);
    }

    /// As measured on some day: noise on every reading, that of the thermometer included.
    void measure(unsigned seed) {
        std::mt19937 random(seed);
        std::normal_distribution<double> noise;
        auto from = exact.begin();
        for (auto& m : pull.measured)
            for (std::size_t k = 0; k < m.value.size(); ++k) m.value[k] = *from++ + m.accuracy[k] * noise(random);
        auto& prior = *parameters[3].prior;
        prior.mean = truth[3] + prior.deviation * noise(random);
    }
};

struct Refits {
    Eigen::Matrix<double, fits, width> off;          // estimates less the truth
    Matrix stated = Matrix::Zero();                  // covariance as the fits give it, on average
    Eigen::Vector4i held = Eigen::Vector4i::Zero();  // intervals that hold the truth
    double distance = 0;  // of all estimates from the truth, squared, by their fit's covariance

    Matrix scatter() const {
        const auto about_mean = (off.rowwise() - off.colwise().mean()).eval();
        return about_mean.transpose() * about_mean / (fits - 1);
    }
};

Refits refits(Bench& b) {
    Refits all;
    for (int k = 0; k < fits; ++k) {
        b.measure(static_cast<unsigned>(k) + 1);
        const auto r = fit(b.parameters, {b.pull}, {}).solution;
        if (!r.converged) throw std::runtime_error(r.stopped);
        Vector off;
        for (int j = 0; j < width; ++j) {
            const Estimate& e = r.estimates[static_cast<std::size_t>(j)];
            off[j] = e.value - b.truth[j];
            all.held[j] += std::fabs(off[j]) < 1.96 * e.deviation;
        }
        const Matrix covariance = Eigen::Map<const Matrix>(r.covariance.data());
        all.off.row(k) = off;
        all.stated += covariance / fits;
        all.distance += off.dot(covariance.ldlt().solve(off));
    }
    return all;
}

Matrix correlations(const Matrix& covariance) {
    const Vector scale = covariance.diagonal().cwiseSqrt().cwiseInverse();
    return scale.asDiagonal() * covariance * scale.asDiagonal();
}

TEST(FitCoverage, FiveHundredFitsHoldTheTruthAsOftenAndScatterAsFarAsTheySay) {
    Bench b;
    const Refits r = refits(b);
    const Matrix scatter = r.scatter(), together = correlations(scatter), said = correlations(r.stated);
    for (int j = 0; j < width; ++j) {
        const auto name = [&](int k) { return b.parameters[static_cast<std::size_t>(k)].parameter.name; };
        EXPECT_NEAR(r.held[j], 0.95 * fits, 0.03 * fits) << name(j);  // binomial: 1 % is one deviation
        const double far = std::sqrt(scatter(j, j)), stated = std::sqrt(r.stated(j, j));
        EXPECT_NEAR(far / stated, 1, 0.1)  // 1 / sqrt(2 n) = 3.2 % is one
            << name(j) << ": estimates scatter by " << far << ", the fits say " << stated;
        for (int i = 0; i < j; ++i)  // (1 - r^2) / sqrt(n) is one
            EXPECT_NEAR(together(i, j), said(i, j), 3 * (1 - said(i, j) * said(i, j)) / std::sqrt(fits))
                << name(i) << " and " << name(j);
    }
    // Chi-squared: one degree of freedom a parameter and fit, and sqrt(2 / n) is one deviation of their mean.
    const double degrees = fits * width;
    EXPECT_NEAR(r.distance / degrees, 1, 3 * std::sqrt(2 / degrees));
    // Pull and thermometer are both used: together they know more than the thermometer.
    EXPECT_LT(std::sqrt(r.stated(3, 3)), 0.9 * b.parameters[3].prior->deviation);
}

}  // namespace fit_coverage_tests

#include "missing_channels.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <pullcast/study/in_parallel.hpp>

namespace pullcast::measure {
namespace {

constexpr double least_gain = 0.05;
constexpr Eigen::Index readings_a_pull = 12;  // that are looked at: they stand for all

/// What accuracies of the fit are to those of the sensors, on average.
double usual_weight(const MeasuredFit& fit) {
    double sum = 0;
    std::size_t n = 0;
    for (const auto& p : fit.pulls)
        for (const auto& m : p.measured) sum += m.accuracy[0] / m.errors[0].size[0], ++n;
    return sum / static_cast<double>(n);
}

}  // namespace

MissingChannels::MissingChannels(const std::vector<LoggedPull>& pulls, const MeasuredFit& fit, unsigned threads) {
    const auto& solution = fit.result.solution;
    const auto n = static_cast<Eigen::Index>(solution.estimates.size());
    covariance_ = Eigen::Map<const Eigen::MatrixXd>(solution.covariance.data(), n, n);
    for (Eigen::Index k = 0; k < n; ++k)  // what nothing tells takes no part: nothing depends on it
        if (!std::isfinite(covariance_(k, k))) covariance_.row(k).setZero(), covariance_.col(k).setZero();

    std::vector<FitParameter> parameters;
    for (const auto& u : fit.unknowns) parameters.push_back(u.parameter);
    const auto values = fit.values();
    const double weight = usual_weight(fit);
    struct Part {
        std::vector<const ComparedChannel*> channels;
        MeasuredPull pull;
        std::vector<double> computed, slopes;
    };
    std::vector<Part> parts(pulls.size());
    in_parallel(pulls.size(), threads, [&](std::size_t p) {
        auto& part = parts[p];
        part.pull = fit.pulls[p];
        part.pull.measured.clear();
        const auto& speed = pulls[p].channels.front().speed;
        std::vector<double> at;
        for (Eigen::Index k = 0; k < readings_a_pull; ++k)
            at.push_back(speed[static_cast<std::size_t>(k) * (speed.size() - 1) / (readings_a_pull - 1)]);
        const Network network(part.pull.rig);
        for (const auto& c : compared_channels()) {
            const auto channel = channel_in(network, c);
            if (!c.fitted || !channel || pulls[p].find(c.kind)) continue;
            part.channels.push_back(&c);
            part.pull.measured.push_back({*channel, at, at, at, {}});
        }
        if (part.channels.empty()) return;
        std::vector<double> own;
        for (const auto k : part.pull.parameters) own.push_back(values[k]);
        part.computed.resize(at.size() * part.channels.size());
        part.slopes.resize(part.computed.size() * own.size());
        compute(part.pull, parameters, own, part.computed, part.slopes.data());
    });

    for (const auto& c : compared_channels()) {
        std::vector<std::pair<const Part*, std::size_t>> lacking;  // with the place of the first reading
        for (const auto& part : parts)
            for (std::size_t k = 0; k < part.channels.size(); ++k)
                if (part.channels[k] == &c) lacking.push_back({&part, k * readings_a_pull});
        if (lacking.empty()) continue;
        const auto rows = readings_a_pull * static_cast<Eigen::Index>(lacking.size());
        Candidate candidate{&c, Eigen::MatrixXd::Zero(rows, n), Eigen::VectorXd(rows), Eigen::VectorXd(rows)};
        const auto* kind = find_kind(c.kind);
        Eigen::Index row = 0;
        for (const auto& [part, first] : lacking)
            for (std::size_t i = first; i < first + readings_a_pull; ++i, ++row) {
                const auto& own = part->pull.parameters;
                for (std::size_t j = 0; j < own.size(); ++j)
                    candidate.slopes(row, static_cast<Eigen::Index>(own[j])) = part->slopes[i * own.size() + j];
                const Accuracy accuracy{kind->accuracy, kind->of_reading, true, {}};
                candidate.shared[row] = accuracy.deviation(part->computed[i]);
                candidate.accuracy[row] = weight * candidate.shared[row];
            }
        candidates_.push_back(std::move(candidate));
    }
}

double MissingChannels::deviation(const Eigen::VectorXd& slopes) const {
    return std::sqrt(std::max(slopes.dot(covariance_ * slopes), 0.0));
}

double MissingChannels::deviation_with(const Candidate& c, const Eigen::VectorXd& slopes) const {
    const Eigen::MatrixXd cross = c.slopes * covariance_;
    Eigen::MatrixXd readings = cross * c.slopes.transpose() + c.shared * c.shared.transpose();
    readings.diagonal() += c.accuracy.cwiseAbs2();
    const Eigen::VectorXd seen = cross * slopes;
    const double gone = seen.dot(readings.ldlt().solve(seen));
    return std::sqrt(std::max(slopes.dot(covariance_ * slopes) - gone, 0.0));
}

std::vector<MissingChannel> MissingChannels::helpful(const Eigen::VectorXd& slopes) const {
    std::vector<MissingChannel> all;
    const double now = deviation(slopes);
    for (const auto& c : candidates_) {
        const double remains = now > 0 ? deviation_with(c, slopes) / now : 1;
        if (remains < 1 - least_gain) all.push_back({c.channel, remains});
    }
    std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.remains < b.remains; });
    return all;
}

}  // namespace pullcast::measure

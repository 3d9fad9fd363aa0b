#include "identifiability.hpp"

#include <fmt/format.h>

#include <Eigen/QR>
#include <Eigen/SVD>
#include <cmath>
#include <limits>

namespace pullcast::measure {

namespace {

constexpr double rank_limit = 1e-10;  // singular values below, over the largest, count as 0
constexpr double infinite = std::numeric_limits<double>::infinity();

/// Singular values and directions of a matrix whose columns are scaled to unit length; empty columns stay empty.
struct Scaled {
    Eigen::VectorXd length, values;
    Eigen::MatrixXd directions;

    explicit Scaled(const Eigen::MatrixXd& j) : length(j.cols()) {
        Eigen::MatrixXd unit = j;
        for (Eigen::Index k = 0; k < j.cols(); ++k) {
            length[k] = j.rows() ? j.col(k).stableNorm() : 0;
            if (length[k] > 0) unit.col(k) /= length[k];
        }
        Eigen::MatrixXd square = Eigen::MatrixXd::Zero(j.cols(), j.cols());
        if (j.rows() >= j.cols())
            square =
                Eigen::HouseholderQR<Eigen::MatrixXd>(unit).matrixQR().topRows(j.cols()).triangularView<Eigen::Upper>();
        else square.topRows(j.rows()) = unit;
        const Eigen::JacobiSVD<Eigen::MatrixXd> svd(square, Eigen::ComputeFullV);
        values = svd.singularValues();
        directions = svd.matrixV();
    }
    bool open(Eigen::Index k) const { return !(values[k] > rank_limit * values[0]); }
};

/// Which unknowns take part in a direction that is open.
std::vector<std::size_t> members(const Eigen::VectorXd& direction) {
    std::vector<std::size_t> all;
    for (Eigen::Index k = 0; k < direction.size(); ++k)
        if (std::fabs(direction[k]) > 0.1) all.push_back(static_cast<std::size_t>(k));
    return all;
}

std::string list(const std::vector<std::size_t>& members, const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t k = 0; k < members.size(); ++k)
        text += (k == 0 ? "" : k + 1 == members.size() ? " and " : ", ") + names[members[k]];
    return text;
}

}  // namespace

Knowledge knowledge(const Eigen::MatrixXd& j) {
    const Eigen::Index n = j.cols();
    Knowledge k{Eigen::MatrixXd::Zero(n, n), 1};
    if (n == 0) return k;
    const Scaled s(j);
    for (Eigen::Index d = 0; d < n; ++d) {
        if (s.open(d)) continue;
        const Eigen::VectorXd v = s.directions.col(d) / s.values[d];
        k.covariance += v * v.transpose();
    }
    for (Eigen::Index a = 0; a < n; ++a)
        for (Eigen::Index b = 0; b < n; ++b)
            k.covariance(a, b) /= s.length[a] > 0 && s.length[b] > 0 ? s.length[a] * s.length[b] : 1;
    for (Eigen::Index d = 0; d < n; ++d)
        if (s.open(d))
            for (const auto m : members(s.directions.col(d)))
                k.covariance(static_cast<Eigen::Index>(m), static_cast<Eigen::Index>(m)) = infinite;
    k.condition = s.open(n - 1) ? infinite : s.values[0] / s.values[n - 1];
    return k;
}

std::vector<Leaning> leaning(const Eigen::MatrixXd& measured, const std::vector<bool>& looked_at) {
    constexpr double much = 0.8;
    std::vector<Eigen::Index> columns;
    for (Eigen::Index k = 0; k < measured.cols(); ++k)
        if (looked_at[static_cast<std::size_t>(k)]) columns.push_back(k);
    const Eigen::MatrixXd c = knowledge(measured(Eigen::all, columns)).covariance;
    std::vector<Leaning> all;
    for (Eigen::Index a = 0; a < c.rows(); ++a)
        for (Eigen::Index b = a + 1; b < c.rows(); ++b) {
            const double r = c(a, b) / std::sqrt(c(a, a) * c(b, b));
            const auto of = [&](Eigen::Index k) {
                return static_cast<std::size_t>(columns[static_cast<std::size_t>(k)]);
            };
            if (std::fabs(r) > much) all.push_back({of(a), of(b), r});
        }
    return all;
}

std::vector<std::string> left_open(const Eigen::MatrixXd& measured, const std::vector<double>& prior,
                                   const Eigen::MatrixXd& known, const std::vector<std::string>& names) {
    constexpr double too_alike = 0.95, hardly_better = 0.9, well = 0.5;
    std::vector<std::string> all;
    const auto carried = [&](const std::vector<std::size_t>& who) {
        std::string with;
        for (const auto m : who)
            if (std::isfinite(prior[m])) with += (with.empty() ? "" : ", ") + names[m];
        return with.empty() ? "; nothing else tells them either"
                            : fmt::format("; what is assumed beforehand of {} decides", with);
    };
    const Scaled s(measured);
    std::vector<bool> told;
    for (const auto& name : names) told.push_back(name.empty());
    for (Eigen::Index d = 0; d < measured.cols(); ++d) {
        if (!s.open(d)) continue;
        const auto who = members(s.directions.col(d));
        for (const auto m : who) told[m] = true;
        all.push_back(who.size() == 1 ? fmt::format("nothing that was measured depends on {}", names[who[0]])
                                      : fmt::format("{} cannot be told apart by what was measured{}", list(who, names),
                                                    carried(who)));
    }
    const Eigen::MatrixXd c = knowledge(measured).covariance;
    const auto well_known = [&](std::size_t m) {
        const auto i = static_cast<Eigen::Index>(m);
        return std::sqrt(c(i, i)) < well * prior[m];
    };
    for (std::size_t a = 0; a < names.size(); ++a)
        for (std::size_t b = a + 1; b < names.size() && !told[a]; ++b) {
            const auto i = static_cast<Eigen::Index>(a), k = static_cast<Eigen::Index>(b);
            const double r = c(i, k) / std::sqrt(c(i, i) * c(k, k));
            const bool matters = !std::isfinite(prior[a] + prior[b]) || !well_known(a) || !well_known(b);
            if (!told[b] && matters && std::fabs(r) > too_alike)
                all.push_back(fmt::format(
                    "{} and {} can hardly be told apart by what was measured (correlation {:.3f}){}", names[a],
                    names[b], r, std::isfinite(prior[a]) || std::isfinite(prior[b]) ? carried({a, b}) : ""));
        }
    std::vector<std::size_t> assumed;
    for (std::size_t a = 0; a < names.size(); ++a) {
        const auto i = static_cast<Eigen::Index>(a);
        if (!told[a] && std::isfinite(prior[a]) && std::sqrt(known(i, i)) > hardly_better * prior[a])
            assumed.push_back(a);
    }
    if (!assumed.empty())
        all.push_back(fmt::format("the measurements say next to nothing of {}: {} what was assumed",
                                  list(assumed, names), assumed.size() == 1 ? "its value is" : "their values are"));
    return all;
}

}  // namespace pullcast::measure

#include <algorithm>
#include <cmath>
#include <pullcast/solve/newton_matrix.hpp>

namespace pullcast {

NewtonMatrix::NewtonMatrix(const Pattern& pattern, std::size_t copies)
    : pattern_(pattern), copies_(static_cast<std::uint32_t>(copies)), lu_(pattern), jacobian_(pattern.entries(), 0.0) {}

void NewtonMatrix::renew() {
    lu_ = SparseLU(pattern_);
    jacobian_.assign(pattern_.entries(), 0.0);
}

void NewtonMatrix::assemble(double gamma) {
    gamma_ = gamma;
    lu_.load(1, -gamma, jacobian_.data());
}

bool NewtonMatrix::factor() {
    ++factorisations;
    dense_in_use_ = !lu_.factor();
    return !dense_in_use_ || factor_dense();
}

bool NewtonMatrix::factor_dense() {
    ++dense_factorisations;
    const auto n = static_cast<Eigen::Index>(pattern_.rows());
    using Lu = Eigen::PartialPivLU<Eigen::MatrixXd>;
    if (!dense_) dense_.emplace(Dense{Eigen::MatrixXd(n, n), Lu(n), Eigen::VectorXd(n)});
    dense_->matrix.setIdentity();
    for (std::uint32_t i = 0; i < pattern_.rows(); ++i)
        for (auto e = pattern_.start[i]; e < pattern_.start[i + 1]; ++e)
            dense_->matrix(i, pattern_.column[e]) -= gamma_ * jacobian_[e];
    if (!dense_->matrix.allFinite()) return false;
    dense_->lu.compute(dense_->matrix);
    const auto pivots = dense_->lu.matrixLU().diagonal();
    return pivots.allFinite() && (pivots.array() != 0).all();
}

void NewtonMatrix::solve(double* b) {
    if (!dense_in_use_) return lu_.solve(b, copies_);
    const auto n = static_cast<Eigen::Index>(pattern_.rows());
    for (std::uint32_t c = 0; c < copies_; ++c) {
        Eigen::Map<Eigen::VectorXd, 0, Eigen::InnerStride<>> part(b + c, n, Eigen::InnerStride<>(copies_));
        dense_->column = part;
        part = dense_->lu.solve(dense_->column);
    }
}

}  // namespace pullcast

#include <algorithm>
#include <cmath>
#include <pullcast/dual.hpp>
#include <pullcast/solve/sparse_lu.hpp>
#include <stdexcept>

namespace pullcast {

namespace {

constexpr double cancellation_limit = 1e-10, growth_limit = 1e12;

}  // namespace

SparseLU::SparseLU(const Pattern& pattern) : n_(pattern.rows()) {
    if (pattern.rows() != pattern.columns()) throw std::invalid_argument("an LU needs a square pattern");
    std::vector<char> filled(std::size_t{n_} * n_, 0);
    for (std::uint32_t i = 0; i < n_; ++i) {
        filled[std::size_t{i} * n_ + i] = 1;
        for (const auto j : pattern.row(i)) filled[std::size_t{i} * n_ + j] = 1;
    }
    order_and_fill(filled);
    compile(pattern, filled);
}

/// Plays the elimination through on the pattern alone; leaves the fill in `filled` (numbered as the matrix).
void SparseLU::order_and_fill(std::vector<char>& filled) {
    const auto at = [&](std::size_t i, std::size_t j) -> char& { return filled[i * n_ + j]; };
    std::vector<std::uint32_t> open(n_), rows, columns, level(n_, 0), in_row(n_, 0), in_column(n_, 0);
    for (std::uint32_t i = 0; i < n_; ++i) {
        open[i] = i;
        for (std::uint32_t j = 0; j < n_; ++j)
            if (at(i, j)) ++in_row[i], ++in_column[j];
    }
    const auto cost = [&](std::uint32_t k) { return std::uint64_t{in_row[k] - 1} * (in_column[k] - 1); };
    while (!open.empty()) {
        auto best = open.begin();
        auto best_cost = cost(*best);
        for (auto k = open.begin() + 1; k != open.end(); ++k)
            if (const auto c = cost(*k); c < best_cost || (c == best_cost && level[*k] < level[*best]))
                best = k, best_cost = c;
        const auto pivot = *best;
        open.erase(best);
        order_.push_back(pivot);
        rows.clear(), columns.clear();
        for (const auto m : open) {
            if (at(m, pivot)) rows.push_back(m), --in_row[m];
            if (at(pivot, m)) columns.push_back(m), --in_column[m];
            if (at(m, pivot) || at(pivot, m)) level[m] = std::max(level[m], level[pivot] + 1);
        }
        for (const auto i : rows)
            for (const auto j : columns)
                if (!at(i, j)) at(i, j) = 1, ++in_row[i], ++in_column[j];
    }
}

void SparseLU::compile(const Pattern& pattern, const std::vector<char>& filled) {
    const auto has = [&](std::uint32_t k, std::uint32_t m) {
        return filled[std::size_t{order_[k]} * n_ + order_[m]] != 0;
    };
    Indices place(n_), slot(std::size_t{n_} * n_);
    for (std::uint32_t k = 0; k < n_; ++k) {
        place[order_[k]] = k;
        for (std::uint32_t m = 0; m < n_; ++m) {
            if (!has(k, m)) continue;
            slot[std::size_t{k} * n_ + m] = static_cast<std::uint32_t>(column_.size());
            if (m == k) diagonal_.push_back(static_cast<std::uint32_t>(column_.size()));
            column_.push_back(m);
        }
        row_end_.push_back(static_cast<std::uint32_t>(column_.size()));
    }
    for (std::uint32_t k = 0; k < n_; ++k) {
        elimination_start_.push_back(static_cast<std::uint32_t>(eliminations_.size()));
        share_start_.push_back(static_cast<std::uint32_t>(shares_.size()));
        for (std::uint32_t i = k + 1; i < n_; ++i)
            if (has(i, k)) compile_elimination(k, i, slot);
    }
    elimination_start_.push_back(static_cast<std::uint32_t>(eliminations_.size()));
    share_start_.push_back(static_cast<std::uint32_t>(shares_.size()));
    for (std::uint32_t i = 0; i < n_; ++i)
        for (const auto j : pattern.row(i)) slot_.push_back(slot[std::size_t{place[i]} * n_ + place[j]]);
    values_.resize(column_.size());
    for (auto* v : {&inverse_, &sum_, &start_}) v->resize(n_);
    work_.resize(std::size_t{n_} * (dual_width + 1));
}

void SparseLU::compile_elimination(std::uint32_t k, std::uint32_t i, const Indices& slot) {
    const auto u_begin = diagonal_[k] + 1, u_end = row_end_[k];
    const auto target = [&](std::uint32_t u) { return slot[std::size_t{i} * n_ + column_[u]]; };
    const auto lower = slot[std::size_t{i} * n_ + k];
    const bool adjacent = u_begin == u_end || target(u_end - 1) - target(u_begin) == u_end - 1 - u_begin;
    const auto first = u_begin == u_end ? 0 : target(u_begin);
    eliminations_.push_back({lower, adjacent ? first : static_cast<std::uint32_t>(scattered_.size()), !adjacent});
    for (auto u = u_begin; u < u_end; ++u) {
        if (!adjacent) scattered_.push_back(target(u));
        if (column_[u] == i) shares_.push_back({lower, u, i});
    }
}

void SparseLU::load(double diagonal, double scale, const double* values) {
    double* const v = values_.data();
    std::fill(values_.begin(), values_.end(), 0.0);
    for (std::size_t e = 0; e < slot_.size(); ++e) v[slot_[e]] = scale * values[e];
    for (std::uint32_t k = 0; k < n_; ++k) sum_[k] = start_[k] = std::fabs(v[diagonal_[k]] += diagonal);
}

bool SparseLU::factor() {
    double* const v = values_.data();
    for (std::uint32_t k = 0; k < n_; ++k) {
        const double pivot = v[diagonal_[k]];
        // Written so that a NaN fails too; an infinite sum fails the growth check.
        if (!(std::fabs(pivot) > cancellation_limit * sum_[k]) || !(sum_[k] <= growth_limit * start_[k])) return false;
        const double inverse = inverse_[k] = 1 / pivot;
        const double* const upper = v + diagonal_[k] + 1;
        const std::uint32_t count = row_end_[k] - diagonal_[k] - 1;
        for (auto e = elimination_start_[k]; e < elimination_start_[k + 1]; ++e) {
            const Elimination& now = eliminations_[e];
            const double factor = v[now.lower] *= inverse;
            if (now.scattered) {
                const std::uint32_t* const target = scattered_.data() + now.target;
                for (std::uint32_t u = 0; u < count; ++u) v[target[u]] -= factor * upper[u];
            } else {
                double* const target = v + now.target;
#pragma omp simd
                for (std::uint32_t u = 0; u < count; ++u) target[u] -= factor * upper[u];
            }
        }
        for (auto s = share_start_[k]; s < share_start_[k + 1]; ++s)
            sum_[shares_[s].row] += std::fabs(v[shares_[s].lower] * v[shares_[s].upper]);
    }
    for (std::uint32_t k = 0; k < n_; ++k)
        for (auto u = diagonal_[k] + 1; u < row_end_[k]; ++u) v[u] *= inverse_[k];
    return true;
}

/// Row by row, down through L and up through U. C neighbouring columns of a right-hand side with `stride` columns in
/// all.
template <int C> void SparseLU::substitute(double* b, std::uint32_t stride) {
    double* const w = work_.data();
    const double* const v = values_.data();
    const auto subtract = [&](double(&sum)[C], std::uint32_t entry) {
        const double factor = v[entry];
        const double* const from = w + column_[entry] * C;
        for (int c = 0; c < C; ++c) sum[c] -= factor * from[c];
    };
    double sum[C];
    for (std::uint32_t k = 0, begin = 0; k < n_; begin = row_end_[k++]) {
        for (int c = 0; c < C; ++c) sum[c] = b[order_[k] * stride + c];
        for (auto e = begin; e < diagonal_[k]; ++e) subtract(sum, e);
        for (int c = 0; c < C; ++c) w[k * C + c] = sum[c];
    }
    for (std::uint32_t k = n_; k-- > 0;) {
        for (int c = 0; c < C; ++c) sum[c] = w[k * C + c] * inverse_[k];
        for (auto e = row_end_[k] - 1; e > diagonal_[k]; --e) subtract(sum, e);
        for (int c = 0; c < C; ++c) b[order_[k] * stride + c] = w[k * C + c] = sum[c];
    }
}

void SparseLU::solve(double* b, std::uint32_t columns) {
    constexpr int together = dual_width + 1;  // a value and its derivatives
    if (columns % together == 0)
        for (std::uint32_t c = 0; c < columns; c += together) substitute<together>(b + c, columns);
    else
        for (std::uint32_t c = 0; c < columns; ++c) substitute<1>(b + c, columns);
}

}  // namespace pullcast

/// LU of matrices that all share one sparsity pattern. The order of elimination (Markowitz 1957, on the diagonal: least
/// (row length - 1) * (column length - 1) first; from memory), the fill and every single update are found once; a
/// factorisation then only runs through index lists, and allocates nothing.
///
/// Pivots stay on the diagonal whatever the numbers are, as suits I - gamma J of an implicit time step. Two checks,
/// both independent of the units of rows and columns, tell when that was too bold, and then another method is due:
///   with s_k = |a_kk| + sum_m |l_km u_mk|, all that went into pivot p_k,
///   cancellation: |p_k| < 1e-10 s_k        growth: s_k > 1e12 |a_kk|
/// Growth that reaches no pivot cannot come back into the solution: it lies on no cycle of the matrix's graph.
#pragma once
#include <cstdint>
#include <pullcast/solve/pattern.hpp>
#include <vector>

namespace pullcast {

class SparseLU {
public:
    SparseLU() = default;
    /// Square; the diagonal is added where the pattern lacks it. Throws std::invalid_argument if not square.
    explicit SparseLU(const Pattern& pattern);

    std::size_t size() const { return n_; }
    /// Entries of L and U together, the diagonal once.
    std::size_t factor_entries() const { return values_.size(); }

    /// Sets the matrix to diagonal * I + scale * A; `values` of A entry by entry as in the pattern. Does not allocate.
    void load(double diagonal, double scale, const double* values);
    /// False where a pivot failed a check or is not finite: solve() must not be called then. Does not allocate.
    bool factor();
    /// Solves in place for `columns` right-hand sides, which are interleaved: b[i * columns + c]. Does not allocate.
    void solve(double* b, std::uint32_t columns = 1);

private:
    using Indices = std::vector<std::uint32_t>;
    void order_and_fill(std::vector<char>& filled);
    void compile(const Pattern& pattern, const std::vector<char>& filled);
    void compile_elimination(std::uint32_t k, std::uint32_t i, const Indices& slot);
    template <int C> void substitute(double* b, std::uint32_t stride);

    /// Row of `lower` minus (entry `lower` / pivot) * (row of U): onto entries that follow each other from `target`,
    /// or, where they do not, onto those listed from scattered_[target].
    struct Elimination { std::uint32_t lower, target, scattered; };
    struct Share { std::uint32_t lower, upper, row; };  // a product that enters the pivot of `row`

    std::uint32_t n_ = 0;
    Indices order_;                    // pivot k is row and column order_[k] of the matrix
    Indices slot_;                     // pattern entry -> values_
    Indices diagonal_, row_end_;       // in values_: of row k of L and U; U's part lies between the two
    Indices column_;                   // of each of values_, in order of pivots
    std::vector<Elimination> eliminations_;  // pivot k: elimination_start_[k] .. [k + 1]
    std::vector<Share> shares_;
    Indices elimination_start_, share_start_, scattered_;
    std::vector<double> values_, inverse_, sum_, start_, work_;  // values_: rows of L and U, columns ascending
};

}  // namespace pullcast

/// The linear systems M d = r with M = I - gamma J of CVODES' Newton iteration, on the problem's own pattern.
#pragma once
#include <Eigen/LU>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <pullcast/solve/sparse_lu.hpp>
#include <pullcast/solve/sundials.hpp>
#include <vector>

namespace pullcast {

class NewtonMatrix {
public:
    /// `copies`: right-hand sides interleaved in one vector (System::size() over pattern().rows()).
    NewtonMatrix(const Pattern& pattern, std::size_t copies);

    /// After the pattern grew. Allocates.
    void renew();

    double* jacobian() { return jacobian_.data(); }  // entry by entry, to be written by the problem
    void assemble(double gamma);

    /// False where even a dense LU with pivoting finds the matrix singular.
    bool factor();
    void solve(double* b);

    std::uint64_t factorisations = 0, dense_factorisations = 0;

private:
    bool factor_dense();

    const Pattern& pattern_;
    std::uint32_t copies_;
    SparseLU lu_;
    std::vector<double> jacobian_;
    double gamma_ = 0;
    bool dense_in_use_ = false;
    struct Dense {
        Eigen::MatrixXd matrix;
        Eigen::PartialPivLU<Eigen::MatrixXd> lu;
        Eigen::VectorXd column;
    };
    std::optional<Dense> dense_;  // only once a matrix needed it
};

}  // namespace pullcast

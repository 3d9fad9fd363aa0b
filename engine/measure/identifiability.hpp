/// What the Jacobian at the solution says of the unknowns: how well each is known, and which cannot be told apart.
#pragma once
#include <Eigen/Core>
#include <pullcast/measure/least_squares.hpp>
#include <string>
#include <vector>

namespace pullcast::measure {

struct Knowledge {
    Eigen::MatrixXd covariance;  // infinite on the diagonal where nothing tells
    double condition;            // columns scaled to unit length; infinite where a direction is open
};

/// Of (J^T J)^-1; the rows of J are residuals, weighted, and priors.
Knowledge knowledge(const Eigen::MatrixXd& jacobian);

/// What the measurements alone, without priors, leave open, in names. `prior` has one deviation an unknown (infinite:
/// none), `known` the covariance with priors. What has no name is not spoken of.
std::vector<std::string> left_open(const Eigen::MatrixXd& measured, const std::vector<double>& prior,
                                   const Eigen::MatrixXd& known, const std::vector<std::string>& names);

/// Pairs of columns that correlate by more than 0.8, of those for which `looked_at` is true; the others are taken as
/// known.
std::vector<Leaning> leaning(const Eigen::MatrixXd& measured, const std::vector<bool>& looked_at);

}  // namespace pullcast::measure

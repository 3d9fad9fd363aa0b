/// What the fit knows of a linear function of its unknowns, and would know with a channel more.
#pragma once
#include <Eigen/Core>
#include <pullcast/measure/matching.hpp>

namespace pullcast::measure {

/// With channels of which each reading has the accuracy that is assumed of its sensor, weighed as the logged ones are
/// on average, and the sensor one common error. With slopes J of a channel's readings and their covariance S,
///     C' = C - C J^T (S + J C J^T)^-1 J C .
class MissingChannels {
public:
    MissingChannels(const std::vector<LoggedPull>& pulls, const MeasuredFit& fit, unsigned threads);

    /// Standard deviation of the function with these slopes over all unknowns, sensors included.
    double deviation(const Eigen::VectorXd& slopes) const;

    /// Channels that some pull lacks and that would take a twentieth or more off that deviation.
    std::vector<MissingChannel> helpful(const Eigen::VectorXd& slopes) const;

private:
    struct Candidate {
        const ComparedChannel* channel;
        Eigen::MatrixXd slopes;            // by reading and unknown
        Eigen::VectorXd accuracy, shared;  // of each reading, and the sensor's error
    };
    double deviation_with(const Candidate& c, const Eigen::VectorXd& slopes) const;

    Eigen::MatrixXd covariance_;
    std::vector<Candidate> candidates_;
};

}  // namespace pullcast::measure

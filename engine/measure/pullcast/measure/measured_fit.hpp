/// The rig of a study fitted to all its measured pulls at once.
///
/// Accuracies. First each point counts with its sensor's accuracy. Where the rig follows a channel better or worse than
/// that, and where residuals go together with their neighbours', deviations would be wrong: so the fit is made once
/// more with, for each channel over all pulls,
///     accuracy = rms sqrt((1 + r) / (1 - r)) ,    rms and neighbours' correlation r of the first fit's residuals,
/// and at least a tenth of the sensor's. The first fit is cut short: it need not be exact.
///
/// Shared errors. What a sensor's readings are off by in all pulls alike is an unknown of its own, of the size of its
/// accuracy.
#pragma once
#include <pullcast/measure/fit_choices.hpp>
#include <pullcast/measure/logged_pull.hpp>

namespace pullcast::measure {

/// An unknown of the fit.
struct FittedUnknown {
    const FitChoice* choice;
    std::string of;  // "", the variant's or the pull's name
    FitParameter parameter;
    bool read;  // its expectation is a reading of the log
};

/// A channel of a pull beside what the fitted rig computes, the sensor's fitted error included.
struct Residuals {
    const BinnedChannel* measured;
    std::vector<double> computed;
    double rms, worst, worst_speed, lag_correlation;
};

struct MeasuredFit {
    std::vector<FittedUnknown> unknowns;
    std::vector<MeasuredPull> pulls;                // as fitted, in the order of the logged ones
    FitResult result;                               // estimates in the order of the unknowns, then shared errors
    std::vector<std::vector<Residuals>> residuals;  // by pull

    std::vector<double> values() const;  // of the unknowns
};

/// Choices and pulls must outlive the fit. Throws FitError where the rig cannot be computed, and Interrupted.
MeasuredFit fit_pulls(const std::vector<FitChoice>& choices, const std::vector<LoggedPull>& pulls, unsigned threads,
                      const std::atomic<bool>* interrupt = nullptr);

/// A rig with fitted values: those of the rig, of that variant and, unless it is "", of that pull.
RigSpec fitted(const RigSpec& rig, const std::vector<FittedUnknown>& unknowns, const std::vector<double>& values,
               const std::string& variant, const std::string& pull);

}  // namespace pullcast::measure

/// Fitted variants under the same conditions: what changed, and how surely.
///
/// The change of a figure is that between the fitted rigs, run under the reference. Its variance is a sum:
///     fit      g^T C g, with the fit's covariance C and the change's slopes g over all unknowns (differences over one
///              standard deviation each)
///     scatter  s^2 (1/n + 1/n') for n and n' pulls. s^2 = (v s0^2 + S) / (v + N - V): the stated repeatability s0 as
///     if
///              v = 4 pulls more had shown it, and the squares S of what N pulls of V variants are off their variant's
///              mean at the end of the pull (computed less measured)
///     misfit   the square of the difference of those means, as far as scatter does not explain it, and of half of what
///              both are off alike: a rig that misses something need not miss it in both variants to the same degree
///     model    of a knock margin: half of what its two models differ by
/// The interval is Student's, 95 %, with v + N - V degrees of freedom.
///
/// Ambient state and start state are made alike, and nothing else that a part brings about: not manifold pressure nor
/// end temperature. With the same manifold pressure the later variant gets another pulley, with the same knock margin
/// other spark; slopes are then taken along what keeps that alike.
#pragma once
#include <pullcast/measure/match_choices.hpp>
#include <pullcast/measure/measured_fit.hpp>

namespace pullcast::measure {

enum class Verdict : std::uint8_t { rises, falls, cannot_tell };

struct MatchedFigure {
    const Figure* figure;
    double from, to;                     // SI
    double fit, scatter, misfit, model;  // standard deviations of the change
    double half_width;                   // of its interval; what is smaller could not have been shown
    Verdict verdict;
    std::optional<std::size_t> pulls_needed;  // of each variant, to show this change; nothing: no number would
    struct {
        double limit = 0;  // SI, positive; 0: not asked
        bool shown = false;
    } no_worse;

    double change() const { return to - from; }
};

/// A channel that was not logged, and what share of the fit's part of the deviation it would have left.
struct MissingChannel {
    const ComparedChannel* channel;
    double remains;
};

class MissingChannels;  // missing_channels.hpp

struct Comparison {
    std::size_t from, to;  // variants of the study
    Question question;
    double held = 0;         // what is kept alike: Pa above ambient at redline, or rad of margin
    double taken = 0;        // what that took: factor on the blower pulley's diameter, or rad of spark
    std::string impossible;  // why the question has no answer; then no figures
    std::vector<MatchedFigure> figures;
    std::vector<MissingChannel> missing;  // most helpful first, for the first figure that nothing can be told of
};

/// Throws SolveError, in names, where a variant cannot be run under the reference, and Interrupted.
std::vector<Comparison> match(const Study& study, const MatchChoices& choices, const std::vector<LoggedPull>& pulls,
                              const MeasuredFit& fit, const MissingChannels& missing, unsigned threads,
                              const std::atomic<bool>* interrupt = nullptr);

/// Which way a figure is worse: 1 up, -1 down.
int worse_way(const Figure& figure);

/// Student's quantile of so many degrees of freedom.
double student_quantile(double probability, double freedom);

}  // namespace pullcast::measure

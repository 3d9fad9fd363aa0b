/// Runs the sessions of a study: for each variant its steps one after the other, states carried over.
#pragma once
#include <pullcast/study/study_run.hpp>

namespace pullcast {

/// A step as it was run.
struct SessionPart {
    std::size_t step = 0;      // of the session's steps
    double begin = 0;          // s of the day; of a pull, when the throttle opens
    bool ended_early = false;  // by what the step waits for
    std::shared_ptr<const Network> network;
    Pull pull;                    // its own clock, its own books
    std::vector<double> after;    // states at its end
    std::vector<double> figures;  // of a pull, in the order of figures()
    std::vector<Warning> warnings;
    double changed_by_hand = 0;  // J that the step's settings added to what is stored, such as ice put in

    double end() const { return begin + pull.time.back(); }
};

struct SessionResult {
    std::vector<SessionPart> parts;
    std::string failure;  // why it stopped, in names; empty when it ran
};

/// One result a variant of the study, in their order; the numbers are the same for any number of threads. Throws
/// ScenarioError where a rig cannot be compiled, std::invalid_argument where the study has no session, and Interrupted.
std::vector<SessionResult> run_sessions(const Study& study, unsigned threads,
                                        const std::atomic<bool>* interrupt = nullptr);

/// What a calculation for a steady state would say of a pull: held at its last speed at full throttle, from the states
/// at its end, until nothing changes any more (at most 20 minutes). In the order of figures(); what is read "at the
/// end" is then steady. Throws as run_pull does.
std::vector<double> steady_figures(const Study& study, std::size_t variant, const SessionPart& pull,
                                   const std::atomic<bool>* interrupt = nullptr);

/// That of each variant's first pull; empty where it has none, failed, or cannot be held. Throws Interrupted.
std::vector<std::vector<double>> steady_of_all(const Study& study, const std::vector<SessionResult>& results,
                                               unsigned threads, const std::atomic<bool>* interrupt = nullptr);

/// The parts that are pulls, in their order.
std::vector<const SessionPart*> pulls_of(const Study& study, const SessionResult& result);

}  // namespace pullcast

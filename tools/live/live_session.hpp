/// A study kept at hand: its variants are run once, and then it answers what a turn of its knobs changes. No HTTP here.
#pragma once
#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>

#include "run_request.hpp"
#include "turns.hpp"

namespace pullcast {

/// Values of a request that the study cannot take: one line, the diagnostics as the command line prints them, and the
/// knob that they are about ("" if none).
struct BadValues : std::runtime_error {
    std::string text, knob;
    BadValues(const std::string& line, std::string all, std::string about)
        : std::runtime_error(line), text(std::move(all)), knob(std::move(about)) {}
};

struct SessionOptions {
    UnitSystem shown_first = UnitSystem::metric;
    unsigned threads = 1;                          // simulations at a time
    const std::atomic<bool>* interrupt = nullptr;  // of the first run
};

/// Safe to use from several threads. run, study_text and report throw BadValues, Superseded or Busy.
class LiveSession {
public:
    /// Reads and runs the study. Throws ScenarioError, also where it has no knobs; Interrupted. The registry must
    /// outlive the session.
    LiveSession(const Registry& registry, const std::filesystem::path& study, const SessionOptions& options);

    const Study& study() const { return study_; }

    /// The page, whose requests carry `token`.
    std::string page(const std::string& token) const;
    /// RunReply as JSON.
    std::string run(const RunRequest& request);
    /// The study with one more variant: what the page shows, to be run again.
    std::string study_text(const RunRequest& request);
    /// The report of base and turned variant as HTML.
    std::string report(const RunRequest& request);

    /// Interrupts all simulations and refuses what comes later.
    void close() { turns_.close(); }

private:
    struct Turned {
        Source text;
        Study study;  // of the turned variant alone
    };
    /// Base and turned variant, the second behind the first.
    struct Compared {
        Study study;
        std::vector<VariantResult> results;
        double engine_ms;
    };
    Turned turn(const RunRequest& request) const;
    Compared compare(Turned turned, const std::atomic<bool>& interrupt) const;
    BadValues bad_values(const ScenarioError& error) const;

    const Registry& registry_;
    const SessionOptions options_;
    const Study study_;
    const std::vector<VariantResult> results_;
    Turns turns_;
};

}  // namespace pullcast

/// A page of the live server and what its requests are answered with. No HTTP here.
#pragma once
#include <filesystem>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/scenario/units.hpp>
#include <stdexcept>
#include <string>

#include "run_request.hpp"

namespace pullcast {

/// Values of a request that the study cannot take: one line, the diagnostics as the command line prints them, and the
/// knob that they are about ("" if none).
struct BadValues : std::runtime_error {
    std::string text, knob;
    BadValues(const std::string& line, std::string all, std::string about)
        : std::runtime_error(line), text(std::move(all)), knob(std::move(about)) {}
};
/// Of what with_variant, with_turned or read_study throws of a turned study.
BadValues bad_values(const Study& study, const ScenarioError& error);

struct LiveOptions {
    UnitSystem shown_first = UnitSystem::metric;
    unsigned threads = 1;  // simulations at a time
};

/// Safe to use from several threads. run, study_text and report throw BadRequest, BadValues, Superseded or Busy.
class LivePage {
public:
    virtual ~LivePage() = default;

    /// As HTML; its requests carry `token`.
    virtual std::string page(const std::string& token) const = 0;
    /// What the page shows of a run, as JSON.
    virtual std::string run(const RunRequest& request);
    /// The study as it is turned: what the page shows, to be run again.
    virtual std::string study_text(const RunRequest& request);
    /// The report of it as HTML.
    virtual std::string report(const RunRequest& request);
    /// Interrupts all simulations and refuses what comes later.
    virtual void close() {}
};

}  // namespace pullcast

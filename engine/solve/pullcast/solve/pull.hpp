/// One full-throttle pull of a compiled rig: settle with the throttle shut, then pull until the stop speed.
#pragma once
#include <atomic>
#include <optional>
#include <pullcast/network/network.hpp>
#include <pullcast/solve/integrator.hpp>
#include <pullcast/solve/stop_at.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// How a pull is run. Times in seconds; the throttle opens and the load lets go at t = 0.
struct PullPlan {
    double settle = 3;          ///< s before the pull, with the crank held and the throttle shut
    double stop_speed = 0;      ///< rad/s of the crank; 0: run for `longest`
    double longest = 60;        ///< s after which the pull ends at the latest
    double output_step = 0.02;  ///< s between report points
    double longest_step = 0.1;  ///< s of the integrator: late in a pull nothing but the energy ledger would limit it
    double tolerance = 1e-6;    ///< relative; absolute ones follow from the nominal sizes of the states
    bool review = true;         ///< false: outputs that are judged after the pull stay empty, which is quicker
    std::optional<double> worst_from = {};  ///< s: of what is judged, only the worst report point from then on is wanted
    bool stock_solver = false;  ///< for benchmarks: the library's own vectors, dense differences and dense solver
    const std::atomic<bool>* interrupt = nullptr;  ///< once set, the run ends after its step with Interrupted
};

/// Somebody asked a run to stop.
struct Interrupted : std::runtime_error {
    Interrupted() : std::runtime_error("interrupted") {}
};

/// What went through the rig and what is left unexplained, for one conserved quantity.
struct LedgerLine {
    double stored_change = 0, into = 0, out = 0;  // J or kg over the whole run; into and out are sums over accounts
    double held = 0;                              // at the start
    double residual() const { return stored_change - (into - out); }
    double passed() const { return into > out ? into : out; }
    /// Over what passed through, or, where nothing did (a closed loop), over what is held.
    double relative() const { return residual() == 0 ? 0 : residual() / (passed() > 0 ? passed() : held); }
};

struct AccountTotal {
    std::string component, name;
    Ledger ledger;
    double total;  // J or kg, positive into the rig
};

struct Pull {
    std::vector<double> time;                 // s, report points from 0
    std::vector<double> values;               // time.size() rows of channels
    std::vector<double> sums;                 // time.size() rows of accounts: J or kg since the run began
    std::vector<double> held;                 // time.size() rows of the network's parts: energy that each holds, J
    std::size_t channels = 0;
    bool reached_stop_speed = false;
    LedgerLine energy, gas, water, coolant;
    std::vector<AccountTotal> accounts;
    Integrator::Statistics statistics;

    double at(std::size_t point, std::size_t channel) const { return values[point * channels + channel]; }
    std::size_t points() const { return time.size(); }
};

/// The crank's speed as what ends a run; nothing where the rig has no load or `speed` is 0.
std::optional<StopAt> stop_rule(const Network& network, double speed);

/// Runs a pull. Throws SolveError, in names, when the integrator cannot go on, and Interrupted.
Pull run_pull(const Network& network, const PullPlan& plan);
/// The same from given states, which it leaves as they are at the end; accounts start anew. `until` ends it instead of the
/// stop speed.
Pull run_pull(const Network& network, const PullPlan& plan, const std::optional<StopAt>& until, std::vector<double>& x);

}  // namespace pullcast

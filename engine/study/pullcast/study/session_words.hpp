/// What a session says: pull after pull, how long until the next one is comparable, where the heat went.
#pragma once
#include <pullcast/study/session_run.hpp>
#include <pullcast/study/words.hpp>
#include <span>

namespace pullcast {

inline constexpr const char* session_schema = "pullcast.session";
/// Goes up when a member goes or changes its meaning.
inline constexpr int session_schema_version = 1;

/// A pull is comparable with the first one when it starts within this much of it. Common practice, no source.
inline constexpr double same_intake = 3, same_coolant = 2;  // K

/// Keys of the figures by which the pulls of a day are compared first.
std::span<const char* const> told_figures();

/// What says whether a pull may start: readings of the intake sensor and of the coolant before the core, K.
struct Readiness {
    double intake, coolant;
};
Readiness readiness(const SessionPart& part, std::size_t point);

/// How the start of the first pull comes back after a pull.
struct Recovery {
    std::optional<double> after;       // s from the pull's end until intake reading and coolant are both near enough
    double watched = 0;                // s that were run after it, up to the next pull
    double intake_left, coolant_left;  // K above the first pull's start, at the end of that
};
Recovery recovery(const Study& study, const SessionResult& result, std::size_t pull);

/// Energy of a pull, J, from the throttle's opening to its end: what went in, what is stored, what has left.
struct HeatOfPull {
    double compression = 0, pump = 0;                           // in: work of the blower, electricity
    double casing = 0, walls = 0, core = 0, loop = 0, air = 0;  // stored
    double outside = 0, surroundings = 0, cylinders = 0;        // left
    double in() const { return compression + pump; }
    double stored() const { return casing + walls + core + loop + air; }
    double left() const { return outside + surroundings + cylinders; }
};
/// Nothing where the rig does not meter it.
std::optional<HeatOfPull> heat_of(const SessionPart& pull);

/// The ledger of a whole session: sums over its steps. `relative` is the residual over what passed through.
struct SessionLedger {
    LedgerLine energy, gas, water, coolant;
};
SessionLedger ledger_of(const SessionResult& result);

/// How the first pull of a day starts and ends against that of another day: later less earlier, K.
struct StartAndEnd {
    double intake_start, coolant_start, intake_end;
    /// What of a colder (or warmer) coolant arrives at the end of the pull.
    double factor() const { return intake_end / coolant_start; }
};
std::optional<StartAndEnd> first_pulls(const Study& study, const SessionResult& from, const SessionResult& to);

/// What ended a step: "time", "stop speed", "reservoir.coolant.T fell to 28.0 degC".
std::string ended_by(const Study& study, const SessionPart& part, UnitSystem system);

/// What a session says of one variant, by what it is about.
struct SessionWords {
    std::vector<std::string> against_base;    // of its first pull, and what of a colder start arrives
    std::vector<std::string> recovery, heat;  // one a pull; "" where there is nothing to say
    std::string steady;                       // "" where nothing could be held
};
SessionWords session_words(const Study& study, const std::vector<SessionResult>& results, std::size_t variant,
                           const std::vector<double>& steady, UnitSystem system);

/// Which pull of a variant ends hottest, and how long to wait for the next; "" without pulls.
std::string session_headline(const Study& study, const SessionResult& result, UnitSystem system);
/// The hottest end of a pull of every variant; "" without pulls.
std::string session_headline(const Study& study, const std::vector<SessionResult>& results, UnitSystem system);

/// Plain text: the day's steps, pull after pull, recovery, heat, steady state, cautions.
std::string session_text(const Study& study, const std::vector<SessionResult>& results,
                         const std::vector<std::vector<double>>& steady, UnitSystem system, std::size_t width);

/// The same as sentences, of one variant; `steady` are steady_figures of its first pull, or empty.
std::vector<std::string> session_in_words(const Study& study, const std::vector<SessionResult>& results,
                                          std::size_t variant, const std::vector<double>& steady, UnitSystem system);

std::string session_json(const Study& study, const std::vector<SessionResult>& results,
                         const std::vector<std::vector<double>>& steady);

/// All channels over the day, with the step in the second column.
std::string session_csv(const Study& study, const SessionResult& result, UnitSystem system);

}  // namespace pullcast

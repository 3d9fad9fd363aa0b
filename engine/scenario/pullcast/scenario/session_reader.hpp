/// A session: steps that follow each other on one day, each with its own settings; states carry over.
///
///     [session]
///     steps = ["warm", "pull", { repeat = ["cool", "pull"], times = 3 }]
///     [step.warm]
///     kind = "idle"                          pull, held (at the start speed, throttle shut) or idle (clutch open)
///     title = "idles with the bonnet shut"   (optional)
///     lasts = "10 min"                       at most; a pull ends at its stop speed
///     until = { channel = "sensor.reading", below = "30 degC" }      (optional; or above)
///     report_every = "5 s"                   (optional)
///     [step.warm.set]                        settings of this step, as in [variant.NAME.set]
///     "front.face_velocity" = "1 m/s"
///
/// A repetition may end early: { repeat = [...], times = 8, until = {...} } looks after each round. A step takes up the
/// states where the one before it left them, so it cannot change a component's model; parts of the same model may
/// change.
#pragma once
#include <functional>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

inline constexpr double longest_step = 86400;  // s: a day

/// Sets how clutch and throttle stand in a step of that kind.
void set_controls(RigSpec& rig, SessionStep::Kind kind);

class SessionReader {
public:
    /// The study's variants with the changes of one table, which may be null; `where` names it.
    using Bind = std::function<std::vector<Variant>(const Entry* set, const std::string& where)>;

    SessionReader(Bind bind, Diagnostics& d) : bind_(std::move(bind)), d_(d) {}

    /// What the tables hold; what is wrong goes to the diagnostics.
    Session read(const Entry& session, const Entry* steps);

private:
    void read_step(const Entry& e);
    void read_turn(const Value& v);
    void read_repetition(const Value& v);
    std::optional<StepEnd> read_until(const Entry& e, const std::string& where);
    std::optional<double> positive(const Entry& e, const std::string& where, std::string_view unit);
    std::optional<std::size_t> step_named(const Value& v);

    Bind bind_;
    Diagnostics& d_;
    Session out_;
};

}  // namespace pullcast

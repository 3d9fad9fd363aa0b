/// What was turned on top of a study, as a live page writes it: changes to every variant above its own, and to steps of
/// the session.
///
///     [[turned]]
///     "pump.parts.unit" = "large-pump"                    as in [variant.NAME.set]
///     "step.wait.lasts" = "5 min"                         in place of what stands in [step.wait]
///     "step.wait.set.front.face_velocity" = "4 m/s"       in place of what stands in [step.wait.set]
///
/// Paths are quoted. Of several such tables a later one wins.
#pragma once
#include <pullcast/scenario/toml_document.hpp>

namespace pullcast {

class TurnedTables {
public:
    static constexpr const char* where = "[[turned]]";

    /// `turned` may be null: nothing was. What is wrong goes to the diagnostics.
    TurnedTables(const Entry* turned, Diagnostics& d);

    const Table& everywhere() const { return everywhere_; }

    /// Puts what was turned of steps into their tables; `steps` may be null.
    void apply(Entry* steps);

private:
    void put(Entry& step, const Entry& change, const std::string& key);

    Table everywhere_, steps_;  // keys are paths
    Diagnostics& d_;
};

}  // namespace pullcast

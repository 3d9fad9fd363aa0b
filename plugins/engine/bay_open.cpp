/// No engine bay: whatever would stand in it stands in outside air, as on a test bench. Holds nothing.
///
///   T = T_surroundings;   heat that arrives leaves the rig: account `heat`
///
/// Reference: definition. Validity: a free air stream that nothing warms.
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct BayOpen {
    Node<Heat> air;
    Reads<Heat> surroundings;
    Account heat_out;
    Output temperature, heat;

    static void describe(Schema<BayOpen>& s) {
        s.role = "bay";
        s.summary = "no engine bay: its air is outside air";
        s.reference = "definition";
        s.validity = "a free air stream that nothing warms";
        s.node(&BayOpen::air, "air", "outside air");
        s.reads(&BayOpen::surroundings, "surroundings", "outside air");
        s.account(&BayOpen::heat_out, "heat", Ledger::energy, "heat taken from the outside");
        s.output(&BayOpen::temperature, "temperature", "K", "air around the engine");
        s.output(&BayOpen::heat, "heat_to_surroundings", "W", "heat to the outside");
    }
    void publish(auto v) const { v(air, {v[surroundings].T}); }
    void balance(auto v) const {
        const auto Q = v[air].Q;
        v.rate(heat_out) = -Q;
        if (!v.recording()) return;
        v.output(temperature, v.potential(air).T);
        v.output(heat, Q);
    }
};

}  // namespace

const pullcast::ComponentType* engine_bay_open() { return component<BayOpen>("engine.bay_open"); }

/// Heat path by conduction: engine metal into a lid, a manifold or a blower case through bolts, gaskets and brackets.
/// Transports heat.
///
///   Q = G (T_from - T_to)
///
/// Reference: definition of a conductance. Validity: constant contact; no heat capacity of its own.
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct SoakPath {
    double conductance;
    End<Heat> from, to;
    Output heat;

    static void describe(Schema<SoakPath>& s) {
        s.role = "soak_path";
        s.summary = "transports heat by conduction";
        s.reference = "definition";
        s.validity = "constant contact";
        s.number(&SoakPath::conductance, "conductance", "W/K", "heat per temperature difference")
            .non_negative().preset(4);
        s.end(&SoakPath::from, "from", "warm side, such as engine metal");
        s.end(&SoakPath::to, "to", "other side, such as a lid or a blower case");
        s.output(&SoakPath::heat, "heat", "W", "heat from -> to");
    }
    void flow(auto v) const {
        const auto Q = conductance * (v[from].T - v[to].T);
        v.transfer(from, to, {Q});
        if (v.recording()) v.output(heat, Q);
    }
};

}  // namespace

const pullcast::ComponentType* engine_soak_path() { return component<SoakPath>("engine.soak_path"); }

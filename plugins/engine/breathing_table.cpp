/// Breathing from a volumetric efficiency table. Transports gas out of the manifold.
///
///   VE = table(omega, p_manifold), held above about 0.05;   m = VE rho_m Vd omega / (4 pi)
///
/// Reference: Heywood 2.10 (definition of volumetric efficiency, from memory). Validity: inside the table, and at the
/// mixture, exhaust and port temperatures at which it was found; it does not react to them.
#include "breathing.hpp"
#include "components.hpp"

namespace {
using namespace engine_family;

struct BreathingTable : Breathing {
    Map table;
    Output table_distance;

    static void describe(Schema<BreathingTable>& s) {
        using C = BreathingTable;
        s.summary = "transports gas into the cylinders: volumetric efficiency from a table";
        s.reference = "Heywood 2.10, definition of volumetric efficiency (from memory)";
        s.validity = "inside the table";
        describe_breathing(s);
        s.map(&C::table, "table", "1", "speed", "rad/s", "manifold_pressure", "Pa",
              "volumetric efficiency relative to manifold density");
        s.reads<Signal>(&C::lambda, "lambda", "not used: the table holds the mixture's effect").optional();
        s.reads<Heat>(&C::metal, "metal", "not used: the table holds the port's effect").optional();
        s.output(&C::table_distance, "table_distance", "1", "how far outside its table the engine runs")
            .warn_above(0, "the engine runs outside the volumetric efficiency table; its edge is continued linearly");
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S omega = v[crank].omega, p = v[manifold].p;
        breathe(v, soft_max(table(omega, p), S(0.05), 2e-3));
        if (v.recording()) v.output(table_distance, S(table.outside(value(omega), value(p))));
    }
};

}  // namespace

const pullcast::ComponentType* engine_breathing_table() { return component<BreathingTable>("engine.breathing_table"); }

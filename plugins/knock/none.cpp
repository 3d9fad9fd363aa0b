/// No knock model. Says so at every report point; gives no margin, so that nobody reads a number that was not computed.
///
///   margin_computed = 0
///
/// Reference: none. Validity: none. The ends of the other knock models are accepted and not used.
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct None {
    Sees<Gas> manifold;
    Sees<Shaft> crank;
    Sees<Signal> spark, lambda, exhaust_pressure;
    Sees<Heat> coolant;
    Output margin_computed;

    static void describe(Schema<None>& s) {
        s.role = "knock";
        s.summary = "no knock model: no margin is computed";
        s.reference = "none";
        s.validity = "says nothing about knock";
        s.sees(&None::manifold, "manifold", "not used").optional();
        s.sees(&None::crank, "crank", "not used").optional();
        s.sees(&None::spark, "spark", "not used").optional();
        s.sees(&None::lambda, "lambda", "not used").optional();
        s.sees(&None::exhaust_pressure, "exhaust_pressure", "not used").optional();
        s.sees(&None::coolant, "coolant", "not used").optional();
        s.output(&None::margin_computed, "margin_computed", "1", "0: this rig has no knock model")
            .warn_below(1, "no knock margin is computed in this rig; that is no statement that the engine is safe");
    }
    void flow(auto v) const {
        if (v.recording()) v.output(margin_computed, 0.0);
    }
};

}  // namespace

const pullcast::ComponentType* knock_none() { return component<None>("knock.none"); }

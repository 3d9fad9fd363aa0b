/// No knock model. Says so at every report point; gives no margin, so that nobody reads a number that was not computed.
///
///   margin_computed = 0,  limit = pi/2 ("not given": a calibration that wants a limit refuses it)
///
/// Reference: none. Validity: none. The ends of the other knock models are accepted and not used.
#include <numbers>
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

struct None {
    Reads<Gas> manifold;
    Reads<Shaft> crank;
    Reads<Signal> lambda, exhaust_pressure;
    Reads<Heat> coolant;
    Sees<Signal> spark;
    Node<Signal> limit;
    Output margin_computed;

    static void describe(Schema<None>& s) {
        s.role = "knock";
        s.summary = "no knock model: no margin is computed";
        s.reference = "none";
        s.validity = "says nothing about knock";
        s.reads(&None::manifold, "manifold", "not used").optional();
        s.reads(&None::crank, "crank", "not used").optional();
        s.sees(&None::spark, "spark", "not used").optional();
        s.reads(&None::lambda, "lambda", "not used").optional();
        s.reads(&None::exhaust_pressure, "exhaust_pressure", "not used").optional();
        s.reads(&None::coolant, "coolant", "not used").optional();
        s.signal(&None::limit, "limit", "rad", "90 degrees: no limit is given");
        s.output(&None::margin_computed, "margin_computed", "1", "0: this rig has no knock model")
            .warn_below(1, "no knock margin is computed in this rig; that is no statement that the engine is safe");
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(limit, {S(std::numbers::pi / 2)});
    }
    void flow(auto v) const {
        if (v.recording()) v.output(margin_computed, 0.0);
    }
};

}  // namespace

const pullcast::ComponentType* knock_none() { return component<None>("knock.none"); }

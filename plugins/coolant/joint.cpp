/// Small volume where coolant lines meet. Stores mass and energy.
///
///   p = p0 + (m - m0) / C
///
/// C compliance: coolant taken up per pressure, by bulging hose and small trapped bubbles. With the inertances L of the
/// lines next to it, it makes a spring and mass of frequency 1/sqrt(L C), damped at the rate R/(2L) by their resistance
/// R = d(dp)/dm. Its preset stands for flexible lines and about 0.1 L of gas at 1 bar (C = rho V_gas / p); far smaller
/// values only make the solver follow pipe ringing that nobody asked about.
///
/// Reference: lumped compliance and inertance of fluid lines (system dynamics textbooks, from memory).
/// Validity: pressure swings well below the fill pressure; no cavitation.
#include "components.hpp"
#include "storage.hpp"

namespace {
using namespace coolant_family;

struct Joint : Body {
    double compliance;

    static void describe(Schema<Joint>& s) {
        s.role = "joint";
        s.summary = "stores coolant: small mixing volume with a linear compliance";
        s.reference = "lumped compliance of fluid lines (from memory)";
        s.validity = "no cavitation";
        describe_body(s, 2e-4);
        s.number(&Joint::compliance, "compliance", "kg/Pa", "coolant taken up per pressure").positive().preset(1e-6);
    }
    Problem prepare() { return fill(), Problem{}; }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        publish_body(v, S(fill_pressure + (v[mass] - full) / compliance));
    }
};

}  // namespace

const pullcast::ComponentType* coolant_joint() { return component<Joint>("coolant.joint"); }

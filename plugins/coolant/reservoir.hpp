/// What both reservoirs share: a well-mixed body with a linear pressure law, heat loss, and the two warnings.
#pragma once
#include "storage.hpp"

namespace coolant_family {

struct Tank : Body {
    double compliance, loss;
    End<Heat> surroundings;
    Output temperature, freezing_margin, boiling_margin;

    template <class C> static void describe_tank(Schema<C>& s) {
        s.role = "reservoir";
        describe_body(s, 3e-3);
        s.number(&C::compliance, "compliance", "kg/Pa", "coolant taken up per pressure").positive().preset(5e-6);
        s.number(&C::loss, "loss", "W/K", "heat loss per temperature difference").non_negative().preset(2);
        s.template end<Heat>(&C::surroundings, "surroundings", "what it loses heat to; insulated where left open")
            .optional();
        s.output(&C::temperature, "temperature", "K", "coolant temperature");
        s.output(&C::freezing_margin, "freezing_margin", "dK", "coolant above its freezing point")
            .warn_below(2, "the coolant is close to freezing: more glycol, or less ice");
        s.output(&C::boiling_margin, "boiling_margin", "dK", "coolant below its boiling point at 1 atm")
            .warn_below(5, "the coolant is close to boiling");
    }
    template <class S> S pressure(const S& held) const { return fill_pressure + (held - full) / compliance; }
    void lose_heat(auto v) const {
        using S = typename decltype(v)::Scalar;
        if (!v.connected(surroundings)) return;
        const S Q = loss * (v[coolant].T - v[surroundings].T);
        v.put(coolant, {S(0), -Q});
        v.put(surroundings, {Q});
    }
    void report(auto v) const {
        v.output(temperature, v[coolant].T);
        v.output(freezing_margin, v[coolant].T - mix.freezing_point);
        v.output(boiling_margin, mix.boiling_point - v[coolant].T);
    }
};

}  // namespace coolant_family

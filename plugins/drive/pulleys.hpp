/// Two pulleys and an intermediate ratio: what both drives share.
///
///     r = d / 2 + offset                 pitch radius from the effective diameter d
///     v1 = omega_crank r1,  v2 = omega_rotor r2 / i      speeds of the two pulley surfaces
///     tau_crank = -F r1,    tau_rotor = F r2 / i         F: force that the drive carries, T_tight - T_slack
///     heat = F (v1 - v2)                 goes to `surroundings`, or to an account where that end is open
#pragma once
#include <pullcast/sdk.hpp>

namespace pullcast::drive {

inline constexpr double margin_cap = 999;  // of slip_margin at no load, and of a drive that cannot slip

template <class C>
struct Pulleys {
    double crank_diameter, diameter, offset, ratio;
    End<Shaft> crank, rotor;
    End<Heat> surroundings;
    Account lost;
    Output slip, margin, torque, crank_torque, overdrive, heat;
    double r1, r2;  // derived: crank side, and rotor side through the intermediate ratio

    static void describe_pulleys(Schema<C>& s) {
        const auto own = [](auto member) { return static_cast<decltype(of(member))>(member); };
        s.number(own(&Pulleys::crank_diameter), "crank_pulley_diameter", "m", "effective diameter of the crank pulley")
            .in(0.01, 1);
        s.number(own(&Pulleys::diameter), "pulley_diameter", "m", "effective diameter of the blower pulley")
            .in(0.01, 1);
        s.number(own(&Pulleys::offset), "pitch_offset", "m", "pitch radius minus effective radius, of both pulleys")
            .in(0, 0.01).preset(0);
        s.number(own(&Pulleys::ratio), "intermediate_ratio", "1", "rotor speed over blower pulley speed")
            .in(0.1, 10).preset(1);
        s.end(own(&Pulleys::crank), "crank", "crankshaft");
        s.end(own(&Pulleys::rotor), "rotor", "rotor shaft of the blower");
        s.end(own(&Pulleys::surroundings), "surroundings", "takes the heat of slip; left open, the heat leaves the rig")
            .optional();
        s.account(own(&Pulleys::lost), "heat_out", Ledger::energy, "heat of slip that no node takes");
        s.output(own(&Pulleys::torque), "torque", "N m", "torque on the rotor shaft");
        s.output(own(&Pulleys::crank_torque), "crank_torque", "N m", "torque taken from the crank");
        s.output(own(&Pulleys::overdrive), "ratio", "1", "rotor speed over crank speed without slip");
        s.output(own(&Pulleys::heat), "slip_heat", "W", "heat of slip and creep");
    }

    void derive_radii() {
        r1 = 0.5 * crank_diameter + offset;
        r2 = (0.5 * diameter + offset) / ratio;
    }

    /// Puts the torques and the heat of a force F at surface speeds v1 and v2.
    template <class S> void carry(Flow<S> v, const S& F, const S& v1, const S& v2) const {
        const S loss = F * (v1 - v2);
        v.put(crank, {-F * r1});
        v.put(rotor, {F * r2});
        const bool taken = v.connected(surroundings);
        if (taken) v.put(surroundings, {loss});
        v.rate(lost) = taken ? S(0) : -loss;
        if (!v.recording()) return;
        v.output(torque, F * r2);
        v.output(crank_torque, F * r1);
        v.output(overdrive, r1 / r2);
        v.output(heat, loss);
    }

private:
    template <class T> static T C::*of(T Pulleys::*);
};

}  // namespace pullcast::drive

/// A drive that does not slip: toothed belt, chain or gears. Transports. (Pulleys, torques and heat: pulleys.hpp.)
///
///     F = coupling (v1 - v2)
///
/// The coupling is stiff instead of infinite so that both shafts keep their own speed: at 5e5 N s/m, 3 kN cost 6 mm/s
/// of surface speed, 0.02 % at 30 m/s. Numerical device; no reference.
#include "components.hpp"
#include "pulleys.hpp"

namespace pullcast::drive {
namespace {

struct Rigid : Pulleys<Rigid> {
    double coupling, slow;
    Output power;

    static void describe(Schema<Rigid>& s) {
        s.role = "drive";
        s.summary = "transports: toothed or geared drive without slip";
        s.reference = "kinematics of two pulleys";
        s.validity = "any load: it has no capacity limit";
        describe_pulleys(s);
        s.number(&Rigid::coupling, "coupling", "N s/m", "force per difference of surface speeds")
            .in(1e3, 1e8).preset(5e5);
        s.number(&Rigid::slow, "slow", "m/s", "surface speed below which slip is no longer told as a fraction")
            .in(0.01, 10).preset(0.5);
        s.output(&Rigid::slip, "slip", "1", "part of the surface speed that is lost in the coupling");
        s.output(&Rigid::margin, "slip_margin", "1", "constant: it cannot slip");
        s.output(&Rigid::power, "power", "W", "power taken from the crank");
    }

    Problem prepare() { return derive_radii(), Problem{}; }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt;
        const S v1 = v[crank].omega * r1, v2 = v[rotor].omega * r2;
        const S F = coupling * (v1 - v2);
        carry(v, F, v1, v2);
        if (!v.recording()) return;
        v.output(slip, (v1 - v2) / sqrt(v1 * v1 + slow * slow));
        v.output(margin, margin_cap);
        v.output(power, F * v1);
    }
};

}  // namespace
}  // namespace pullcast::drive

const pullcast::ComponentType* drive_rigid() { return pullcast::component<pullcast::drive::Rigid>("drive.rigid"); }

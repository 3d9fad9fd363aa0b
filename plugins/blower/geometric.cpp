/// A positive-displacement blower from its geometry. Transports gas; stores rotor speed and the heat of the casing.
///
///     m     = p1 / (R T1') Vs N / (1 + c (N/Nr)^2)             swept mass; c: filling loss at the rated speed Nr
///     leak  = A sqrt(p2 rho2) Psi(p1/p2)                       clearances as one opening from outlet to inlet
///     Psi^2 = Psi*^2 (1 - ((r - r*) / (1 - r*))^2),  r > r*    Bendemann's ellipse (from memory) for the isentropic
///                                                              nozzle, g = 1.4: within 0.3 %; Psi* below r* (choked)
///     W/rev = p1 Vs [(vi^(g-1) - 1)/(g-1) + r/vi - 1]          r = p2/p1: isentropic to vi, then constant volume
///           + dp_loss (N/Nr)^2 Vs                              flow loss through the ports
///     W/rev = p2 Vs/vi [1 + (1 - vi^(1-g))/(g-1)] - p1 Vs      turned backwards: expansion by vi, then constant volume
///     tau_f = T0 d + b omega                                   bearings, gears and seals, to the casing
///
/// Roots work p1 Vs (r - 1) is vi = 1 (Carvill, Mechanical Engineer's Data Handbook, 3.11.3). Over- and
/// under-compression follow from the one formula, as does r < 1 (bypassed idle). VE = 1 - leak/(rho1 Vs N) - ...: falls
/// with r, rises with N. Filling loss takes mass and no work. N is in rev/s, N/Nr = omega / rated_speed in the code.
#include "components.hpp"
#include "machine.hpp"

namespace pullcast::blower {
namespace {

struct Geometric : Machine {
    double volume_ratio, clearance_area, clearance_width, filling_loss, flow_loss, rated_speed, friction, viscous;
    double log_ratio;  // derived

    static void describe(Schema<Geometric>& s) {
        s.summary =
            "transports: displacement, built-in volume ratio, clearance leakage; stores rotor speed and case heat";
        s.reference = "Roots and built-in-ratio work: Carvill, Mechanical Engineer's Data Handbook; README.md";
        s.validity = "pressure ratio 0.3 to 3.5, forward rotation; leakage as one constant effective area";
        describe_ports(s);
        describe_rotor(s);
        s.number(&Geometric::volume_ratio, "volume_ratio", "1", "built-in volume ratio; 1 compresses outside only")
            .in(1, 3).preset(1);
        s.number(&Geometric::clearance_area, "clearance_area", "m^2",
                 "effective area of all clearances, outlet to inlet")
            .in(0, 1e-2);
        s.number(&Geometric::clearance_width, "clearance_width", "1", "pressure difference over pressure below which "
                 "leakage turns linear").in(1e-6, 0.1).preset(1e-3);
        s.number(&Geometric::filling_loss, "filling_loss", "1", "share of the swept mass missed at the rated speed")
            .in(0, 1).preset(0.03);
        s.number(&Geometric::flow_loss, "flow_loss", "Pa", "pressure lost in the ports at the rated speed").in(0, 2e5)
            .preset(2e4);
        s.number(&Geometric::rated_speed, "rated_speed", "rad/s", "speed at which the two losses are given")
            .in(10, 2e4);
        s.number(&Geometric::friction, "friction", "N m", "constant friction torque").in(0, 100).preset(0.5);
        s.number(&Geometric::viscous, "viscous_friction", "N m s/rad", "friction torque that grows with speed").in(0, 1)
            .preset(5e-4);
        describe_case(s, 8);
        describe_outputs(s);
    }

    Problem prepare() {
        log_ratio = std::log(volume_ratio);
        return {};
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const Intake<S> in = intake<S>(v, 1 / volume_ratio);
        const S n = v[omega] / rated_speed;
        Laws<S> l;
        l.mass_flow = in.p / (in.R * in.T_warmed) * in.volume_flow / (1 + filling_loss * n * n);
        l.leak_flow = clearance_area * leakage<S>(v[to], v[from]);
        l.gas_torque = indicated_torque(S(v[from].p), S(v[to].p), in) +
                       displacement / rad_per_rev * flow_loss * n * n * in.sense;
        l.friction_torque = friction * in.sense + viscous * v[omega];
        deliver(v, in, l);
    }

private:
    /// N m that the shaft gives to the gas, between the two formulas for W/rev above.
    template <class S> S indicated_torque(const S& p1, const S& p2, const Intake<S>& in) const {
        using std::expm1;
        const S k = in.R / (in.cp - in.R);  // g - 1
        const S power = expm1(k * log_ratio);
        const S ahead = p1 * (power / k - 1) + p2 / volume_ratio;
        const S backward = p2 / volume_ratio * (1 + power / ((1 + power) * k)) - p1;
        return displacement / rad_per_rev * (backward + in.forward * (ahead - backward));
    }
    /// Mass flow from `b` to `a` per area, kg/(s m^2): negative where `a` has the higher pressure.
    template <class S> S leakage(const Gas::Potential<S>& b, const Gas::Potential<S>& a) const {
        using std::sqrt;
        constexpr double critical = 0.528282, psi_critical = 0.684731;  // r*, Psi* at g = 1.4
        const S high = soft_max(b.p, a.p, clearance_width * 1e5), x = (b.p - a.p) / high;
        const S size = sqrt(x * x + clearance_width * clearance_width), sense = x / size;
        const S rho = 0.5 * (b.rho + a.rho + sense * (b.rho - a.rho));
        const S gap = value(size) < 1 - critical ? size : S(1 - critical);  // 1 - r
        return psi_critical / (1 - critical) * sqrt(high * rho) * sense * sqrt(gap * (2 * (1 - critical) - gap));
    }
};

}  // namespace
}  // namespace pullcast::blower

const pullcast::ComponentType* blower_geometric() {
    return pullcast::component<pullcast::blower::Geometric>("blower.geometric");
}

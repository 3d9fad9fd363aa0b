/// Belt from the crank to the blower: elastic creep, and gross slip past a capacity. Transports; the belt's mass counts
/// only in its centrifugal tension. (Pulleys, torques and heat: pulleys.hpp.)
///
///     Tc = belt_mass v^2,  v = (v1 + v2) / 2           centrifugal tension
///     e  = exp(mu wrap)                                (T_tight - Tc) / (T_slack - Tc) at gross slip (capstan)
///     F_max = (T0 - Tc) (e - 1)                        tensioner: T_slack = T0
///     F_max = 2 (T0 - Tc) (e - 1) / (e + 1)            fixed centres: T_tight + T_slack = 2 T0
///     s = (v1 - v2) / sqrt(v1^2 + slow^2)              slip, as a fraction of the crank pulley's surface speed
///     x = EA s / F_max,   F = F_max x / (1 + x^4)^(1/4)
///
/// At small load F = EA s: the creep of an elastic belt. At x = 1, F is 0.84 F_max and creep turns into gross slip.
/// slip_margin = 1 / |x| - 1: the capacity over the load while the belt creeps, less one, and below 0 where it slips.
/// Capstan with centrifugal tension: engineering statics textbooks (Baker & Haynes 9.5). mu is the effective friction
/// with the wedge of the grooves in it. Dry belt; a tensioner is taken to hold the slack side, also on overrun.
#include "components.hpp"
#include "pulleys.hpp"

namespace pullcast::drive {
namespace {

struct Belt : Pulleys<Belt> {
    std::int32_t fixed_centres;
    double wrap, friction, pretension, belt_mass, stiffness, slow;
    Output tight, slack, speed, power;
    double grip;  // derived: F_max / (T0 - Tc)

    static void describe(Schema<Belt>& s) {
        s.role = "drive";
        s.summary = "transports: belt with creep, and gross slip past its capacity";
        s.reference = "capstan equation with centrifugal tension (Baker & Haynes, Engineering Statics 9.5)";
        s.validity = "dry belt, steady friction, no belt vibration";
        describe_pulleys(s);
        s.choice(&Belt::fixed_centres, "tensioning", "tensioner|fixed centres",
                 "what holds the tension: a tensioner on the slack side, or the distance of the pulleys").preset(0);
        s.number(&Belt::wrap, "wrap_angle", "rad", "wrap on the pulley that slips first, mostly the blower's")
            .in(0.2, 6.3).preset(3.0);
        s.number(&Belt::friction, "friction", "1", "effective friction, wedge of the grooves included")
            .in(0.05, 5).preset(0.8);
        s.number(&Belt::pretension, "pretension", "N", "tension of the belt at rest, one strand")
            .in(10, 2e4).preset(500);
        s.number(&Belt::belt_mass, "belt_mass", "kg/m", "mass of the belt per length").in(0, 5).preset(0.15);
        s.number(&Belt::stiffness, "stiffness", "N", "EA: force that would double the belt's length")
            .in(1e3, 1e8).preset(1.5e5);
        s.number(&Belt::slow, "slow", "m/s", "surface speed below which slip is no longer told as a fraction")
            .in(0.01, 10).preset(0.5);
        s.output(&Belt::slip, "slip", "1", "part of the surface speed that is lost, creep included");
        s.output(&Belt::margin, "slip_margin", "1", "capacity over load, less one").warn_below(0, "the belt slips");
        s.output(&Belt::tight, "tight_tension", "N", "tension of the tight side");
        s.output(&Belt::slack, "slack_tension", "N", "tension of the slack side");
        s.output(&Belt::speed, "belt_speed", "m/s", "speed of the belt");
        s.output(&Belt::power, "power", "W", "power taken from the crank");
    }

    Problem prepare() {
        derive_radii();
        const double e = std::exp(friction * wrap);
        grip = fixed_centres ? 2 * (e - 1) / (e + 1) : e - 1;
        return {};
    }

    /// Force that the belt can carry; next to none where centrifugal tension takes the pretension.
    template <class S> S capacity(const S& v) const {
        return grip * soft_max(S(pretension - belt_mass * v * v), S(0), 0.002 * pretension);
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt;
        const S v1 = v[crank].omega * r1, v2 = v[rotor].omega * r2;
        const S s = (v1 - v2) / sqrt(v1 * v1 + slow * slow);
        const S F_max = capacity(S(0.5 * (v1 + v2)));
        const S x = stiffness * s / F_max, x2 = x * x;
        const S F = F_max * x / sqrt(sqrt(1 + x2 * x2));
        carry(v, F, v1, v2);
        if (v.recording()) report(v, value(F), value(x), value(v1), value(v2), value(s));
    }

private:
    void report(auto v, double F, double x, double v1, double v2, double s) const {
        const double least = fixed_centres ? pretension - 0.5 * std::fabs(F) : pretension;
        v.output(slip, s);
        v.output(margin, std::min(1 / std::max(std::fabs(x), 1e-12) - 1, margin_cap));
        v.output(tight, least + std::fabs(F));
        v.output(slack, least);
        v.output(speed, 0.5 * (v1 + v2));
        v.output(power, F * v1);
    }
};

}  // namespace
}  // namespace pullcast::drive

const pullcast::ComponentType* drive_belt() { return pullcast::component<pullcast::drive::Belt>("drive.belt"); }

/// Locked speed: the dyno holds the crank at one speed, for steady points. Holds nothing.
///
///     omega = start_speed,   wheel torque y = wheels(tau)  (driveline.hpp),   absorbed work: integral of y omega
///
/// Ideal control; the throttle still opens at the start of the pull.
#include "components.hpp"
#include "driveline.hpp"

namespace pullcast::load {
namespace {

struct Locked : Driveline<Locked> {
    Account absorbed;

    static void describe(Schema<Locked>& s) {
        s.summary = "holds the crank at one speed";
        s.reference = "equilibrium of torques at constant speed";
        s.validity = "ideal speed control without a limit of torque";
        describe_driveline(s);
        s.account(&Locked::absorbed, "absorbed", Ledger::energy, "work of the dyno (negative: taken from the car)");
    }

    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(crank, {S(start_speed)});
    }

    void balance(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S w = start_speed, tau = v[crank].tau, y = wheels(tau, w);
        v.rate(absorbed) = -y * w;
        v.rate(this->lost) = (y - tau) * w;
        if (v.recording()) report(v, tau, w, S(y * w));
    }
};

}  // namespace
}  // namespace pullcast::load

const pullcast::ComponentType* load_locked() { return pullcast::component<pullcast::load::Locked>("load.locked"); }

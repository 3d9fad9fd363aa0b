/// Heat path across the engine bay: air that both sides share, and radiation between them. Transports heat.
///
///   Q = h A (T_from - T_to) + e s A (T_from^4 - T_to^4),   s = 5.670374e-8 W/(m^2 K^4)
///
/// h is that of both boundary layers in series (hood closed, fan on: 5 to 15 W/(m^2 K), common practice, no source);
/// e the effective emissivity of the pair. Reference: Newton's law of cooling, Stefan-Boltzmann law (CODATA constant).
/// Validity: bay air has no heat capacity and no exchange with the outside of its own.
#include <pullcast/sdk.hpp>

#include "components.hpp"

namespace {
using namespace pullcast;

constexpr double stefan_boltzmann = 5.670374e-8;  // W/(m^2 K^4)

struct SoakPathAir {
    double area, transfer_coefficient, emissivity;
    End<Heat> from, to;
    Output heat;

    static void describe(Schema<SoakPathAir>& s) {
        using C = SoakPathAir;
        s.role = "soak_path";
        s.summary = "transports heat by engine-bay air and radiation";
        s.reference = "Newton's law of cooling; Stefan-Boltzmann law";
        s.validity = "bay air without heat capacity";
        s.number(&C::area, "area", "m^2", "facing area").positive().preset(0.15);
        s.number(&C::transfer_coefficient, "transfer_coefficient", "W/(m^2 K)", "through the air, both sides in series")
            .non_negative().preset(8);
        s.number(&C::emissivity, "emissivity", "1", "effective emissivity of the pair").in(0, 1).preset(0.2);
        s.end(&C::from, "from", "warm side, such as engine metal");
        s.end(&C::to, "to", "other side, such as a lid or a blower case");
        s.output(&C::heat, "heat", "W", "heat from -> to");
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S a = v[from].T, b = v[to].T, radiation = (a * a + b * b) * (a + b) * (emissivity * stefan_boltzmann);
        const S Q = area * (transfer_coefficient + radiation) * (a - b);
        v.transfer(from, to, {Q});
        if (v.recording()) v.output(heat, Q);
    }
};

}  // namespace

const pullcast::ComponentType* engine_soak_path_air() { return component<SoakPathAir>("engine.soak_path_air"); }

/// Front heat exchanger from one rated point, for people who have a number from a seller. Transports and stores.
///
///   UA = (1 - blocked) UA_r / ((1 - s) (v_r/v)^a + s (m_r/|m|)^b)       resistances in series
///   hA = UA_r / s (|m|/m_r)^b                                           coolant to metal
///
/// s share of the resistance on the coolant side at the rated point. The row of cells is in crossflow.hpp: its steady
/// limit is the exact effectiveness-NTU relation for coolant mixed, air unmixed.
///
/// Reference: Incropera et al. ch. 11 (relations checked against the open `ht` library). Exponents: air 0.5 (louver
/// fins: j ~ Re^-0.49), coolant 0.8 (turbulent tubes), from memory. Validity: within a factor of
/// about 3 of the rated flows.
#include "components.hpp"
#include "crossflow.hpp"

namespace {
using namespace coolant_family;

struct FrontExchangerRated : Crossflow {
    double rated_conductance, rated_velocity, air_exponent, coolant_exponent, coolant_share;

    static void describe(Schema<FrontExchangerRated>& s) {
        using C = FrontExchangerRated;
        s.summary = "transports and stores: coolant to outside air from a rated UA, N cells in crossflow";
        s.reference = "Incropera et al., crossflow with one fluid mixed";
        s.validity = "within a factor of about 3 of the rated flows";
        describe_crossflow(s);
        s.number(&C::rated_conductance, "rated_conductance", "W/K", "UA at the rated flows").positive().preset(300);
        s.number(&C::rated_velocity, "rated_velocity", "m/s", "face velocity of the rated point").positive().preset(5);
        s.number(&C::air_exponent, "air_exponent", "1", "air-side conductance over velocity").in(0, 1).preset(0.5);
        s.number(&C::coolant_exponent, "coolant_exponent", "1", "coolant-side conductance over flow")
            .in(0, 1).preset(0.8);
        s.number(&C::coolant_share, "coolant_share", "1", "share of the coolant side in the thermal resistance")
            .in(0.02, 0.9).preset(0.15);
        s.number(&C::face_area, "face_area", "m^2", "face area").positive().preset(0.18);
        s.number(&C::coolant_volume, "coolant_volume", "m^3", "coolant in it").positive().preset(8e-4);
        s.number(&C::metal_capacity, "metal_capacity", "J/K", "heat capacity of its metal").positive().preset(2500);
    }
    Problem prepare() { return prepare_crossflow(), Problem{}; }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::pow;
        const S m = coolant_flow(v);
        const auto a = air(v);
        const S coolant_side = pow(relative_flow(m), coolant_exponent);
        const S square = (a.speed * a.speed) / (rated_velocity * rated_velocity + still_air * still_air);
        const S resistance = (1 - coolant_share) * pow(square, -0.5 * air_exponent) + coolant_share / coolant_side;
        const S UA = rated_conductance * (1 - blocked_fraction) / resistance;
        exchange(v, m, a, UA, S(rated_conductance / coolant_share * coolant_side));
    }
};

}  // namespace

const pullcast::ComponentType* coolant_front_exchanger_rated() {
    return component<FrontExchangerRated>("coolant.front_exchanger_rated");
}

/// Reservoir with ice in it. Stores coolant, ice and energy.
///
///   Q = UA_melt a(m_i) (T - T0) s(T - T0)          T0 = 0 degC; s: 0 below T0, 1 above T0 + freeze_width (no freezing)
///   dm_i/dt = F - Q / L_f                          a = m_i / sqrt(m_i^2 + w^2): fades out over the last `w` of ice
///   dm/dt = sum m_dot + Q / L_f - F                meltwater joins the coolant at 0 degC
///   dU/dt = sum H_dot - Q + h(T0) Q / L_f - h(T) F - UA (T - T_surroundings)
///   p = p0 + (m + m_i - m0) / C
///
/// U is the energy of the liquid alone. The ice is at 0 degC and holds m_i (h(T0) - L_f): enthalpies are zero for
/// liquid at 0 degC, so that is -L_f m_i. L_f = 333.42 kJ/kg, IAPWS-06 ice against IAPWS-95 water, computed
/// (media/coolant.hpp). Ice counts as coolant mass in the ledger. It floats, so that it
/// takes the room of its own mass of liquid. F is ice that is put in (ice_feed, until a fifth of the tank is liquid);
/// the coolant whose room it takes runs off at its own temperature.
///
/// Reference: heat balance with latent heat; the model form is this project's. Validity: meltwater takes on the
/// properties of the mixture (dilution left out: 1 kg of ice in 5 kg of half-and-half makes it 41 %); UA_melt constant
/// until the last of the ice, where real ice loses surface earlier.
#include "components.hpp"
#include "reservoir.hpp"

namespace {
using namespace coolant_family;

struct ReservoirIce : Tank {
    double ice_mass, melt_conductance, melt_out_width, freeze_width, ice_feed;
    State ice;
    Account filling;
    Output ice_left, melting_heat;

    static void describe(Schema<ReservoirIce>& s) {
        s.summary = "stores coolant and ice: melting by heat balance with latent heat";
        s.reference = "heat balance; latent heat from IAPWS-06 and IAPWS-95";
        s.validity = "well mixed; ice at 0 degC; dilution by meltwater left out";
        describe_tank(s);
        s.number(&ReservoirIce::ice_mass, "ice_mass", "kg", "ice at the start, part of the volume")
            .non_negative().preset(1);
        s.number(&ReservoirIce::melt_conductance, "melt_conductance", "W/K", "heat to the ice per kelvin above 0 degC")
            .non_negative().preset(800);
        s.number(&ReservoirIce::melt_out_width, "melt_out_width", "kg", "ice over which melting fades out")
            .positive().preset(0.02);
        s.number(&ReservoirIce::freeze_width, "freeze_width", "dK", "rise above 0 degC over which melting sets in")
            .positive().preset(0.5);
        s.number(&ReservoirIce::ice_feed, "ice_feed", "kg/s", "ice that is put in; as much coolant runs off")
            .non_negative().preset(0);
        s.account(&ReservoirIce::filling, "filling", Ledger::energy, "ice put in, less the coolant that runs off");
        s.state(&ReservoirIce::ice, "ice", "kg", 0.1, "ice");
        s.output(&ReservoirIce::ice_left, "ice_left", "kg", "ice");
        s.output(&ReservoirIce::melting_heat, "melting_heat", "W", "heat from the coolant to the ice");
    }
    Problem prepare() {
        fill();
        if (ice_mass > 0.8 * full) return {"ice_mass", "must leave at least a fifth of the volume liquid"};
        return {};
    }
    void start(Start v) const {
        const double liquid = full - ice_mass;
        v[mass] = liquid;
        v[energy] = liquid * mix.h(start_temperature);
        v[ice] = ice_mass;
    }
    double ice_energy() const { return mix.h(media::ice::melting_point) - media::ice::latent_heat; }  // J/kg
    Stock stored(Held v) const { return {.energy = v[energy] + v[ice] * ice_energy(), .coolant = v[mass] + v[ice]}; }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        publish_body(v, pressure(S(v[mass] + v[ice])));
    }
    /// Heat from coolant at temperature T to the ice.
    template <class S> S melting(const S& m_i, const S& T) const {
        using std::sqrt;
        const S above = T - media::ice::melting_point;
        const S present = m_i / sqrt(m_i * m_i + melt_out_width * melt_out_width);
        return melt_conductance * present * above * soft_step(above, 0, freeze_width);
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        lose_heat(v);
        const S Q = melting(v[ice], v[coolant].T), rate = Q / media::ice::latent_heat;
        const S feed = ice_feed * soft_step(S(v[mass] / full), 0.15, 0.25), run_off = feed * v[coolant].h;
        v.rate(ice) = feed - rate;
        v.rate(filling) = feed * ice_energy() - run_off;
        v.put(coolant, {rate - feed, rate * ice_energy() - run_off});
        if (!v.recording()) return;
        report(v);
        v.output(ice_left, v[ice]);
        v.output(melting_heat, Q);
    }
};

}  // namespace

const pullcast::ComponentType* coolant_reservoir_ice() { return component<ReservoirIce>("coolant.reservoir_ice"); }

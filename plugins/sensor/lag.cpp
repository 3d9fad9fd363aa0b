/// Temperature sensor in a gas: its reading follows the charge temperature with a first-order lag.
///
///     tau dT/dt = T_gas - T                                  state T, the reading
///     tau = time_constant                                    sensor.lag
///     tau = time_constant (m0^2 / (m^2 + m_low^2))^(1/4)     sensor.lag_flow: tau ~ |m|^-1/2, finite at m = 0
///
/// Lumped capacity: Biot number below 0.1; tau = rho c D / (4 h) of a wire, / (6 h) of a bead, with h ~ sqrt(flow) from
/// the cross-flow correlations (Incropera, ch. 5 and 7; exponent 1/2 is an approximation, from memory). No conduction
/// along the stem and no radiation. The sensor takes no heat worth counting from the gas.
#include "components.hpp"

namespace pullcast::sensor {
namespace {

template <bool by_flow>
struct Lag {
    double time_constant, rated_flow, low_flow, start_temperature;
    Sees<Gas> at;
    Sees<Signal> flow_signal;
    Node<Signal> reading;
    State temperature;
    Output out_reading, error, out_tau;

    static void describe(Schema<Lag>& s) {
        s.role = "sensor";
        s.summary = by_flow ? "temperature sensor whose lag shortens with the root of the flow past it"
                            : "temperature sensor with a fixed lag";
        s.reference = "lumped heat capacity (heat transfer textbooks)";
        s.validity = "Biot number below 0.1, no conduction along the stem, no radiation";
        s.number(&Lag::time_constant, "time_constant", "s",
                 by_flow ? "time constant at `rated_flow`" : "time to 63 % of a step").in(0.005, 120).preset(2);
        if constexpr (by_flow) {
            s.number(&Lag::rated_flow, "rated_flow", "kg/s", "flow at which `time_constant` holds")
                .in(1e-4, 100).preset(0.2);
            s.number(&Lag::low_flow, "low_flow", "kg/s", "flow that free convection in still gas counts for")
                .in(1e-6, 10).preset(2e-3);
        }
        s.number(&Lag::start_temperature, "start_temperature", "K", "reading at the start")
            .in(200, 800).common("start_temperature").preset(298.15);
        s.sees(&Lag::at, "at", "gas in which it sits");
        s.sees(&Lag::flow_signal, "flow", by_flow ? "mass flow past it, kg/s; left open: rated flow"
                                                  : "not used by this model").optional();
        s.signal(&Lag::reading, "reading", "K", "temperature that it reports");
        s.state(&Lag::temperature, "temperature", "K", 300, "temperature of its element");
        s.output(&Lag::out_reading, "reading", "K", "temperature at the sensor");
        s.output(&Lag::error, "error", "dK", "reading minus charge temperature");
        s.output(&Lag::out_tau, "time_constant", "s", "time constant at this moment");
    }

    void start(Start x) const { x[temperature] = start_temperature; }

    void publish(auto v) const { v(reading, {v[temperature]}); }

    template <class S> S tau(const S& m) const {
        using std::sqrt;
        return time_constant * sqrt(rated_flow / sqrt(m * m + low_flow * low_flow));
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        S now = time_constant;
        if constexpr (by_flow)
            if (v.connected(flow_signal)) now = tau(S(v[flow_signal].value));
        const S behind = v[at].T - v[temperature];
        v.rate(temperature) = behind / now;
        if (!v.recording()) return;
        v.output(out_reading, v[temperature]);
        v.output(error, -behind);
        v.output(out_tau, now);
    }
};

}  // namespace
}  // namespace pullcast::sensor

const pullcast::ComponentType* sensor_lag() {
    return pullcast::component<pullcast::sensor::Lag<false>>("sensor.lag");
}
const pullcast::ComponentType* sensor_lag_flow() {
    return pullcast::component<pullcast::sensor::Lag<true>>("sensor.lag_flow");
}

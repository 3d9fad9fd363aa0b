/// The small reference rig as components: twelve states, constant specific heats, dry air, no ledger. The equations
/// stand also in fused.hpp by hand, in reference_rig.py for SciPy and in reference_rig.m for Octave.
///
///     ambient -- throttle -- duct -- blower -- lid -- cooler (2 cells) -- manifold -- engine
///                                      |                 |                              |
///                                    crank            coolant: core, reservoir        crank
///
///     gas volume   dm/dt = sum m,  dU/dt = sum H,  T = U / (m cv),  p = m R T / V,  h = cp T
///     loss         m = A sqrt(rho) root(dp),  rho mean of both sides,  root(x) = x / (x^2 + width^2)^(1/4)
///     blower       m = (ve0 - ve1 (PR - 1)) rho1 Vd ratio omega / 2 pi,  T2 = T1 (1 + (PR^(R/cp) - 1) / eta)
///     cooler cell  Q = C (T - Tw)(1 - exp(-G / C)),  C = cp sqrt(m^2 + flow_width^2),  next T = T - Q / C
///     engine       m = ve rho Vd omega / 4 pi,  torque = air_work m / omega
///     crank        J d(omega)/dt = step(t; 0 .. opening_time) (sum of torques - drag omega^2)
#pragma once
#include <cmath>
#include <numbers>
#include <pullcast/sdk.hpp>

namespace pullcast::reference {

inline constexpr double two_pi = 2 * std::numbers::pi;

/// What every component of the rig knows of the air.
struct Air {
    double R, cp;
    template <class C> static void describe_air(Schema<C>& s) {
        s.number(&C::R, "R", "J/(kg K)", "gas constant").in(1, 1e4);
        s.number(&C::cp, "cp", "J/(kg K)", "specific heat").in(1, 1e5);
    }
    template <class S> Gas::Potential<S> gas(const S& p, const S& T) const {
        return {p, T, cp * T, p / (R * T), S(0)};
    }
};

struct Ambient : Air {
    double pressure, temperature;
    Node<Gas> air;
    static void describe(Schema<Ambient>& s) {
        s.role = "reference_ambient", s.summary = "fixed potentials";
        describe_air(s);
        s.number(&Ambient::pressure, "ambient_pressure", "Pa", "pressure").in(1, 1e7);
        s.number(&Ambient::temperature, "ambient_temperature", "K", "temperature").in(1, 1e4);
        s.node(&Ambient::air, "air", "outside");
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        v(air, gas(S(pressure), S(temperature)));
    }
};

/// Mass flow through an area, linear near equal pressures.
template <class S>
S loss_flow(const Gas::Potential<S>& a, const Gas::Potential<S>& b, double area, double width) {
    using std::sqrt;
    return area * sqrt(0.5 * (a.rho + b.rho)) * signed_sqrt(S(a.p - b.p), width);
}

struct Throttle {
    double leak, open, opening_time, width, flow_width;
    End<Gas> from, to;
    static void describe(Schema<Throttle>& s) {
        s.role = "reference_throttle", s.summary = "transports";
        s.number(&Throttle::leak, "leak_area", "m^2", "shut").in(0, 1);
        s.number(&Throttle::open, "open_area", "m^2", "open").in(0, 1);
        s.number(&Throttle::opening_time, "opening_time", "s", "from shut to open").in(1e-3, 100);
        s.number(&Throttle::width, "width", "Pa", "linear below").in(1e-3, 1e4);
        s.number(&Throttle::flow_width, "flow_width", "kg/s", "upstream side changes over it").in(1e-9, 1);
        s.end(&Throttle::from, "from", "upstream");
        s.end(&Throttle::to, "to", "downstream");
    }
    void flow(auto v) const {
        const double area = std::numbers::sqrt2 * (leak + (open - leak) * soft_step(v.time(), 0.0, opening_time));
        v.transfer(from, to, carried(loss_flow(v[from], v[to], area, width), v[from], v[to], flow_width));
    }
};

struct Volume : Air {
    double volume, pressure, temperature;
    State mass, energy;
    Node<Gas> node;
    static void describe(Schema<Volume>& s) {
        s.role = "reference_volume", s.summary = "stores gas";
        describe_air(s);
        s.number(&Volume::volume, "volume", "m^3", "inner volume").in(1e-9, 10);
        s.number(&Volume::pressure, "ambient_pressure", "Pa", "at the start").in(1, 1e7);
        s.number(&Volume::temperature, "ambient_temperature", "K", "at the start").in(1, 1e4);
        s.state(&Volume::mass, "mass", "kg", 1e-3, "gas");
        s.state(&Volume::energy, "energy", "J", 100, "internal energy");
        s.node(&Volume::node, "gas", "contents");
    }
    void start(Start x) const {
        x[mass] = pressure * volume / (R * temperature);
        x[energy] = x[mass] * (cp - R) * temperature;
    }
    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S T = v[energy] / (v[mass] * (cp - R));
        v(node, gas(S(v[mass] * R * T / volume), T));
    }
    void balance(auto v) const { v.rate(mass) = v[node].m, v.rate(energy) = v[node].H; }
};

struct Blower : Air {
    double displacement, ratio, ve0, ve1, eta;
    End<Gas> from, to;
    End<Shaft> crank;
    static void describe(Schema<Blower>& s) {
        s.role = "reference_blower", s.summary = "transports";
        describe_air(s);
        s.number(&Blower::displacement, "blower_displacement", "m^3", "swept per revolution").in(0, 1);
        s.number(&Blower::ratio, "blower_ratio", "1", "rotor over crank").in(0, 100);
        s.number(&Blower::ve0, "ve0", "1", "at pressure ratio 1").in(0, 2);
        s.number(&Blower::ve1, "ve1", "1", "fall").in(0, 2);
        s.number(&Blower::eta, "eta", "1", "isentropic efficiency").in(0.01, 1);
        s.end(&Blower::from, "from", "inlet");
        s.end(&Blower::to, "to", "outlet");
        s.end(&Blower::crank, "crank", "takes the work from");
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::pow;
        const auto& in = v[from];
        const S PR = v[to].p / in.p, omega = v[crank].omega;
        const S m = (ve0 - ve1 * (PR - 1)) * in.rho * (displacement * ratio / two_pi) * omega;
        const S work = m * in.h * ((pow(PR, R / cp) - 1) / eta);
        v.transfer(from, to, {m, m * in.h, S(0)});
        v.put(to, {S(0), work, S(0)});
        v.put(crank, {-work / omega});
    }
};

struct Cooler : Air {
    double flow_area, air_conductance, coolant_conductance, capacity, temperature, width, flow_width;
    End<Gas> from, to;
    End<Heat> coolant;
    std::int32_t cells;
    States wall;
    static void describe(Schema<Cooler>& s) {
        s.role = "reference_cooler", s.summary = "transports";
        describe_air(s);
        s.number(&Cooler::flow_area, "cooler_flow", "m^2", "area of the loss").in(0, 1);
        s.number(&Cooler::air_conductance, "air_conductance", "W/K", "charge to a wall cell").in(0, 1e5);
        s.number(&Cooler::coolant_conductance, "coolant_conductance", "W/K", "wall cell to coolant").in(0, 1e5);
        s.number(&Cooler::capacity, "wall_capacity", "J/K", "of a cell").in(1e-3, 1e6);
        s.number(&Cooler::temperature, "ambient_temperature", "K", "at the start").in(1, 1e4);
        s.number(&Cooler::width, "width", "Pa", "linear below").in(1e-3, 1e4);
        s.number(&Cooler::flow_width, "flow_width", "kg/s", "upstream side changes over it").in(1e-9, 1);
        s.end(&Cooler::from, "from", "charge in");
        s.end(&Cooler::to, "to", "charge out");
        s.end(&Cooler::coolant, "coolant", "takes the heat");
        s.integer(&Cooler::cells, "cells", "along the charge").in(1, 9).preset(2);
        s.states(&Cooler::wall, &Cooler::cells, "wall", "K", 300, "wall of a cell");
    }
    void start(Start x) const {
        for (std::uint32_t k = 0; k < wall.n; ++k) x[wall[k]] = temperature;
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt, std::exp;
        const auto &a = v[from], &b = v[to];
        const S m = loss_flow(a, b, flow_area, width);
        const S C = cp * sqrt(m * m + flow_width * flow_width), share = 1 - exp(-air_conductance / C);
        S T = a.T, heat = S(0), to_coolant = S(0);
        for (std::uint32_t k = 0; k < wall.n; ++k) {
            const S& Tw = v[wall[k]];
            const S Q = C * (T - Tw) * share, out = coolant_conductance * (Tw - v[coolant].T);
            v.rate(wall[k]) = (Q - out) / capacity;
            T -= Q / C, heat += Q, to_coolant += out;
        }
        v.transfer(from, to, carried(m, a, b, flow_width));
        v.put(to, {S(0), -heat, S(0)});
        v.put(coolant, {to_coolant});
    }
};

struct CoolantLoop {
    double core_capacity, reservoir_capacity, flow_rate, front, temperature;
    State core, reservoir;
    Node<Heat> node;
    Sees<Gas> outside;
    static void describe(Schema<CoolantLoop>& s) {
        s.role = "reference_coolant", s.summary = "stores heat";
        s.number(&CoolantLoop::core_capacity, "core_capacity", "J/K", "coolant in the core").in(1e-3, 1e6);
        s.number(&CoolantLoop::reservoir_capacity, "reservoir_capacity", "J/K", "the rest").in(1e-3, 1e6);
        s.number(&CoolantLoop::flow_rate, "coolant_flow", "W/K", "capacity rate").in(0, 1e6);
        s.number(&CoolantLoop::front, "front_conductance", "W/K", "to outside").in(0, 1e6);
        s.number(&CoolantLoop::temperature, "ambient_temperature", "K", "at the start").in(1, 1e4);
        s.state(&CoolantLoop::core, "core", "K", 300, "in the core");
        s.state(&CoolantLoop::reservoir, "reservoir", "K", 300, "in the rest");
        s.node(&CoolantLoop::node, "coolant", "coolant in the core");
        s.sees(&CoolantLoop::outside, "outside", "takes the heat");
    }
    void start(Start x) const { x[core] = x[reservoir] = temperature; }
    void publish(auto v) const { v(node, {v[core]}); }
    void flow(auto v) const {
        const auto exchange = flow_rate * (v[core] - v[reservoir]);
        v.rate(reservoir) = (exchange - front * (v[reservoir] - v[outside].T)) / reservoir_capacity;
    }
    void balance(auto v) const {
        v.rate(core) = (v[node].Q - flow_rate * (v[core] - v[reservoir])) / core_capacity;
    }
};

struct Engine {
    double displacement, ve, air_work;
    End<Gas> manifold;
    End<Shaft> crank;
    static void describe(Schema<Engine>& s) {
        s.role = "reference_engine", s.summary = "transports";
        s.number(&Engine::displacement, "engine_displacement", "m^3", "swept per two revolutions").in(0, 1);
        s.number(&Engine::ve, "engine_ve", "1", "volumetric efficiency").in(0, 2);
        s.number(&Engine::air_work, "air_work", "J/kg", "work per air").in(0, 1e7);
        s.end(&Engine::manifold, "manifold", "draws from");
        s.end(&Engine::crank, "crank", "drives");
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S per_radian = (ve * displacement / (2 * two_pi)) * v[manifold].rho, m = per_radian * v[crank].omega;
        v.put(manifold, {-m, -m * v[manifold].h, S(0)});
        v.put(crank, {air_work * per_radian});
    }
};

struct Crank {
    double inertia, drag, start_speed, opening_time;
    State speed;
    Node<Shaft> shaft;
    static void describe(Schema<Crank>& s) {
        s.role = "reference_load", s.summary = "stores rotation";
        s.number(&Crank::inertia, "inertia", "kg m^2", "at the crank").in(1e-6, 1e6);
        s.number(&Crank::drag, "drag", "N m s^2/rad^2", "load").in(0, 1e3);
        s.number(&Crank::start_speed, "start_speed", "rad/s", "at the start").in(1, 1e4);
        s.number(&Crank::opening_time, "opening_time", "s", "the hold is let go over it").in(1e-3, 100);
        s.state(&Crank::speed, "speed", "rad/s", 100, "crank speed");
        s.node(&Crank::shaft, "shaft", "crankshaft");
    }
    void start(Start x) const { x[speed] = start_speed; }
    void publish(auto v) const { v(shaft, {v[speed]}); }
    void balance(auto v) const {
        v.rate(speed) = soft_step(v.time(), 0.0, opening_time) * (v[shaft].tau - drag * v[speed] * v[speed]) / inertia;
    }
};

struct Sensor {
    double lag, temperature;
    State reading;
    Sees<Gas> at;
    static void describe(Schema<Sensor>& s) {
        s.role = "reference_sensor", s.summary = "reads";
        s.number(&Sensor::lag, "sensor_lag", "s", "time constant").in(1e-3, 100);
        s.number(&Sensor::temperature, "ambient_temperature", "K", "at the start").in(1, 1e4);
        s.state(&Sensor::reading, "reading", "K", 300, "reading");
        s.sees(&Sensor::at, "at", "where it sits");
    }
    void start(Start x) const { x[reading] = temperature; }
    void flow(auto v) const { v.rate(reading) = (v[at].T - v[reading]) / lag; }
};

}  // namespace pullcast::reference

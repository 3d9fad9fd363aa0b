/// The components of the reference rig called directly, one after the other, without the engine: same kernels, same
/// order of sweeps, handles filled in by hand. What the framework's own overhead is measured against.
#pragma once
#include <algorithm>
#include <map>
#include <string>

#include "components.hpp"
#include "parameters.hpp"

namespace pullcast::reference {

class Direct {
    Ambient ambient_{};
    Volume duct_{}, lid_{}, manifold_{};
    Throttle throttle_{};
    Blower blower_{};
    Cooler cooler_{};
    CoolantLoop loop_{};
    Engine engine_{};
    Crank crank_{};
    Sensor sensor_{};
    Gas::Potential<double> gas_[4];
    Gas::Flow<double> gas_flow_[4];
    Heat::Potential<double> heat_[1];
    Heat::Flow<double> heat_flow_[1];
    Shaft::Potential<double> shaft_[1];
    Shaft::Flow<double> shaft_flow_[1];
    std::uint32_t states_ = 0;

    /// Parameters from the file, states in order of the calls, nodes by number.
    template <class C>
    void place(C& c, const char* type, const Parameters& p, const std::map<std::string, std::uint32_t>& nodes,
               const std::map<std::string, double>& own = {}) {
        const ComponentType& t = *component<C>(type);
        auto* raw = reinterpret_cast<std::byte*>(&c);
        for (const Field* f = t.fields; f != t.fields + t.field_count; ++f) {
            const auto number = own.find(f->name);
            if (f->kind == Kind::number)
                *reinterpret_cast<double*>(raw + f->offset) = number != own.end() ? number->second : p[f->name];
            if (f->kind == Kind::integer)
                *reinterpret_cast<std::int32_t*>(raw + f->offset) = static_cast<std::int32_t>(f->preset);
            if (f->kind >= Kind::node && f->kind <= Kind::reads)
                *reinterpret_cast<std::uint32_t*>(raw + f->offset) = nodes.at(f->name);
            if (f->kind != Kind::state) continue;
            const std::uint32_t n = f->count == unconnected ? 1 : 2;
            *reinterpret_cast<std::uint32_t*>(raw + f->offset) = states_;
            if (n == 2) reinterpret_cast<States*>(raw + f->offset)->n = n;
            states_ += n;
        }
    }

public:
    double x[12], dx[12];

    explicit Direct(const Parameters& p) {
        constexpr std::uint32_t air = 0, duct = 1, lid = 2, manifold = 3;
        place(ambient_, "ambient", p, {{"air", air}});
        place(duct_, "volume", p, {{"gas", duct}}, {{"volume", p["duct_volume"]}});
        place(lid_, "volume", p, {{"gas", lid}}, {{"volume", p["lid_volume"]}});
        place(manifold_, "volume", p, {{"gas", manifold}}, {{"volume", p["manifold_volume"]}});
        place(throttle_, "throttle", p, {{"from", air}, {"to", duct}});
        place(blower_, "blower", p, {{"from", duct}, {"to", lid}, {"crank", 0}});
        place(cooler_, "cooler", p, {{"from", lid}, {"to", manifold}, {"coolant", 0}});
        place(loop_, "coolant", p, {{"coolant", 0}, {"outside", air}});
        place(engine_, "engine", p, {{"manifold", manifold}, {"crank", 0}});
        place(crank_, "crank", p, {{"shaft", 0}});
        place(sensor_, "sensor", p, {{"at", manifold}});
        duct_.start(Start(x)), lid_.start(Start(x)), manifold_.start(Start(x)), cooler_.start(Start(x));
        loop_.start(Start(x)), crank_.start(Start(x)), sensor_.start(Start(x));
    }
    void rates(double t) {
        Arena<double> a;
        a.t = t, a.x = x, a.dx = dx;
        a.potential[Gas::id] = gas_, a.flow[Gas::id] = gas_flow_;
        a.potential[Heat::id] = heat_, a.flow[Heat::id] = heat_flow_;
        a.potential[Shaft::id] = shaft_, a.flow[Shaft::id] = shaft_flow_;
        std::fill(std::begin(dx), std::end(dx), 0.0);
        std::fill(std::begin(gas_flow_), std::end(gas_flow_), Gas::Flow<double>{});
        heat_flow_[0] = {}, shaft_flow_[0] = {};
        const Publish<double> publish(a);
        ambient_.publish(publish), duct_.publish(publish), lid_.publish(publish), manifold_.publish(publish);
        loop_.publish(publish), crank_.publish(publish);
        const Flow<double> flow(a);
        throttle_.flow(flow), blower_.flow(flow), cooler_.flow(flow), loop_.flow(flow), engine_.flow(flow);
        sensor_.flow(flow);
        const Balance<double> balance(a);
        duct_.balance(balance), lid_.balance(balance), manifold_.balance(balance), loop_.balance(balance);
        crank_.balance(balance);
    }
};

}  // namespace pullcast::reference

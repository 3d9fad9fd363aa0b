/// The reference rig through the engine (network, integrator), and the same driver for its fused version.
#pragma once
#include <memory>
#include <pullcast/network/network.hpp>
#include <pullcast/network/registry.hpp>
#include <pullcast/solve/integrator.hpp>
#include <pullcast/solve/rig_system.hpp>
#include <vector>

#include "fused.hpp"
#include "parameters.hpp"

namespace pullcast::reference {

/// The rig of components, compiled; their types come from a plugin that was loaded into `registry`.
Network compile_rig(const Registry& registry, const Parameters& p);

/// The fused right-hand side with its exact Jacobian by the same dual numbers, coloured on its own pattern.
class FusedSystem final : public System {
public:
    explicit FusedSystem(const Parameters& p);
    std::size_t size() const override { return Fused::size; }
    const Pattern& pattern() const override { return pattern_; }
    bool derivative(double t, const double* x, double* dx) override;
    bool jacobian(double t, const double* x, double* values) override;
    const Fused& rig() const { return rig_; }

private:
    Fused rig_;
    Pattern pattern_;
    std::vector<std::uint32_t> group_;  // of each column: columns of a group share no row
    std::uint32_t groups_ = 0;
};

/// Absolute tolerances from the nominal sizes of the states in the fused order.
std::vector<double> fused_tolerances(double rtol);

struct Trace {
    std::vector<double> time, temperature, pressure;
    Integrator::Statistics statistics{};
};
/// One whole pull with charge temperature and manifold pressure at every report point; `integrator` is reused.
/// `charge(t, x, temperature, pressure)` reads them off an interpolated state.
template <class Charge>
Trace pull(Integrator& integrator, const std::vector<double>& x0, const Parameters& p, Charge&& charge) {
    const auto points = static_cast<std::size_t>(p["points"]);
    const double duration = p["duration"];
    Trace trace;
    trace.time.resize(points + 1), trace.temperature.resize(points + 1), trace.pressure.resize(points + 1);
    std::vector<double> x(x0);
    std::size_t next = 0;
    const auto due = [&] { return duration * static_cast<double>(next) / static_cast<double>(points); };
    const auto report = [&] {
        const double t = trace.time[next] = due();
        if (next > 0) integrator.interpolate(t, x.data());
        charge(t, x.data(), trace.temperature[next], trace.pressure[next]);
        ++next;
    };
    report();
    integrator.start(0, x0.data());
    integrator.advance(duration, [&](double reached) {
        while (next <= points && due() <= reached) report();
    });
    trace.statistics = integrator.statistics();
    return trace;
}

/// A network ready to be pulled again and again.
class ComponentPull {
public:
    ComponentPull(const Network& network, const Parameters& p, double rtol, bool stock = false);
    Trace run();

private:
    const Parameters& parameters_;
    RigSystem system_;
    std::vector<double> start_, row_;
    std::size_t temperature_, pressure_;  // channels
    std::unique_ptr<Integrator> integrator_;
};
class FusedPull {
public:
    FusedPull(const Parameters& p, double rtol, bool stock = false);
    Trace run();

private:
    const Parameters& parameters_;
    FusedSystem system_;
    std::vector<double> start_;
    std::unique_ptr<Integrator> integrator_;
};

}  // namespace pullcast::reference

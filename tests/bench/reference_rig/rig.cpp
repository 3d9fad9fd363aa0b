#include "rig.hpp"

#include <algorithm>

namespace pullcast::reference {
namespace {

using Connections = std::map<std::string, std::string>;

/// A component with every parameter of its schema that parameters.csv knows; `own` goes before those.
ComponentSpec part(const Registry& registry, const Parameters& p, const std::string& name, const std::string& type,
                   Connections connections, std::map<std::string, ParameterValue> own = {}) {
    ComponentSpec spec{name, registry.find("reference." + type), std::move(own), std::move(connections)};
    if (!spec.type) throw std::runtime_error("no type reference." + type);
    for (std::uint32_t k = 0; k < spec.type->field_count; ++k) {
        const Field& f = spec.type->fields[k];
        if (f.kind == Kind::number && !spec.parameters.count(f.name)) spec.parameters[f.name] = p[f.name];
    }
    return spec;
}

std::size_t channel(const Network& network, const std::string& name) {
    const auto& all = network.channels();
    const auto found = std::find_if(all.begin(), all.end(), [&](const Channel& c) { return c.name == name; });
    if (found == all.end()) throw std::runtime_error("no channel " + name);
    return static_cast<std::size_t>(found - all.begin());
}

Integrator::Options options(double rtol, std::vector<double> atol, bool stock) {
    Integrator::Options o;
    o.rtol = rtol, o.atol = std::move(atol), o.stock = stock;
    return o;
}

}  // namespace

Network compile_rig(const Registry& registry, const Parameters& p) {
    const auto volume = [&](const std::string& name) {
        return part(registry, p, name, "volume", {}, {{"volume", p[name + "_volume"]}});
    };
    RigSpec rig;
    rig.components = {
        part(registry, p, "ambient", "ambient", {}),
        volume("duct"),
        volume("lid"),
        volume("manifold"),
        part(registry, p, "throttle", "throttle", {{"from", "ambient.air"}, {"to", "duct.gas"}}),
        part(registry, p, "blower", "blower", {{"from", "duct.gas"}, {"to", "lid.gas"}, {"crank", "crank.shaft"}}),
        part(registry, p, "cooler", "cooler",
             {{"from", "lid.gas"}, {"to", "manifold.gas"}, {"coolant", "loop.coolant"}}),
        part(registry, p, "loop", "coolant", {{"outside", "ambient.air"}}),
        part(registry, p, "engine", "engine", {{"manifold", "manifold.gas"}, {"crank", "crank.shaft"}}),
        part(registry, p, "crank", "crank", {}),
        part(registry, p, "sensor", "sensor", {{"at", "manifold.gas"}}),
    };
    return Network(rig);
}

// ---- fused ----------------------------------------------------------------------------------------------------

FusedSystem::FusedSystem(const Parameters& p)
    : rig_(p),
      pattern_({{0, 1, 2, 3, 10}, {0, 1, 2, 3, 10}, {0, 1, 2, 3, 4, 5, 10}, {0, 1, 2, 3, 4, 5, 10},
                {2, 3, 4, 5, 6, 7, 10}, {2, 3, 4, 5, 6, 7, 10}, {2, 3, 4, 5, 6, 8}, {2, 3, 4, 5, 6, 7, 8}, {6, 7, 8, 9},
                {8, 9}, {0, 1, 2, 3, 4, 5, 10}, {4, 5, 11}},
               Fused::size),
      group_(colour_columns(pattern_, Fused::size)),
      groups_(1 + *std::max_element(group_.begin(), group_.end())) {
    if (groups_ > dual_width) throw std::logic_error("more colours than lanes");
}

bool FusedSystem::derivative(double t, const double* x, double* dx) {
    rig_.rates(t, x, dx);
    double sum = 0;
    for (std::size_t i = 0; i < Fused::size; ++i) sum += dx[i];
    return std::isfinite(sum);
}

bool FusedSystem::jacobian(double t, const double* x, double* values) {
    Dual seeded[Fused::size], rate[Fused::size];
    for (std::size_t i = 0; i < Fused::size; ++i) seeded[i] = x[i], seeded[i].d[group_[i]] = 1;
    rig_.rates(t, seeded, rate);
    for (std::uint32_t r = 0; r < Fused::size; ++r)
        for (auto k = pattern_.start[r]; k < pattern_.start[r + 1]; ++k)
            values[k] = rate[r].d[group_[pattern_.column[k]]];
    return true;
}

std::vector<double> fused_tolerances(double rtol) {
    std::vector<double> atol{1e-3, 100, 1e-3, 100, 1e-3, 100, 300, 300, 300, 300, 100, 300};
    for (double& a : atol) a *= rtol;
    return atol;
}

// ---- pulls ----------------------------------------------------------------------------------------------------

ComponentPull::ComponentPull(const Network& network, const Parameters& p, double rtol, bool stock)
    : parameters_(p), system_(network, std::nullopt), start_(network.size()),
      row_(network.channels().size()), temperature_(channel(network, "manifold.gas.T")),
      pressure_(channel(network, "manifold.gas.p")) {
    network.start(start_.data());
    std::vector<double> atol(network.nominal());
    for (double& a : atol) a *= rtol;
    integrator_ = std::make_unique<Integrator>(system_, options(rtol, std::move(atol), stock));
}

Trace ComponentPull::run() {
    return pull(*integrator_, start_, parameters_, [&](double t, const double* x, double& temperature, double& p) {
        system_.record(t, x, row_.data());
        temperature = row_[temperature_], p = row_[pressure_];
    });
}

FusedPull::FusedPull(const Parameters& p, double rtol, bool stock) : parameters_(p), system_(p), start_(Fused::size) {
    system_.rig().start(start_.data());
    integrator_ = std::make_unique<Integrator>(system_, options(rtol, fused_tolerances(rtol), stock));
}

Trace FusedPull::run() {
    const Fused& rig = system_.rig();
    double rates[Fused::size];
    return pull(*integrator_, start_, parameters_, [&](double t, const double* x, double& temperature, double& p) {
        rig.rates(t, x, rates);  // all quantities at the report point, as the network computes them
        asm volatile("" : : "r"(rates) : "memory");  // also where nobody reads them
        temperature = rig.temperature(x), p = rig.pressure(x);
    });
}

}  // namespace pullcast::reference

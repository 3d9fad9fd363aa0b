// Figures on the small reference rig: the framework's own cost, and other solvers on the same equations.
#include <fmt/format.h>
#include <sys/wait.h>

#include <cstdio>
#include <cstdlib>

#include "component/allocation_count.hpp"
#include "figure.hpp"
#include "reference_rig/direct.hpp"
#include "reference_rig/rig.hpp"

namespace pullcast::bench {
namespace {

using namespace reference;

const std::string folder = std::string(PULLCAST_SOURCE) + "/tests/bench/reference_rig/";
constexpr double rtol = 1e-6;

struct Rig {
    Parameters parameters{folder + "parameters.csv"};
    Registry registry;
    explicit Rig(const char* plugin = PULLCAST_REFERENCE_PLUGIN) { registry.load(plugin, Registry::Trust::own); }
    Network compile() const { return compile_rig(registry, parameters); }
};

/// The first number that a command prints; negative where it cannot be run.
double printed_number(const std::string& command) {
    FILE* out = popen((command + " 2>/dev/null").c_str(), "r");
    if (!out) return -1;
    double number = -1;
    const bool read = std::fscanf(out, "%lf", &number) == 1;
    char rest[256];
    while (std::fgets(rest, sizeof rest, out)) {
    }
    pclose(out);
    return read ? number : -1;
}

std::string milliseconds(double s) { return fmt::format("{:.0f} ms", 1e3 * s); }

/// The rates in rising order: a network numbers its states in an order of its own.
std::vector<double> sorted(const double* begin, std::size_t n) {
    std::vector<double> all(begin, begin + n);
    std::sort(all.begin(), all.end());
    return all;
}

int overhead(const Rig& rig, const Network& network) {
    Workspace<double> w(network);
    network.start(w.x.data());
    w.arena.t = 0.2;
    Direct direct(rig.parameters);
    direct.rates(0.2);
    if (!network.evaluate(w)) throw std::runtime_error("the reference rig rejects its own start");
    const auto a = sorted(w.dx.data(), network.size()), b = sorted(direct.dx, network.size());
    for (std::size_t k = 0; k < a.size(); ++k)  // equal but for the order in which a node's flows are summed
        if (!(std::fabs(a[k] - b[k]) <= 1e-9 * (1 + std::fabs(a[k]))))
            throw std::runtime_error("direct calls give other rates than the network");
    const auto [whole, plain] = compare([&] { network.evaluate(w); }, [&] { direct.rates(0.2); });
    return !report("right-hand side / the same kernels called directly", whole / plain, "", Bound::at_most, 1.10,
                   fmt::format("{:.0f} ns / {:.0f} ns, 12 states", 1e9 * whole, 1e9 * plain));
}

int allocations(const Rig& rig, const Network& network) {
    Workspace<double> w(network);
    Workspace<Dual> dual(network);
    network.start(w.x.data());
    for (std::size_t k = 0; k < network.size(); ++k) dual.x[k] = w.x[k];
    auto before = test::allocation_count();
    for (int k = 0; k < 100; ++k) network.evaluate(w), network.evaluate(dual);
    const auto per_evaluation = static_cast<double>(test::allocation_count() - before) / 200;

    RigSystem system(network, std::nullopt);
    Integrator::Options options;
    for (const double nominal : network.nominal()) options.atol.push_back(rtol * nominal);
    Integrator integrator(system, options);
    std::uint64_t made = 0;
    double steps = 0;
    for (int run = 0; run < 2; ++run) {  // the first one settles
        integrator.start(0, w.x.data());
        before = test::allocation_count();
        const auto steps_before = integrator.statistics().steps;
        integrator.advance(rig.parameters["duration"]);
        made = test::allocation_count() - before;
        steps = static_cast<double>(integrator.statistics().steps - steps_before);
    }
    return !report("allocations per right-hand side", per_evaluation, "", Bound::at_most, 0, "double and dual") +
           !report("allocations per step", static_cast<double>(made) / steps, "", Bound::at_most, 0,
                   fmt::format("{:.0f} steps", steps));
}

int against_fused(const Rig& rig, const Network& network) {
    ComponentPull components(network, rig.parameters, rtol);
    FusedPull fused(rig.parameters, rtol);
    const auto [ours, by_hand] = compare([&] { components.run(); }, [&] { fused.run(); });
    return !report("whole pull: components / fused by hand", ours / by_hand, "", Bound::at_most, 1.15,
                   fmt::format("{:.0f} us / {:.0f} us", 1e6 * ours, 1e6 * by_hand));
}

int against_other_solvers(const Rig& rig, const Network& network) {
    ComponentPull ours(network, rig.parameters, rtol), stock(network, rig.parameters, rtol, true);
    const auto [t, t_stock] = compare([&] { ours.run(); }, [&] { stock.run(); });
    int missed = !report("whole pull: stock solver, dense differences / ours", t_stock / t, "", Bound::at_least, 5,
                         fmt::format("{:.0f} us / {:.0f} us, the distribution's SUNDIALS", 1e6 * t_stock, 1e6 * t));
    const std::string files = "'" + folder + "parameters.csv' 1e-6";
    if (const double s = printed_number("/usr/bin/python3 '" + folder + "reference_rig.py' " + files); s > 0)
        missed += !report("whole pull: SciPy BDF / ours", s / t, "", Bound::at_least, 50, milliseconds(s));
    else
        skip("whole pull: SciPy BDF / ours", "python3-scipy is not installed");
    const std::string octave = "octave --no-gui --quiet --norc '" + folder + "reference_rig.m' ";
    if (const double s = printed_number(octave + files); s > 0)
        missed += !report("whole pull: Octave ode15s / ours", s / t, "", Bound::at_least, 1000, milliseconds(s));
    else
        skip("whole pull: Octave ode15s / ours", "octave is not installed");
    return missed;
}

/// Steps of one pull with components built with other flags (reassociated and contracted arithmetic), at 1e-5 and 1e-6.
int step_counts(const Rig& rig, const Network& network) {
    const Rig other(PULLCAST_REFERENCE_PLUGIN_OTHER_FLAGS);
    const Network network_other = other.compile();
    double most = 0;
    std::string note;
    for (const double tolerance : {1e-5, 1e-6}) {
        const auto a = ComponentPull(network, rig.parameters, tolerance).run().statistics.steps;
        const auto b = ComponentPull(network_other, rig.parameters, tolerance).run().statistics.steps;
        most = std::max(most, std::fabs(static_cast<double>(b) / static_cast<double>(a) - 1));
        note += fmt::format("{} and {} steps at {:g}  ", a, b, tolerance);
    }
    return !report("step count over two sets of build flags: difference", 100 * most, "%", Bound::at_most, 5, note);
}

}  // namespace

int reference_figures() {
    const Rig rig;
    const Network network = rig.compile();
    return overhead(rig, network) + allocations(rig, network) + against_fused(rig, network) +
           against_other_solvers(rig, network) + step_counts(rig, network);
}

}  // namespace pullcast::bench

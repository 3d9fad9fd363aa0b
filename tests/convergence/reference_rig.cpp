// The small reference rig, written three times: components through the network and the integrator, one fused right-hand
// side, and SciPy (reference_rig.py, Radau at rtol 1e-10, run here). Charge temperature and pressure over the whole
// pull agree within 1e-4 relative. Outside the project: SciPy's solve_ivp.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <sstream>

#include "bench/reference_rig/rig.hpp"

namespace reference_rig_tests {

using namespace pullcast;
using namespace pullcast::reference;

const std::string folder = std::string(PULLCAST_SOURCE) + "/tests/bench/reference_rig/";

struct ReferenceRig : testing::Test {
    Parameters parameters{folder + "parameters.csv"};
    Registry registry;
    ReferenceRig() { registry.load(PULLCAST_REFERENCE_PLUGIN, Registry::Trust::own); }
};

/// Largest relative differences of temperature and pressure between two traces.
std::array<double, 2> difference(const Trace& a, const Trace& b) {
    std::array<double, 2> most{};
    for (std::size_t k = 0; k < a.time.size(); ++k) {
        most[0] = std::max(most[0], std::fabs(a.temperature[k] / b.temperature[k] - 1));
        most[1] = std::max(most[1], std::fabs(a.pressure[k] / b.pressure[k] - 1));
    }
    return most;
}

/// What SciPy says; false where it is not installed.
bool scipy_trace(Trace& trace) {
    const std::string command = "/usr/bin/python3 '" + folder + "reference_rig.py' '" + folder + "parameters.csv'";
    FILE* out = popen(command.c_str(), "r");
    if (!out) return false;
    char line[256];
    double t, temperature, pressure;
    while (std::fgets(line, sizeof line, out))
        if (std::sscanf(line, "%lf,%lf,%lf", &t, &temperature, &pressure) == 3) {
            trace.time.push_back(t), trace.temperature.push_back(temperature), trace.pressure.push_back(pressure);
        }
    const int status = pclose(out);
    if (WIFEXITED(status) && (WEXITSTATUS(status) == 77 || WEXITSTATUS(status) == 127)) return false;
    EXPECT_EQ(status, 0) << command;
    return true;
}

TEST_F(ReferenceRig, agrees_with_scipy_within_1e_4_over_the_whole_pull) {
    Trace scipy;
    if (!scipy_trace(scipy)) GTEST_SKIP() << "python3-scipy is not installed";
    const Network network = compile_rig(registry, parameters);
    const Trace ours = ComponentPull(network, parameters, 1e-6).run();
    ASSERT_EQ(ours.time.size(), scipy.time.size());
    for (std::size_t k = 0; k < ours.time.size(); ++k) ASSERT_NEAR(ours.time[k], scipy.time[k], 1e-12);
    const auto [temperature, pressure] = difference(ours, scipy);
    EXPECT_LT(temperature, 1e-4);
    EXPECT_LT(pressure, 1e-4);
    // Something happens in this pull: without that the agreement would mean little.
    EXPECT_GT(scipy.temperature.back(), scipy.temperature.front() + 20);
    EXPECT_GT(scipy.pressure.back(), 1.5 * scipy.pressure.front());
    RecordProperty("temperature", std::to_string(temperature));
    RecordProperty("pressure", std::to_string(pressure));
}

TEST_F(ReferenceRig, components_give_the_rates_of_the_fused_right_hand_side) {
    const Network network = compile_rig(registry, parameters);
    ASSERT_EQ(network.state_count(), Fused::size);
    const std::vector<std::string> order{"duct.mass",     "duct.energy",    "lid.mass",       "lid.energy",
                                         "manifold.mass", "manifold.energy", "cooler.wall[0]", "cooler.wall[1]",
                                         "loop.core",     "loop.reservoir", "crank.speed",    "sensor.reading"};
    std::vector<std::size_t> at;
    for (const auto& name : order) {
        const auto found = std::find(network.names().begin(), network.names().end(), name);
        ASSERT_NE(found, network.names().end()) << name;
        at.push_back(static_cast<std::size_t>(found - network.names().begin()));
    }
    const Fused fused(parameters);
    double x[Fused::size], dx[Fused::size];
    fused.start(x);
    for (std::size_t k = 0; k < Fused::size; ++k) x[k] *= 1 + 0.03 * std::sin(1.0 + 2.0 * static_cast<double>(k));
    fused.rates(0.2, x, dx);
    Workspace<double> w(network);
    for (std::size_t k = 0; k < Fused::size; ++k) w.x[at[k]] = x[k];
    w.arena.t = 0.2;
    ASSERT_TRUE(network.evaluate(w));
    for (std::size_t k = 0; k < Fused::size; ++k) EXPECT_NEAR(w.dx[at[k]], dx[k], 1e-10 * std::fabs(dx[k])) << order[k];
}

TEST_F(ReferenceRig, error_falls_with_the_tolerance) {
    const Network network = compile_rig(registry, parameters);
    const Trace exact = ComponentPull(network, parameters, 1e-11).run();
    double before = 1;
    for (const double rtol : {1e-4, 1e-6, 1e-8}) {
        const auto error = difference(ComponentPull(network, parameters, rtol).run(), exact);
        const double most = std::max(error[0], error[1]);
        EXPECT_LT(most, 50 * rtol) << rtol;
        EXPECT_LT(most, before / 10) << rtol;
        before = most;
    }
}

TEST_F(ReferenceRig, a_reused_integrator_repeats_itself_to_the_last_bit) {
    const Network network = compile_rig(registry, parameters);
    ComponentPull again(network, parameters, 1e-6);
    const Trace first = again.run(), second = again.run();
    EXPECT_EQ(first.temperature, second.temperature);
    EXPECT_EQ(first.pressure, second.pressure);
}

}  // namespace reference_rig_tests

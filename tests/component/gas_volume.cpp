// Volumes against closed solutions: blow-down, heating, filling.
#include <gtest/gtest.h>

#include <pullcast/media/moist_air.hpp>

#include "bench.hpp"
#include "rk4.hpp"

namespace gas_volume_tests {

using namespace pullcast;
using namespace pullcast::test;

Bench volume(const std::string& model, double litres, double p, double T, double w = 0) {
    Bench b(builtin(model));
    b.set("volume", 1e-3 * litres).set("start_pressure", p).set("start_temperature", T).set("start_humidity", w);
    b.set("start_wall_temperature", T);
    return b;
}

/// Advances a bench in which `feed` sets injected flows from the potentials that the states give.
template <class Feed>
void run(Bench& b, double end, double dt, Feed feed) {
    const std::size_t n = b.state_count();
    std::vector<double> x(b.states().begin(), b.states().begin() + static_cast<std::ptrdiff_t>(n));
    const auto load = [&](const std::vector<double>& y) {
        for (std::size_t i = 0; i < n; ++i) *b.inputs()[i].at = y[i];
        b.evaluate();
    };
    const auto rates = [&](double, const std::vector<double>& y) {
        load(y);
        feed(b);
        b.evaluate();
        return std::vector<double>(b.rates().begin(), b.rates().begin() + static_cast<std::ptrdiff_t>(n));
    };
    const int steps = static_cast<int>(std::lround(end / dt));
    for (int k = 0; k < steps; ++k) rk4(x, k * dt, dt, rates);
    load(x);
}

/// Choked flow through CdA = 1e-5 m^2 out of the volume.
constexpr double area = 1e-5, choked = 0.684731;  // Psi* of gamma 1.4, computed from Heywood App. C
struct Orifice {
    Bench b{builtin("gas.throttle_slide")};
    Orifice() {
        b.set("open_area", area - 1e-9).set("discharge_coefficient", 1).set("leak_area", 1e-9);
        b.set("linear_below", 1e-5);
        if (b.prepare().why) throw std::runtime_error("prepare");
        b.time = 10;
    }
    void operator()(Bench& v) {
        b.gas("from") = v.gas("gas");
        b.gas("to") = media::gas_state(100.0, v.gas("gas").T, 0.0);  // as warm as inside: equal enthalpies
        b.evaluate();
        v.inject<Gas>("gas") = b.flow_into<Gas>("from");
    }
};

TEST(GasVolume, starts_at_the_stated_state) {
    Bench b = volume("gas.volume", 3, 1.3e5, 330, 0.012);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.evaluate();
    EXPECT_NEAR(b.gas("gas").p, 1.3e5, 1e-5);
    EXPECT_NEAR(b.gas("gas").T, 330, 1e-8);
    EXPECT_NEAR(b.gas("gas").w, 0.012, 1e-15);
    EXPECT_EQ(b.heat("wall").T, 330);
    EXPECT_NEAR(b.stored().gas, 1.3e5 * 3e-3 / (media::gas_constant(0.012) * 330), 1e-15);
    EXPECT_NEAR(b.stored().water, 0.012 * b.stored().gas, 1e-15);
}

// Adiabatic choked blow-down of a perfect gas (gas dynamics textbooks, from memory):
// m / m0 = (1 + (g-1)/2 Psi* CdA sqrt(R T0) t / V)^(-2/(g-1)), T / T0 = (m / m0)^(g-1), g = 1.4.
TEST(GasVolume, adiabatic_blow_down) {
    Bench b = volume("gas.volume_adiabatic", 3, 8e5, 300);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    const double m0 = b.state("mass"), t = 1.5;
    run(b, t, 2e-3, Orifice{});
    const double k = 0.2 * choked * area * std::sqrt(media::gas_constant(0.0) * 300) / 3e-3;
    const double m = m0 * std::pow(1 + k * t, -5);
    EXPECT_LT(m, 0.6 * m0);  // far enough to mean something
    EXPECT_NEAR(b.state("mass"), m, 5e-4 * m);                                      // real air: g 1.400 .. 1.401
    EXPECT_NEAR(b.gas("gas").T, 300 * std::pow(m / m0, 0.4), 0.15);
    const double isentropic = media::isentropic_temperature(300.0, b.gas("gas").p / 8e5, 0.0);
    EXPECT_NEAR(b.gas("gas").T, isentropic, 1e-6);  // what stays inside keeps its entropy, whatever cp does
}

// Isothermal choked blow-down: m = m0 exp(-Psi* CdA sqrt(R T) t / V).
TEST(GasVolume, isothermal_blow_down_along_a_strong_wall) {
    Bench b = volume("gas.volume", 3, 8e5, 300);
    b.set("wall_conductance", 1e4).set("wall_heat_capacity", 1e6);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    const double m0 = b.state("mass"), t = 1;
    run(b, t, 5e-4, Orifice{});
    const double m = m0 * std::exp(-choked * area * std::sqrt(media::gas_constant(0.0) * 300) / 3e-3 * t);
    EXPECT_NEAR(b.state("mass"), m, 5e-4 * m);
    EXPECT_NEAR(b.gas("gas").T, 300, 0.2);
}

// Closed volume along a wall that keeps its temperature: dT = dT0 exp(-G t / (m cv)).
TEST(GasVolume, heating_by_the_wall) {
    Bench b = volume("gas.volume", 3, 1e5, 300);
    b.set("wall_conductance", 4).set("wall_heat_capacity", 1e6).set("start_wall_temperature", 302);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    const double m = b.state("mass"), cv = media::specific_heat(301.0, 0.0) - media::gas_constant(0.0);
    run(b, 1, 5e-3, [](Bench&) {});
    EXPECT_NEAR(302 - b.gas("gas").T, 2 * std::exp(-4 / (m * cv)), 2e-4);
    EXPECT_EQ(b.state("mass"), m);
}

TEST(GasVolume, wall_and_gas_share_their_heat) {
    Bench b = volume("gas.volume", 3, 1e5, 300);
    b.set("wall_conductance", 8).set("wall_heat_capacity", 20).set("start_wall_temperature", 350);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    const double before = b.stored().energy;
    run(b, 20, 5e-3, [](Bench&) {});
    EXPECT_NEAR(b.stored().energy, before, 1e-9 * std::fabs(before));
    EXPECT_NEAR(b.gas("gas").T, b.heat("wall").T, 1e-6);
}

// An adiabatic volume filled from a large reservoir at T0 through anything: U gained = h0 times the mass gained; from
// near vacuum T -> gamma T0 (thermodynamics textbooks; 1.4 * 300 = 420 K for constant cp, less as cp rises).
TEST(GasVolume, filling_an_empty_vessel_heats_the_gas) {
    Bench b = volume("gas.volume_adiabatic", 3, 1e3, 300);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    const auto source = media::gas_state(1e5, 300.0, 0.0);
    run(b, 1, 1e-3, [&](Bench& v) { v.inject<Gas>("gas") = {2e-3, 2e-3 * source.h, 0}; });
    const double m = b.state("mass"), m1 = m - 2e-3;
    const double u = (m1 * media::internal_energy(300.0, 0.0) + 2e-3 * source.h) / m;
    EXPECT_NEAR(b.gas("gas").T, media::temperature_of_energy(u, 0.0), 1e-8);
    EXPECT_NEAR(b.gas("gas").T, 420, 4);
}

TEST(GasVolume, adiabatic_wall_leaves_the_gas_alone_but_stores_heat) {
    Bench b = volume("gas.volume_adiabatic", 3, 1e5, 300);
    b.set("wall_heat_capacity", 500).set("start_wall_temperature", 400);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.inject<Heat>("wall") = {50};
    b.evaluate();
    EXPECT_EQ(b.rate("energy"), 0);
    EXPECT_EQ(b.rate("wall_temperature"), 0.1);
    EXPECT_EQ(b.account("heat_to_wall"), 0);
}

TEST(GasVolume, rejects_an_impossible_state) {
    Bench b = volume("gas.volume", 3, 1e5, 300);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.state("mass") = -1e-6;
    b.evaluate();
    EXPECT_STREQ(b.rejected(), "gas mass");
    b.start();
    b.state("energy") = -1e3;
    b.evaluate();
    EXPECT_STREQ(b.rejected(), "gas temperature");
}

}  // namespace gas_volume_tests

// Hoses: transport against tanks in series, friction against published values, heat loss against its closed form.
#include <gtest/gtest.h>

#include <numbers>
#include <pullcast/media/coolant.hpp>

#include "bench_run.hpp"

namespace coolant_hose_tests {

using namespace pullcast;
using namespace pullcast::test;

const media::CoolantMix mix = media::coolant(0.5);
constexpr double length = 1.5, bore = 0.019, cold = 300, hot = 320, m = 0.35;
const double area = std::numbers::pi * bore * bore / 4;

Bench hose(const char* model, int cells, bool insulated = true) {
    Bench b(builtin(model));
    b.set("length", length).set("bore", bore).set("start_flow", m).set("flow_width", 1e-6);
    if (cells) b.set("cells", cells).set("start_temperature", cold);
    if (insulated) b.disconnect("surroundings");
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    b.coolant("from") = b.coolant("to") = {1e5, cold, mix.h(cold)};
    return b;
}
/// The pressures that keep the flow as it is.
void hold_flow(Bench& b) {
    b.coolant("from").p = b.coolant("to").p = 1e5;
    b.evaluate();
    b.coolant("from").p += b.output("pressure_drop");
}
double coolant_mass() { return mix.rho(cold) * area * length; }
double cell_enthalpy(Bench& b, int cells, std::size_t k) { return b.state("energy", k) / (coolant_mass() / cells); }

// A step of inlet enthalpy through N stirred cells: 1 - sum of (N tau)^k/k! exp(-N tau), tau = m t/M (Erlang).
TEST(CoolantHose, step_comes_out_as_tanks_in_series) {
    for (const int cells : {1, 4, 10}) {
        Bench b = hose("coolant.hose", cells);
        const double residence = coolant_mass() / m;
        for (const double end : {0.5, 1.0, 1.5}) {
            b.start();
            advance(b, end * residence, 1e-3 * residence, [&](double) {
                hold_flow(b);
                b.coolant("from").T = hot, b.coolant("from").h = mix.h(hot);
            });
            double term = 1, tail = 0;
            for (int k = 0; k < cells; ++k) tail += term, term *= cells * end / (k + 1);
            const double exact = 1 - tail * std::exp(-cells * end);
            const double last = cell_enthalpy(b, cells, static_cast<std::size_t>(cells - 1));
            const double share = (last - mix.h(cold)) / (mix.h(hot) - mix.h(cold));
            EXPECT_NEAR(share, exact, 1e-5) << cells << " cells, " << end;
        }
    }
}

TEST(CoolantHose, pulse_area_is_energy_gained_and_leaves_whole) {
    constexpr int cells = 6;
    Bench b = hose("coolant.hose", cells);
    const double residence = coolant_mass() / m, pulse = 0.2 * residence, before = b.stored().energy;
    double T_in = hot;
    const auto feed = [&](double) {
        hold_flow(b);
        b.coolant("from").T = T_in, b.coolant("from").h = mix.h(T_in);
    };
    advance(b, pulse, 1e-3 * residence, feed);
    const double gained = m * pulse * (mix.h(hot) - mix.h(cold));
    const double left = b.stored().energy - before;
    EXPECT_GT(left, 0.98 * gained);  // little has come out yet
    T_in = cold;
    double out = 0;  // the pulse at the outlet, midpoint rule
    for (int k = 0; k < 4000; ++k) {
        advance(b, 1e-3 * residence, 1e-3 * residence, feed);
        out += m * (cell_enthalpy(b, cells, cells - 1) - mix.h(cold)) * 1e-3 * residence;
    }
    EXPECT_NEAR(out + (gained - left), gained, 2e-4 * gained);
    EXPECT_NEAR(b.stored().energy, before, 1e-5 * gained);
}

TEST(CoolantHose, runs_backwards_as_forwards) {
    constexpr int cells = 5;
    Bench a = hose("coolant.hose", cells), b = hose("coolant.hose", cells);
    b.state("mass_flow") = -m;
    a.coolant("from") = b.coolant("to") = {1e5, hot, mix.h(hot)};
    a.evaluate(), b.evaluate();
    for (std::size_t k = 0; k < cells; ++k) EXPECT_NEAR(a.rate("energy", k), b.rate("energy", cells - 1 - k), 1e-6);
    EXPECT_NEAR(a.rate("mass_flow"), -b.rate("mass_flow"), 1e-12);
}

// Hagen-Poiseuille exactly below Re 2300; Blasius f = 0.031640 at Re 1e4 (value of the `fluids` Python library).
TEST(CoolantHose, friction_is_laminar_then_blasius) {
    for (const char* model : {"coolant.hose", "coolant.hose_short"}) {
        Bench b(builtin(model));
        b.set("length", length).set("bore", bore).set("fittings", 0).set("flow_width", 1e-6);
        b.disconnect("surroundings");
        ASSERT_EQ(b.prepare().why, nullptr);
        b.start();
        const double T = 298.15, mu = mix.mu(T), rho = mix.rho(T);
        b.coolant("from") = b.coolant("to") = {1e5, T, mix.h(T)};
        const auto drop = [&](double Re) {
            b.state("mass_flow") = Re * std::numbers::pi * bore * mu / 4;
            b.evaluate();
            EXPECT_NEAR(b.rate("mass_flow"), -b.output("pressure_drop") * area / length, 1e-9);
            const double speed = b.state("mass_flow") / (rho * area);
            return b.output("pressure_drop") / (length / bore * 0.5 * rho * speed * speed);  // Darcy f
        };
        EXPECT_NEAR(drop(1000), 64.0 / 1000, 1e-7);
        EXPECT_NEAR(drop(2300), 64.0 / 2300, 1e-7);
        EXPECT_NEAR(drop(1e4), 0.031640, 2e-6);
        EXPECT_NEAR(drop(5e4), 0.021159, 2e-6);
        EXPECT_NEAR(drop(-1e4), -0.031640, 2e-6);
    }
}

// N stirred cells: (T_out - Ts)/(T_in - Ts) = (1 + UA/(N m cp))^-N.
TEST(CoolantHose, loses_heat_as_its_closed_form) {
    constexpr int cells = 4;
    constexpr double Ts = 280;
    Bench b(builtin("coolant.hose"));
    b.set("length", length).set("bore", bore).set("start_flow", m).set("cells", cells).set("loss", 40);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.coolant("from") = b.coolant("to") = {1e5, 281, mix.h(281.0)};  // 1 K: cp as good as constant
    b.heat("surroundings").T = Ts;
    b.evaluate();
    b.coolant("to").p -= b.output("pressure_drop");
    settle(b);
    const double NTU = 40 * length / (b.state("mass_flow") * mix.cp(281.0)), ratio = std::pow(1 + NTU / cells, -cells);
    EXPECT_NEAR(b.output("outlet_temperature") - Ts, ratio, 1e-4);
    const double taken = -b.flow_into<Coolant>("from").H - b.flow_into<Coolant>("to").H;
    EXPECT_NEAR(b.flow_into<Heat>("surroundings").Q, taken, 1e-6);
}

TEST(CoolantHoseShort, takes_its_heat_loss_from_both_ends) {
    Bench b = hose("coolant.hose_short", 0, false);
    b.heat("surroundings").T = 280;
    b.evaluate();
    const double Q = 0.8 * length * 20;
    EXPECT_NEAR(b.flow_into<Heat>("surroundings").Q, Q, 1e-9);
    EXPECT_NEAR(b.flow_into<Coolant>("from").H, -m * mix.h(cold) - Q / 2, 1e-6);
    EXPECT_NEAR(b.flow_into<Coolant>("to").H, m * mix.h(cold) - Q / 2, 1e-6);
}

}  // namespace coolant_hose_tests

// Breathing: volumetric efficiency, residual gas, charge heating, Mach index, evaporation, back pressure.
#include <gtest/gtest.h>

#include <numbers>
#include <pullcast/media/fuel.hpp>
#include <pullcast/media/moist_air.hpp>

#include "bench_run.hpp"

namespace engine_breathing_tests {

using namespace pullcast;
using namespace pullcast::test;

constexpr double displacement = 3e-3, pi = std::numbers::pi;

void attach(Bench& b, double p = 1e5, double T = 310, double omega = 400, double lambda = 0.85) {
    b.gas("manifold") = media::gas_state(p, T, 0.0);
    b.gas("ambient") = media::gas_state(1e5, 298.15, 0.0);
    b.shaft("crank").omega = omega;
    if (b.has_node("lambda")) b.signal("lambda").value = lambda;
    b.evaluate();
}
/// Everything but the effect under test switched off: no evaporation, no back pressure, VE_peak 1.
struct Physical : Bench {
    explicit Physical(double realised = 0, double back_pressure = 0, double afr = 14.7, double latent = 349e3)
        : Bench(builtin("engine.breathing_physical")) {
        set("displacement", displacement).set("bore", 0.092).set("stroke", 0.086).set("compression_ratio", 9.5);
        set("peak_efficiency", 1).set("realised_evaporation", realised).set("rated_back_pressure", back_pressure);
        set("fuel_afr", afr).set("fuel_latent_heat", latent).disconnect("metal");
        if (prepare().why) throw std::runtime_error("prepare");
    }
};

// Heywood eq. 6.2 worked at r 9.5, gamma 1.3 (equation from memory, values computed): 1.0000 and 1.0362.
TEST(EngineBreathingPhysical, residual_gas_follows_heywood) {
    Physical b;
    attach(b, 1e5);
    EXPECT_NEAR(b.output("residual_factor"), 1.0000, 5e-5);
    attach(b, 1e5 / 0.6);
    EXPECT_NEAR(b.output("residual_factor"), 1.0362, 5e-5);
}

// Air mass at constant pressure goes with T^-1/2 (Heywood 6.2.4, from memory), so VE with T^1/2.
TEST(EngineBreathingPhysical, air_mass_falls_with_the_root_of_temperature) {
    Physical b;
    attach(b, 1.5e5, 310, 1);  // at crawling speed: no Mach effect
    const double cool = b.signal("air").value;
    attach(b, 1.5e5, 360, 1);
    EXPECT_NEAR(b.signal("air").value / cool, std::sqrt(310.0 / 360), 1e-9);
}

TEST(EngineBreathingPhysical, hot_ports_cost_air) {
    Bench b(builtin("engine.breathing_physical"));
    b.set("displacement", displacement).set("bore", 0.092).set("stroke", 0.086).set("compression_ratio", 9.5);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.heat("metal").T = 363;
    attach(b);
    const double warm = b.signal("air").value;
    b.heat("metal").T = 393;
    attach(b);
    EXPECT_NEAR(b.signal("air").value / warm, 310 / (310 + 0.1 * 30), 5e-4);  // preset heating 0.1; rest: back pressure
}

// Taylor: VE nearly flat to Z 0.5 (0.80 to 0.85), about 0.55 at Z 1, so two thirds (from memory).
TEST(EngineBreathingPhysical, flow_chokes_with_the_mach_index) {
    Physical b;
    attach(b, 1e5, 310, 1);
    const double slow = b.output("volumetric_efficiency"), per_speed = b.output("mach_index");
    attach(b, 1e5, 310, 0.5 / per_speed);
    EXPECT_GT(b.output("volumetric_efficiency") / slow, 0.94);
    attach(b, 1e5, 310, 1.0 / per_speed);
    EXPECT_NEAR(b.output("volumetric_efficiency") / slow, 0.55 / 0.83, 0.02);
    // Z = (B/D)^2 / n Sp / (C_i a) by hand, a of air at 310 K 353 m/s
    EXPECT_NEAR(per_speed, 0.092 * 0.092 / (2 * 0.035 * 0.035) * (0.086 / pi) / (0.35 * 353.0), 2e-3 * per_speed);
}

// All fuel evaporated by the charge alone, stoichiometric: 21, 86 and 144 K (computed from US DOE AFDC
// properties with fuel vapour 1.7 kJ/(kg K)).
TEST(EngineBreathingPhysical, evaporation_cools_by_the_published_heats) {
    using Row = std::pair<media::Fuel, double>;
    for (const auto& [fuel, cooling] : {Row{media::gasoline, 21}, Row{media::ethanol, 86}, Row{media::methanol, 144}}) {
        Physical all(1, 0, fuel.stoichiometric_afr, fuel.latent_heat);
        Physical some(0.25, 0, fuel.stoichiometric_afr, fuel.latent_heat);
        attach(all, 1e5, 310, 400, 1), attach(some, 1e5, 310, 400, 1);
        EXPECT_NEAR(all.output("evaporation_cooling"), cooling, 0.5) << fuel.name;
        EXPECT_NEAR(some.output("evaporation_cooling"), 0.25 * cooling, 0.15);
    }
}

// Back pressure solves its quadratic: the published flow, put into Heywood's equation, gives itself.
TEST(EngineBreathingPhysical, back_pressure_and_flow_agree) {
    for (const double p : {3e4, 1e5, 1.8e5}) {
        Physical b(0, 40e3), free(0, 0);
        attach(b, p, 310, 600), attach(free, p, 310, 600);
        const double m = b.signal("air").value, p_e = b.signal("exhaust_pressure").value;
        EXPECT_NEAR(p_e, 1e5 + 40e3 * m * m / 0.09, 1e-6 * p_e);
        const double at = 9.5 / 8.5 - (p_e / p + 0.3) / (1.3 * 8.5), open = 9.5 / 8.5 - (1e5 / p + 0.3) / (1.3 * 8.5);
        EXPECT_NEAR(m / free.signal("air").value, at / open, 1e-5) << p;
    }
}

TEST(EngineBreathingPhysical, takes_what_it_publishes_out_of_the_manifold) {
    Physical b(0.25, 30e3);
    attach(b, 1.6e5, 330, 500);
    b.gas("manifold") = media::gas_state(1.6e5, 330.0, 0.01);
    b.evaluate();
    const double m = b.signal("air").value;
    EXPECT_NEAR(b.flow_into<Gas>("manifold").m, -m, 1e-15);
    EXPECT_NEAR(b.flow_into<Gas>("manifold").mw, -0.01 * m, 1e-15);
    EXPECT_NEAR(b.account("gas"), -m, 1e-15);
    EXPECT_NEAR(b.account("energy"), -m * b.gas("manifold").h, 1e-9);
}

TEST(EngineBreathing, nothing_moves_at_standstill) {
    Physical b(0.25, 30e3);
    attach(b, 2e4, 310, 0);  // deep vacuum: residual term at its floor
    EXPECT_EQ(b.signal("air").value, 0);
    EXPECT_NEAR(b.signal("exhaust_pressure").value, 1e5, 1e-9);
    EXPECT_GT(b.output("volumetric_efficiency"), 0);
}

TEST(EngineBreathingTable, flow_is_the_definition_of_volumetric_efficiency) {
    Bench b(builtin("engine.breathing_table"));
    b.set("displacement", displacement).set_map("table", {100, 700}, {3e4, 2e5}, {0.8, 0.9, 0.85, 0.95});
    b.disconnect("lambda").disconnect("metal");
    ASSERT_EQ(b.prepare().why, nullptr);
    attach(b, 2e5, 330, 700);
    const auto g = media::gas_state(2e5, 330.0, 0.0);
    // Heywood 2.10 (from memory): VE = 2 m / (rho Vd N), N in revolutions a second
    EXPECT_NEAR(2 * b.signal("air").value / (g.rho * displacement * 700 / (2 * pi)), 0.95, 3e-6);
    EXPECT_NEAR(b.output("ambient_volumetric_efficiency"), 0.95 * g.rho / b.gas("ambient").rho, 1e-5);
    EXPECT_EQ(b.output("table_distance"), 0);
    b.gas("manifold").p = 1e3, b.shaft("crank").omega = 3000;  // far outside: stays positive
    b.evaluate();
    EXPECT_GT(b.output("volumetric_efficiency"), 0.04);
    EXPECT_GT(b.output("table_distance"), 1);
}

}  // namespace engine_breathing_tests

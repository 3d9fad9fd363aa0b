// Engine heat: warm-up against exact exponentials, thermostat, soak paths.
#include <gtest/gtest.h>

#include "bench_run.hpp"

namespace engine_thermal_tests {

using namespace pullcast;
using namespace pullcast::test;

Bench thermal(const char* model, bool with_bay = false) {
    Bench b(builtin(model));
    b.set("start_temperature", 340).set("bay_conductance", 50);
    if (!with_bay) b.disconnect("bay");
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    b.heat("surroundings").T = 300;
    return b;
}

// Below the thermostat a lump falls towards its surroundings as exp(-t G/C).
TEST(EngineThermalLump, cools_exponentially_with_the_thermostat_shut) {
    Bench b = thermal("engine.thermal_lump");
    const double tau = 130e3 / 50;
    advance(b, tau, tau / 100, [](double) {});
    EXPECT_NEAR(b.heat("metal").T, 300 + 40 * std::exp(-1), 1e-6);
    EXPECT_EQ(b.heat("metal").T, b.heat("coolant").T);
}

TEST(EngineThermalLump, warms_by_the_heat_put_into_either_node) {
    Bench b = thermal("engine.thermal_lump");
    b.heat("surroundings").T = 340;
    b.inject<Heat>("metal").Q = 1300, b.inject<Heat>("coolant").Q = 1300;
    b.evaluate();
    EXPECT_NEAR(b.rate("lump"), 0.02, 1e-12);
}

// At rest heat in = UA of the open radiator + bay: T = Ts + Q / (UA + G).
TEST(EngineThermal, thermostat_opens_to_the_radiator) {
    for (const char* model : {"engine.thermal", "engine.thermal_lump"}) {
        Bench b(builtin(model));
        b.set("radiator_conductance", 1000).set("bay_conductance", 0).set("start_temperature", 375);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.start();
        b.heat("surroundings").T = 300;
        b.inject<Heat>("metal").Q = 80e3;
        settle(b);
        EXPECT_NEAR(b.heat("coolant").T, 380, 1e-9) << model;
        EXPECT_EQ(b.output("thermostat"), 1);
        EXPECT_NEAR(b.flow_into<Heat>("surroundings").Q, 80e3, 1e-6);
    }
}

TEST(EngineThermal, metal_runs_ahead_of_coolant_by_its_conductance) {
    Bench b = thermal("engine.thermal");
    b.inject<Heat>("metal").Q = 40e3;
    b.state("coolant_lump") = 361;  // Newton's start: within the thermostat's window
    settle(b);
    EXPECT_NEAR((b.heat("metal").T - b.heat("coolant").T) * 4000 + 50 * (b.heat("metal").T - 300), 40e3, 1e-6);
    EXPECT_GT(b.output("thermostat"), 0);
    EXPECT_LT(b.output("thermostat"), 1);  // it regulates within its window
}

TEST(EngineThermal, refuses_a_thermostat_that_opens_backwards) {
    Bench b(builtin("engine.thermal"));
    EXPECT_STREQ(b.set("opens_at", 370).set("open_at", 360).prepare().parameter, "open_at");
}

TEST(EngineSoakPath, conducts_both_ways) {
    Bench b(builtin("engine.soak_path"));
    ASSERT_EQ(b.set("conductance", 5).prepare().why, nullptr);
    b.heat("from").T = 370, b.heat("to").T = 320;
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Heat>("to").Q, 250, 1e-12);
    EXPECT_NEAR(b.flow_into<Heat>("from").Q, -250, 1e-12);
}

// Black surfaces of 1 m^2 at 400 and 300 K: s (T1^4 - T2^4) = 992.3 W, with s = 5.670374e-8 (CODATA).
TEST(EngineSoakPathAir, radiates_by_stefan_boltzmann) {
    Bench b(builtin("engine.soak_path_air"));
    ASSERT_EQ(b.set("area", 1).set("transfer_coefficient", 0).set("emissivity", 1).prepare().why, nullptr);
    b.heat("from").T = 400, b.heat("to").T = 300;
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Heat>("to").Q, 5.670374e-8 * (2.56e10 - 8.1e9), 1e-9);
    EXPECT_NEAR(b.output("heat"), 992.3, 0.1);
}

TEST(EngineThermal, metal_heats_the_bay_where_one_is_connected_and_else_its_surroundings) {
    for (const char* model : {"engine.thermal", "engine.thermal_lump"}) {
        Bench b = thermal(model, true), alone = thermal(model);
        b.heat("bay").T = 320;
        b.evaluate(), alone.evaluate();
        EXPECT_NEAR(b.flow_into<Heat>("bay").Q, 50 * (340 - 320), 1e-9) << model;
        EXPECT_NEAR(b.flow_into<Heat>("surroundings").Q, 0, 1e-9) << model;
        EXPECT_NEAR(alone.flow_into<Heat>("surroundings").Q, 50 * (340 - 300), 1e-9) << model;
    }
}

// At rest heat in = G (T - Ts); the time constant is C / G.
TEST(EngineBay, loses_heat_through_the_bonnet_and_to_the_draught) {
    const struct {
        const char* bonnet;
        double draught, conductance;
    } rows[] = {{"shut", 0, 20}, {"open", 0, 60}, {"shut", 3, 80}, {"open", 3, 120}};
    for (const auto& row : rows) {
        Bench b(builtin("engine.bay"));
        b.set("heat_capacity", 9e3).set("conductance_shut", 20).set("conductance_open", 60);
        b.set("draught_conductance", 20).set("draught", row.draught).set_choice("bonnet", row.bonnet);
        b.set("start_temperature", 300);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.start();
        b.heat("surroundings").T = 300, b.inject<Heat>("air").Q = 1200;
        const double tau = 9e3 / row.conductance;
        advance(b, tau, tau / 100, [](double) {});
        EXPECT_NEAR(b.heat("air").T, 300 + 1200 / row.conductance * (1 - std::exp(-1)), 1e-6) << row.bonnet;
    }
}

TEST(EngineBayOpen, is_at_the_temperature_of_the_air_and_hands_on_what_it_gets) {
    Bench b(builtin("engine.bay_open"));
    ASSERT_EQ(b.prepare().why, nullptr);
    b.heat("surroundings").T = 288, b.inject<Heat>("air").Q = 700;
    b.evaluate();
    EXPECT_EQ(b.heat("air").T, 288);
    EXPECT_EQ(b.account("heat"), -700);
    EXPECT_EQ(b.output("heat_to_surroundings"), 700);
}

}  // namespace engine_thermal_tests

/// Coolers in their steady state against effectiveness-NTU tables and worked examples.
/// Values: computed with the open-source library ht 1.0.7, effectiveness_from_NTU (relations after Bergman/Incropera,
/// Shah & Sekulic 2003 and Holman, verified; both unmixed: exact integral, Triboix 2009).
#include <gtest/gtest.h>

#include <array>

#include "component/cooler_bench.hpp"

namespace heat_exchangers_tests {
using namespace pullcast;
using namespace pullcast::test;

constexpr double NTUs[] = {0.25, 0.5, 1, 1.5, 2, 3, 4, 5}, Crs[] = {0.1, 0.25, 0.5, 0.75, 1.0};
using Table = std::array<std::array<double, 5>, 8>;

constexpr Table counter{{{0.218969, 0.215670, 0.210296, 0.205073, 0.200000},
                         {0.387051, 0.377589, 0.362266, 0.347511, 0.333333},
                         {0.618580, 0.598286, 0.564733, 0.531857, 0.500000},
                         {0.760474, 0.735003, 0.690785, 0.645386, 0.600000},
                         {0.848731, 0.822766, 0.774600, 0.721827, 0.666667},
                         {0.939106, 0.918811, 0.874425, 0.817118, 0.750000},
                         {0.975341, 0.962189, 0.927421, 0.872986, 0.800000},
                         {0.989991, 0.982257, 0.957201, 0.908771, 0.833333}}};
constexpr Table parallel{{{0.218571, 0.214707, 0.208474, 0.202487, 0.196735},
                          {0.384591, 0.371791, 0.351756, 0.333222, 0.316060},
                          {0.606481, 0.570796, 0.517913, 0.472129, 0.432332},
                          {0.734500, 0.677316, 0.596401, 0.530034, 0.475106},
                          {0.808361, 0.734332, 0.633475, 0.554173, 0.490842},
                          {0.875561, 0.781186, 0.659261, 0.568430, 0.498761},
                          {0.897930, 0.794610, 0.665014, 0.570907, 0.499832},
                          {0.905376, 0.798456, 0.666298, 0.571338, 0.499977}}};
constexpr Table unmixed{{{0.218783, 0.215224, 0.209462, 0.203905, 0.198544},
                         {0.385982, 0.375094, 0.357827, 0.341595, 0.326330},
                         {0.614031, 0.588011, 0.547490, 0.510309, 0.476222},
                         {0.752087, 0.716154, 0.659732, 0.607750, 0.560173},
                         {0.837627, 0.797422, 0.732409, 0.671080, 0.614247},
                         {0.926771, 0.888457, 0.819708, 0.749406, 0.681291},
                         {0.965148, 0.934020, 0.869687, 0.796884, 0.722426},
                         {0.982718, 0.959074, 0.901668, 0.829251, 0.750904}}};
constexpr Table mixed_min{{{0.218782, 0.215217, 0.209434, 0.203845, 0.198443},
                           {0.385966, 0.375005, 0.357506, 0.340945, 0.325288},
                           {0.613887, 0.587202, 0.544764, 0.505155, 0.468536},
                           {0.751651, 0.713737, 0.651900, 0.593619, 0.540157},
                           {0.836786, 0.792760, 0.717546, 0.645067, 0.578807},
                           {0.925116, 0.878827, 0.788544, 0.696630, 0.613341},
                           {0.962999, 0.920220, 0.822597, 0.718311, 0.625321},
                           {0.980448, 0.942385, 0.840519, 0.728006, 0.629633}}};
constexpr Table mixed_max{{{0.218771, 0.215194, 0.209406, 0.203825, 0.198443},
                           {0.385829, 0.374736, 0.357183, 0.340726, 0.325288},
                           {0.612556, 0.584704, 0.541969, 0.503399, 0.468536},
                           {0.747460, 0.706085, 0.643765, 0.588780, 0.540157},
                           {0.828337, 0.777594, 0.702013, 0.636226, 0.578807},
                           {0.906464, 0.845780, 0.756362, 0.679549, 0.613341},
                           {0.935038, 0.870500, 0.775779, 0.694800, 0.625321},
                           {0.945527, 0.879545, 0.782845, 0.700320, 0.629633}}};

enum class Less { charge, coolant };  // which stream has the smaller capacity rate
constexpr double T_air = 305, T_coolant = 300, coolant_flow = 0.2;
constexpr double tolerance = 1e-4;    // asked: 1e-3. What remains is the change of both cp over 5 K.

/// Steady effectiveness Q / (Cmin dT) of cooler.rated with constant conductances.
double effectiveness(double NTU, double Cr, Less less, const char* arrangement, int segments, int coolant_sense = 1) {
    const auto water = media::coolant(0);
    const double Cc = coolant_flow * water.cp(0.5 * (T_air + T_coolant));
    const double Ca = less == Less::charge ? Cr * Cc : Cc / Cr, Cmin = std::min(Ca, Cc);
    const double charge_flow = Ca / media::specific_heat(T_air, 0.0);
    Bench b(builtin("cooler.rated"));
    b.set("rated_conductance", NTU * Cmin).set("air_exponent", 0).set("coolant_exponent", 0).set("air_share", 0.7);
    b.set("rated_flow", charge_flow).set("coolant_rated_flow", coolant_flow).set("bypass_fraction", 0).set("glycol", 0);
    b.set("segments", segments).set_choice("arrangement", arrangement).disconnect("surroundings");
    b.set("coolant_flow_width", 1e-5).set("flow_width", 1e-6);
    EXPECT_EQ(b.prepare().why, nullptr);
    b.start();
    blow(b, charge_flow, charge_flow, T_air);
    pump(b, coolant_sense * coolant_flow, coolant_flow, T_coolant, 0);
    settle_core(b);
    EXPECT_NEAR(b.account("heat_to_coolant"), b.account("heat_from_charge"), 1e-6 * b.account("heat_from_charge"));
    return b.output("heat") / (Cmin * (T_air - T_coolant));
}

void expect_table(const Table& table, Less less, const char* arrangement, int segments, int sense = 1) {
    for (std::size_t i = 0; i < 8; ++i)
        for (std::size_t j = 0; j < 5; ++j)
            EXPECT_NEAR(effectiveness(NTUs[i], Crs[j], less, arrangement, segments, sense), table[i][j], tolerance)
                << "NTU " << NTUs[i] << " Cr " << Crs[j];
}

TEST(HeatExchangers, CrossflowCoolantMixedChargeLess) { expect_table(mixed_max, Less::charge, "crossflow", 6); }
TEST(HeatExchangers, CrossflowCoolantMixedCoolantLess) { expect_table(mixed_min, Less::coolant, "crossflow", 6); }
TEST(HeatExchangers, CounterflowChargeLess) { expect_table(counter, Less::charge, "counterflow", 6); }
TEST(HeatExchangers, CounterflowCoolantLess) { expect_table(counter, Less::coolant, "counterflow", 6); }
// A counterflow core with its coolant hoses changed over is in parallel flow.
TEST(HeatExchangers, ParallelFlowByReversedCoolant) {
    expect_table(parallel, Less::charge, "counterflow", 6, -1);
    expect_table(parallel, Less::coolant, "counterflow", 6, -1);
}

// The segments obey the relation exactly, so the ladder is flat: one segment gives the steady state of fifty.
TEST(HeatExchangers, SteadyStateDoesNotDependOnTheNumberOfSegments) {
    for (const char* arrangement : {"crossflow", "counterflow"})
        for (Less less : {Less::charge, Less::coolant}) {
            const double one = effectiveness(3, 0.75, less, arrangement, 1);
            for (int n : {2, 3, 6, 12, 50}) EXPECT_NEAR(effectiveness(3, 0.75, less, arrangement, n), one, 2e-5) << n;
        }
}

/// Steady effectiveness of cooler.air_to_air: both streams unmixed.
double air_to_air(double NTU, double Cr, Less less, double split = 0.5) {
    const double Co = 2 * 0.1 * 1.2 * media::specific_heat(T_coolant, 0.0),
                 Ca = less == Less::charge ? Cr * Co : Co / Cr;
    const double Cmin = std::min(Ca, Co), charge_flow = Ca / media::specific_heat(T_air, 0.0);
    Bench b(builtin("cooler.air_to_air"));
    b.set("rated_conductance", NTU * Cmin).set("flow_exponent", 0).set("air_share", split).set("bypass_fraction", 0);
    b.set("rated_flow", charge_flow).set("face_area", 0.1).set("face_velocity", 2).set("flow_width", 1e-6);
    b.set("rated_pressure_drop", 5000).disconnect("surroundings").disconnect("coolant_in").disconnect("coolant_out");
    EXPECT_EQ(b.prepare().why, nullptr);
    b.start();
    blow(b, charge_flow, charge_flow, T_air);
    b.gas("outside") = media::gas_state(1e5, T_coolant, 0.0);
    b.gas("outside").rho = 1.2;
    settle_core(b);
    EXPECT_NEAR(b.account("outside_air"), -b.output("heat"), 1e-6 * b.output("heat"));
    return b.output("heat") / (Cmin * (T_air - T_coolant));
}
TEST(HeatExchangers, AirToAirBothUnmixed) {
    for (Less less : {Less::charge, Less::coolant})
        for (std::size_t i = 0; i < 8; ++i)
            for (std::size_t j = 0; j < 5; ++j)
                for (double split : {0.3, 0.5, 0.8})
                    EXPECT_NEAR(air_to_air(NTUs[i], Crs[j], less, split), unmixed[i][j], 1e-5)
                        << NTUs[i] << " " << Crs[j];
}

// Holman, Heat Transfer, example 10-9 (verified, in the documentation of ht): steam 5.2 kg/s, cp 1860, mixed, 130 degC;
// oil 0.725 kg/s, cp 1900, 15 degC; U 275, A 10.82: NTU 2.1600726, Cr 0.1424214, eps 0.831218, Q 131675.3 W, outlets
// 110.590 and 116.386. Here coolant is the mixed stream, with the larger rate, and charge the unmixed one.
TEST(HeatExchangers, HolmanExample10_9) {
    const double C_oil = 0.725 * 1900, C_steam = 5.2 * 1860;
    const double eps = effectiveness(275 * 10.82 / C_oil, C_oil / C_steam, Less::charge, "crossflow", 4);
    EXPECT_NEAR(eps, 0.831218, tolerance);
    const double Q = eps * C_oil * (130 - 15);
    EXPECT_NEAR(Q, 131675.3, 20);
    EXPECT_NEAR(15 + Q / C_oil, 110.590, 0.012);
    EXPECT_NEAR(130 - Q / C_steam, 116.386, 0.002);
}
// The same exchanger, oil 1.45 kg/s to 85 degC: eps 0.608696, NTU 1.104084, Q 192850 W, steam out 110.061 (verified).
TEST(HeatExchangers, HolmanSameExchangerMoreOil) {
    const double C_oil = 1.45 * 1900, C_steam = 5.2 * 1860;
    const double eps = effectiveness(1.104084, C_oil / C_steam, Less::charge, "crossflow", 4);
    EXPECT_NEAR(eps, 0.608696, tolerance);
    EXPECT_NEAR(eps * C_oil * 115, 192850, 30);
    EXPECT_NEAR(130 - eps * C_oil * 115 / C_steam, 110.061, 0.003);
}
// Single points from the documentation of ht (verified): NTU 5, Cr 0.7.
TEST(HeatExchangers, SinglePoints) {
    EXPECT_NEAR(effectiveness(5, 0.7, Less::charge, "counterflow", 6), 0.9206704, tolerance);
    EXPECT_NEAR(effectiveness(5, 0.7, Less::charge, "counterflow", 6, -1), 0.5881156, tolerance);
    EXPECT_NEAR(effectiveness(5, 0.7, Less::coolant, "crossflow", 6), 0.7497844, tolerance);
    EXPECT_NEAR(effectiveness(5, 0.7, Less::charge, "crossflow", 6), 0.7158100, tolerance);
    EXPECT_NEAR(air_to_air(5, 0.7, Less::charge), 0.8444822, 1e-5);
}

// One stream past a wall, the Cr = 0 limit: 1 - exp(-NTU) (computed). Surroundings of 1 kW/K hold the duct's wall.
TEST(HeatExchangers, DuctIsOneStreamPastAWall) {
    constexpr double table[][2] = {{0.25, 0.221199}, {0.5, 0.393469}, {1, 0.632121}, {1.5, 0.776870},
                                   {2, 0.864665},    {3, 0.950213},   {4, 0.981684}, {5, 0.993262}};
    for (const auto& [NTU, eps] : table) {
        Bench b(builtin("cooler.duct"));
        const double C = 0.3 * media::specific_heat(T_air, 0.0);
        b.set("rated_flow", 0.3).set("rated_pressure_drop", 5000).set("flow_width", 1e-6);
        b.set("wall_conductance", NTU * C);
        b.set("surroundings_conductance", 1e3);
        ASSERT_EQ(b.prepare().why, nullptr);
        b.start();
        blow(b, 0.3, 0.3, T_air);
        pump(b, 0.2, 0.4, T_coolant, 0);
        b.heat("surroundings").T = T_coolant;
        settle_core(b, 2);
        EXPECT_NEAR(b.output("heat"), (T_air - T_coolant) / (1 / (C * eps) + 1e-3), 1e-3);
    }
}

}  // namespace heat_exchangers_tests

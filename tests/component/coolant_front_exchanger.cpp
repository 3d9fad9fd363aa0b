// Front exchangers: the steady limit against the exact effectiveness-NTU relations, and limits at rest.
#include <gtest/gtest.h>

#include <pullcast/media/coolant.hpp>
#include <pullcast/media/moist_air.hpp>

#include "bench_run.hpp"

namespace coolant_front_exchanger_tests {

using namespace pullcast;
using namespace pullcast::test;

const media::CoolantMix mix = media::coolant(0.5);
constexpr double T_in = 302, T_air = 300;  // 2 K apart: properties as good as constant

// Crossflow, one stream mixed (here the coolant); rows NTU, columns C_r 0.1 0.25 0.5 0.75 1. Computed
// by the open library `ht` 1.0.7 from Incropera's relations, which were read there.
constexpr double NTU[] = {0.25, 0.5, 1, 1.5, 2, 3, 4, 5}, C_r[] = {0.1, 0.25, 0.5, 0.75, 1.0};
constexpr double coolant_is_Cmin[8][5] = {
    {0.218782, 0.215217, 0.209434, 0.203845, 0.198443}, {0.385966, 0.375005, 0.357506, 0.340945, 0.325288},
    {0.613887, 0.587202, 0.544764, 0.505155, 0.468536}, {0.751651, 0.713737, 0.651900, 0.593619, 0.540157},
    {0.836786, 0.792760, 0.717546, 0.645067, 0.578807}, {0.925116, 0.878827, 0.788544, 0.696630, 0.613341},
    {0.962999, 0.920220, 0.822597, 0.718311, 0.625321}, {0.980448, 0.942385, 0.840519, 0.728006, 0.629633}};
constexpr double coolant_is_Cmax[8][5] = {
    {0.218771, 0.215194, 0.209406, 0.203825, 0.198443}, {0.385829, 0.374736, 0.357183, 0.340726, 0.325288},
    {0.612556, 0.584704, 0.541969, 0.503399, 0.468536}, {0.747460, 0.706085, 0.643765, 0.588780, 0.540157},
    {0.828337, 0.777594, 0.702013, 0.636226, 0.578807}, {0.906464, 0.845780, 0.756362, 0.679549, 0.613341},
    {0.935038, 0.870500, 0.775779, 0.694800, 0.625321}, {0.945527, 0.879545, 0.782845, 0.700320, 0.629633}};

void attach(Bench& b, double drop) {
    b.coolant("from") = {1e5 + drop, T_in, mix.h(T_in)};
    b.coolant("to") = {1e5, T_air, mix.h(T_air)};
    b.gas("outside") = media::gas_state(101325.0, T_air, 0.0);
}

struct Rated : Bench {
    double coolant_rate;  // W/K
    Rated(double UA, double air_rate, int cells) : Bench(builtin("coolant.front_exchanger_rated")) {
        const auto air = media::gas_state(101325.0, T_air, 0.0);
        const double speed = air_rate / (air.rho * media::specific_heat(T_air, 0.0) * 0.18);
        set("rated_conductance", UA).set("air_exponent", 0).set("coolant_exponent", 0).set("cells", cells);
        set("face_velocity", speed).set("still_air", 1e-6).set("drop_width", 1e-6).set("start_temperature", T_in);
        disconnect("airflow");
        if (prepare().why) throw std::runtime_error("prepare");
        start();
        attach(*this, 8e3);  // preset: the rated flow
        evaluate();
        coolant_rate = flow_into<Coolant>("to").m * mix.cp(0.5 * (T_in + T_air));
    }
};

/// Effectiveness of the exchanger at NTU and C_r, coolant the lesser or the greater stream.
double effectiveness(double ntu, double ratio, bool coolant_lesser, int cells) {
    const double C_c = Rated(1, 1, cells).coolant_rate;
    const double C_a = coolant_lesser ? C_c / ratio : C_c * ratio, least = std::min(C_a, C_c);
    Rated b(ntu * least, C_a, cells);
    settle(b);
    EXPECT_NEAR(b.output("heat"), -b.account("heat_to_outside_air"), 1e-9);
    return b.output("heat") / (least * (T_in - T_air));
}

TEST(CoolantFrontExchangerRated, steady_limit_is_the_exact_crossflow_relation) {
    double worst = 0;
    for (int i = 0; i < 8; ++i)
        for (int j = 0; j < 5; ++j)
            for (const int cells : {1, 6}) {
                const double lesser = effectiveness(NTU[i], C_r[j], true, cells);
                const double greater = effectiveness(NTU[i], C_r[j], false, cells);
                EXPECT_NEAR(lesser, coolant_is_Cmin[i][j], 1e-3) << NTU[i] << " " << C_r[j] << " " << cells;
                EXPECT_NEAR(greater, coolant_is_Cmax[i][j], 1e-3) << NTU[i] << " " << C_r[j] << " " << cells;
                worst = std::max(worst, std::fabs(lesser - coolant_is_Cmin[i][j]));
                worst = std::max(worst, std::fabs(greater - coolant_is_Cmax[i][j]));
            }
    RecordProperty("largest_deviation", std::to_string(worst));
}

TEST(CoolantFrontExchangerRated, runs_backwards_as_forwards) {
    Rated a(300, 600, 5), b(300, 600, 5);
    std::swap(b.coolant("from"), b.coolant("to"));
    settle(a), settle(b);
    EXPECT_NEAR(a.output("heat"), b.output("heat"), 1e-6);
    for (std::size_t k = 0; k < 5; ++k) EXPECT_NEAR(a.state("metal", k), b.state("metal", 4 - k), 1e-9);
}

TEST(CoolantFrontExchangerRated, follows_its_rated_drop_and_its_exponents) {
    Bench b(builtin("coolant.front_exchanger_rated"));
    b.set("face_velocity", 5);
    b.disconnect("airflow");
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    attach(b, 8e3);
    b.evaluate();
    const double rated = b.flow_into<Coolant>("to").m;
    EXPECT_NEAR(rated, 3.33e-4 * mix.rho(298.15), 1e-6 * rated);
    attach(b, 2e3);
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Coolant>("to").m, 0.5 * rated, 1e-5 * rated);
    attach(b, -8e3);
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Coolant>("to").m, -rated, 1e-6 * rated);
}

// Standing coolant cools towards the air: nothing enters, the cells give their heat to the air all the same.
TEST(CoolantFrontExchangerRated, cools_standing_coolant) {
    Bench b(builtin("coolant.front_exchanger_rated"));
    b.set("start_temperature", 320);
    b.disconnect("airflow");
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    attach(b, 0);
    b.evaluate();
    EXPECT_NEAR(b.flow_into<Coolant>("to").m, 0, 1e-12);
    EXPECT_LT(b.account("heat_to_outside_air"), -100);
    for (std::size_t k = 0; k < 6; ++k) EXPECT_LT(b.rate("energy", k), 0);
}

TEST(CoolantFrontExchangerRated, blocked_face_loses_its_share) {
    const auto heat = [](double blocked) {
        Bench b(builtin("coolant.front_exchanger_rated"));
        b.set("blocked_fraction", blocked).set("face_velocity", 3);
        b.disconnect("airflow");
        if (b.prepare().why) throw std::runtime_error("prepare");
        b.start();
        attach(b, 8e3);
        settle(b);
        return b.output("heat");
    };
    EXPECT_LT(heat(0.3), heat(0));
    EXPECT_GT(heat(0.3), 0.7 * heat(0));  // the open part works against cooler-running coolant
}

struct Louvered : Bench {
    explicit Louvered(double air_speed) : Bench(builtin("coolant.front_exchanger")) {
        if (prepare().why) throw std::runtime_error("prepare");
        start();
        attach(*this, 8e3);
        signal("airflow").value = air_speed;
    }
};

// Chang & Wang at th 27 deg, Fp = Lp = 1.4, Fl 8, Td 20, Tp 10, df 0.1 mm and Ll 6.5 mm: j 0.02103 at Re 500, 0.01497
// at 1000 (computed from the correlation as coded in the Modelica Standard Library). Here Ll = 0.85 Fl.
TEST(CoolantFrontExchanger, louver_correlation_at_its_worked_values) {
    for (const auto& [Re, j] : {std::pair{500.0, 0.02103}, {1000.0, 0.01497}}) {
        Bench b(builtin("coolant.front_exchanger"));
        b.set("louver_angle", 27 * std::acos(-1.0) / 180).set("fin_pitch", 1.4e-3).set("louver_pitch", 1.4e-3);
        b.set("fin_height", 6.5e-3 / 0.85).set("depth", 0.02).set("fin_thickness", 1e-4);
        b.set("tube_thickness", 10e-3 - 6.5e-3 / 0.85).set("cells", 1);
        b.disconnect("airflow");
        const double Fl = 6.5e-3 / 0.85, sigma = (Fl - 1e-4) * 1.3e-3 / (10e-3 * 1.4e-3);
        const auto air = media::gas_state(101325.0, T_air, 0.0);
        const double mu = media::viscosity(T_air), k = media::conductivity(T_air), Pr = media::prandtl(T_air);
        b.set("face_velocity", Re * mu * sigma / (air.rho * 1.4e-3)).set("still_air", 1e-6);
        b.set("rated_flow", 10).set("rated_drop", 1e3);  // coolant side out of the way
        ASSERT_EQ(b.prepare().why, nullptr);
        b.start();
        attach(b, 1e3);
        b.evaluate();
        EXPECT_NEAR(b.output("louver_reynolds"), Re, 1e-6 * Re);
        // back from UA to j; Fl enters as (Fl/Lp)^-0.29, so the worked 8 mm is brought to this fin height
        const double h = j * std::pow(Fl / 8e-3, -0.29) * Re * std::cbrt(Pr) * k / 1.4e-3;
        const double tubes = std::floor(0.3 / 10e-3 + 1e-9), fins = tubes * 0.6 / 1.4e-3 * 2 * Fl * 0.02;
        const double area = fins + tubes * 2 * 0.6 * 0.02 * (1 - 1e-4 / 1.4e-3);
        const double M = Fl / 2 * std::sqrt(2 * h / (200 * 1e-4));
        const double dry = h * area * (1 - fins / area * (1 - std::tanh(M) / M));
        EXPECT_NEAR(b.output("conductance"), dry, 0.02 * dry) << Re;  // the coolant side still takes about 1 %
    }
}

TEST(CoolantFrontExchanger, steady_limit_is_the_crossflow_relation_of_its_own_UA) {
    for (const double speed : {1.0, 4.0, 10.0}) {
        Louvered b(speed);
        settle(b);
        const auto air = media::gas_state(101325.0, T_air, 0.0);
        const double C_a = air.rho * media::specific_heat(T_air, 0.0) * std::hypot(speed, 0.1) * 0.18;
        const double C_c = b.flow_into<Coolant>("to").m * mix.cp(301.0), UA = b.output("conductance");
        const double G = C_a * (1 - std::exp(-UA / C_a));
        EXPECT_NEAR(b.output("heat"), C_c * (1 - std::exp(-G / C_c)) * (T_in - T_air), 1e-3 * b.output("heat"));
        EXPECT_GT(UA, 100);
        EXPECT_LT(UA, 2500);
    }
}

TEST(CoolantFrontExchanger, refuses_impossible_geometry) {
    const auto problem = [](const char* name, double value) {
        Bench b(builtin("coolant.front_exchanger"));
        return std::string(b.set(name, value).prepare().parameter);
    };
    EXPECT_EQ(problem("tube_wall", 1e-3), "tube_wall");
    EXPECT_EQ(problem("fin_thickness", 2e-3), "fin_pitch");
    EXPECT_EQ(problem("height", 5e-3), "height");
    EXPECT_EQ(problem("depth", 1.5e-3), "depth");
}

}  // namespace coolant_front_exchanger_tests

// Dyno loads against Newton's second law and their own ledgers.
#include <gtest/gtest.h>

#include "bench.hpp"
#include "rk4.hpp"

namespace load_dyno_tests {

using namespace pullcast;
using namespace pullcast::test;

constexpr double gear = 4, tyre_radius = 0.32, drum_radius = 0.6, drum_inertia = 400, start_speed = 250;

Bench roller(double loss, double drag, double tyre_stiffness = 1.5e5) {
    Bench b(builtin("load.roller"));
    b.set("inertia", 0.3).set("wheel_inertia", 2.4).set("gear_ratio", gear).set("tyre_radius", tyre_radius);
    b.set("drum_radius", drum_radius).set("drum_inertia", drum_inertia).set("tyre_stiffness", tyre_stiffness);
    b.set("driveline_loss", loss).set("driveline_drag", drag).set("start_speed", start_speed);
    b.set("torque_width", 1e-3).set("slow", 1e-3).set("slow_surface", 0.01);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    return b;
}

/// Runs all states and accounts of a bench from `from` to `to`; `torque(t)` acts on the crank.
template <class Torque>
std::vector<double> run(Bench& b, double from, double to, double dt, Torque torque) {
    std::vector<double> x = b.states();
    const auto rates = [&](double t, const std::vector<double>& y) {
        for (std::size_t i = 0; i < b.state_count(); ++i) *b.inputs()[i].at = y[i];
        b.time = t;
        b.inject<Shaft>("crank").tau = torque(t);
        b.evaluate();
        auto r = b.rates();
        r.push_back(b.flow_into<Shaft>("crank").tau * b.shaft("crank").omega);  // work put in, for the ledger
        return r;
    };
    x.push_back(0);
    for (int k = 0, n = static_cast<int>(std::lround((to - from) / dt)); k < n; ++k) rk4(x, from + k * dt, dt, rates);
    rates(to, x);
    return x;
}

TEST(LoadRoller, holds_the_start_speed_until_the_pull) {
    Bench b = roller(0.1, 6);
    b.time = -1;
    b.inject<Shaft>("crank").tau = 80;
    b.evaluate();
    EXPECT_EQ(b.shaft("crank").omega, start_speed);
    EXPECT_EQ(b.rate("crank_speed"), 0);
    EXPECT_EQ(b.rate("drum"), 0);
    EXPECT_NEAR(b.account("hold"), -(80 - 6) * start_speed, 1e-5);
    EXPECT_NEAR(b.account("driveline_heat"), -6 * start_speed, 1e-5);
    EXPECT_NEAR(b.output("tyre_slip"), 0, 1e-12);
}

// Without losses and with a stiff tyre: domega/dt = tau / (J_e + J_w / G^2 + J_d (r / (G R))^2).
TEST(LoadRoller, accelerates_the_inertia_seen_from_the_crank) {
    Bench b = roller(0, 0, 1e7);
    const double k = tyre_radius / (gear * drum_radius);
    const double J = 0.3 + 2.4 / (gear * gear) + drum_inertia * k * k;
    run(b, 0, 2, 1e-4, [](double) { return 300.0; });
    // slip under constant torque stays constant as a fraction: drum and tread keep their ratio
    EXPECT_NEAR(b.rate("crank_speed"), 300 / J, 2e-3 * 300 / J);
    EXPECT_NEAR(b.shaft("crank").omega, start_speed + 300 / J * (2 - 0.05), 2e-3 * start_speed);
}

// P = J Omega dOmega/dt (elementary, from memory).
TEST(LoadRoller, wheel_power_is_what_the_drum_gains) {
    Bench b = roller(0.12, 5);
    run(b, 0, 2, 1e-3, [](double t) { return 300.0 + 40 * t; });
    const double P = drum_inertia * b.state("drum") * b.rate("drum");
    EXPECT_GT(P, 5e4);
    EXPECT_NEAR(b.output("wheel_power"), P, 1e-9 * P);
    EXPECT_NEAR(b.output("crank_power"), 380 * b.shaft("crank").omega, 1e-6);
    EXPECT_NEAR(b.output("wheel_torque") * b.output("speed"), b.output("wheel_power"), 1e-3);
}

TEST(LoadRoller, tyre_slip_is_force_over_stiffness_and_force_is_limited_by_grip) {
    Bench b = roller(0, 0);
    b.time = 5;
    const auto slip_to = [&](double s) {
        b.state("crank_speed") = b.state("drum") * drum_radius * (1 + s) * gear / tyre_radius;
        b.evaluate();
        return b.output("tyre_force");
    };
    EXPECT_NEAR(slip_to(1e-3), 150, 0.1);
    EXPECT_NEAR(slip_to(-1e-3), -150, 0.1);
    const double grip = 0.9 * 9000;  // presets
    EXPECT_LT(slip_to(0.5), grip);
    EXPECT_GT(slip_to(0.5), 0.99 * grip);
}

TEST(LoadRoller, ledger_of_a_pull_closes) {
    Bench b = roller(0.15, 8);
    const double before = b.stored().energy;
    const auto x = run(b, -0.5, 3, 1e-3, [](double t) { return t < 0 ? 20.0 : 350.0; });
    const std::size_t n = b.state_count();
    const double accounts = x[n] + x[n + 1] + x[n + 2], work = x.back();
    EXPECT_GT(work, 2e5);
    EXPECT_NEAR(b.stored().energy - before, work + accounts, 1e-7 * work);
}

// In a gear that no tyre slips, a fraction f of what enters the driveline is lost: y = (1 - f)(T - drag).
TEST(LoadRoller, driveline_takes_its_fraction_and_its_drag) {
    Bench b = roller(0.12, 5);
    run(b, 0, 1, 1e-3, [](double) { return 300.0; });
    const double y = b.output("tyre_force") * tyre_radius / gear;
    const double entering = 300 - (0.3 + 2.4 / (gear * gear)) * b.rate("crank_speed");
    EXPECT_NEAR(y, 0.88 * (entering - 5), 1e-6 * y);
}

Bench brake() {
    Bench b(builtin("load.brake"));
    b.set("inertia", 0.4).set("speed_rate", 30).set("start_speed", start_speed).set("release_time", 0.2);
    b.set("driveline_loss", 0.15).set("driveline_drag", 6).set("torque_width", 1e-3).set("slow", 1e-3);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    return b;
}

TEST(LoadBrake, keeps_the_ramp_whatever_the_torque) {
    Bench b = brake();
    const auto x = run(b, -1, 4, 1e-2, [](double t) { return t < 0 ? 15.0 : 400 - 30 * t; });
    EXPECT_NEAR(b.shaft("crank").omega, start_speed + 30 * (4 - 0.1), 1e-4);
    EXPECT_EQ(b.rate("crank_speed"), 30);
    EXPECT_NEAR(b.output("crank_power"), 280 * b.shaft("crank").omega, 1e-6);
    const double entering = 280 - 0.4 * 30;
    EXPECT_NEAR(b.output("wheel_torque"), 0.85 * (entering - 6), 1e-5);
    EXPECT_NEAR(b.account("absorbed"), -b.output("wheel_power"), 1e-6);
    EXPECT_NEAR(b.account("absorbed") + b.account("driveline_heat"), -entering * b.shaft("crank").omega, 1e-6);
    const std::size_t n = b.state_count();
    const double gained = 0.5 * 0.4 * (x[0] * x[0] - start_speed * start_speed);
    EXPECT_NEAR(gained, x.back() + x[n] + x[n + 1], 1e-7 * x.back());
}

TEST(LoadBrake, is_steady_before_the_pull) {
    Bench b = brake();
    b.time = -0.5, b.inject<Shaft>("crank").tau = 50, b.evaluate();
    EXPECT_EQ(b.rate("crank_speed"), 0);
    EXPECT_NEAR(b.output("crank_torque"), 50, 0);
}

TEST(LoadLocked, absorbs_everything_at_one_speed) {
    Bench b(builtin("load.locked"));
    b.set("start_speed", 400).set("driveline_loss", 0.15).set("driveline_drag", 6);
    b.set("torque_width", 1e-3).set("slow", 1e-3);
    ASSERT_EQ(b.prepare().why, nullptr);
    b.start();
    b.inject<Shaft>("crank").tau = 306;
    for (const double t : {-1.0, 0.0, 7.0}) {
        b.time = t, b.evaluate();
        EXPECT_EQ(b.shaft("crank").omega, 400);
        EXPECT_NEAR(b.output("wheel_power"), 0.85 * 300 * 400, 1e-3);
        EXPECT_NEAR(b.account("absorbed") + b.account("driveline_heat"), -306 * 400, 1e-9);
    }
    b.inject<Shaft>("crank").tau = -28;  // overrun: the dyno drives, and the driveline still takes its share
    b.evaluate();
    EXPECT_NEAR(b.output("wheel_torque"), (-28 - 6) / 0.85, 1e-4);
    EXPECT_LT(b.account("driveline_heat"), 0);
}

/// Any dyno, with the crank at 90 rad/s as a step before left it; what drives it is 100 N m.
Bench left_at_idle(const char* model, const char* clutch) {
    Bench b(builtin(model));
    if (b.type().name == std::string_view("load.roller"))
        b.set("gear_ratio", gear).set("tyre_radius", tyre_radius).set("drum_radius", drum_radius)
            .set("drum_inertia", drum_inertia).set("wheel_inertia", 2.4).set("drum_stop_time", 4);
    b.set("inertia", 0.3).set("start_speed", start_speed).set("hold_time", 0.5).set_choice("clutch", clutch);
    b.set("driveline_loss", 0.12).set("driveline_drag", 6).set("slow", 1e-3);
    if (b.prepare().why) throw std::runtime_error("prepare");
    b.start();
    b.state("crank_speed") = 90;
    return b;
}
constexpr const char* dynos[] = {"load.roller", "load.brake", "load.locked"};

double accounts_of(const Bench& b, const std::vector<double>& x) {
    double sum = 0;
    for (std::size_t k = b.state_count(); k + 1 < x.size(); ++k) sum += x[k];
    return sum;
}

// A hold is a first-order draw: start + (90 - start) exp(-t / hold_time), whatever the torque.
TEST(Loads, a_hold_draws_the_crank_to_its_start_speed_and_books_the_work) {
    for (const char* model : dynos) {
        Bench b = left_at_idle(model, "closed");
        const double before = b.stored().energy;
        const auto x = run(b, -1.6, -0.1, 1e-3, [](double) { return 100.0; });
        EXPECT_NEAR(x[0], start_speed + (90 - start_speed) * std::exp(-3), 1e-8) << model;
        EXPECT_NEAR(b.stored().energy - before, x.back() + accounts_of(b, x), 1e-8 * x.back()) << model;
    }
}
TEST(LoadRoller, a_hold_turns_the_drum_up_with_the_car_and_without_tyre_heat) {
    Bench b = left_at_idle("load.roller", "closed");
    b.state("drum") = 0;
    const double before = b.stored().energy;
    const auto x = run(b, -1.5, -0.1, 1e-3, [](double) { return 100.0; });
    EXPECT_NEAR(b.stored().energy - before, x.back() + accounts_of(b, x), 1e-8 * b.stored().energy);
    EXPECT_NEAR(x[1], start_speed * tyre_radius / (gear * drum_radius) * (1 - std::exp(-2.8)), 1e-8);
    EXPECT_EQ(b.account("tyre_loss"), 0);
}

// J domega/dt = tau with the engine's own inertia.
TEST(Loads, an_open_clutch_leaves_the_engine_to_its_torque) {
    for (const char* model : dynos) {
        Bench b = left_at_idle(model, "open");
        const double before = b.stored().energy;
        const auto x = run(b, -1, 1, 1e-3, [](double t) { return 30 + 20 * t; });
        EXPECT_NEAR(x[0], 90 + 60 / 0.3, 1e-8) << model;
        EXPECT_EQ(b.output("wheel_power"), 0) << model;
        EXPECT_EQ(b.account("driveline_heat"), 0) << model;
        EXPECT_NEAR(b.stored().energy - before, x.back() + accounts_of(b, x), 1e-8 * x.back()) << model;
    }
}
TEST(LoadRoller, the_dyno_stops_the_drum_while_the_clutch_is_open) {
    Bench b = left_at_idle("load.roller", "open");
    const double from = b.state("drum"), rolling = drum_inertia + 2.4 * std::pow(drum_radius / tyre_radius, 2);
    const auto x = run(b, 0, 6, 1e-2, [](double) { return 0.0; });
    EXPECT_NEAR(x[1], from * std::exp(-1.5), 1e-8);
    EXPECT_NEAR(accounts_of(b, x), 0.5 * rolling * (x[1] * x[1] - from * from), 1e-6);
    EXPECT_LT(accounts_of(b, x), -1000);
}

}  // namespace load_dyno_tests

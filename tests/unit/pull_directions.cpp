// Derivatives of a pull along parameters, against exact solutions that dual numbers differentiate.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/network/tables_build.hpp>
#include <pullcast/sdk.hpp>
#include <pullcast/solve/pull_directions.hpp>

namespace pull_directions_tests {

using namespace pullcast;

/// stores heat: dT/dt = -(T - T_a) / tau, with the rate constant derived from a mass and a conductance
struct Cooling {
    double mass, conductance, ambient, start_T, decay = 0;
    State T;
    Node<Heat> node;
    Output above;
    static void describe(Schema<Cooling>& s) {
        s.role = "lump";
        s.number(&Cooling::mass, "mass", "J/K", "heat capacity").positive();
        s.number(&Cooling::conductance, "conductance", "W/K", "to outside").non_negative();
        s.number(&Cooling::ambient, "ambient", "K", "outside").positive();
        s.number(&Cooling::start_T, "start_temperature", "K", "temperature at the start").positive();
        s.state(&Cooling::T, "T", "K", 300, "temperature");
        s.node(&Cooling::node, "node", "the lump");
        s.output(&Cooling::above, "above", "W", "heat to outside");
    }
    Problem prepare() { return decay = conductance / mass, Problem{}; }
    void start(Start v) const { v[T] = start_T; }
    void publish(auto v) const { v(node, {v[T]}); }
    void flow(auto v) const {
        v.rate(T) = -decay * (v[T] - ambient);
        v.output(above, conductance * (v[T] - ambient));
    }
};

/// publishes what it reads times a gain, by a table
struct Gauge {
    Curve gain;
    Reads<Heat> at;
    Node<Signal> out;
    static void describe(Schema<Gauge>& s) {
        s.role = "gauge";
        s.curve(&Gauge::gain, "gain", "1", "speed", "1", "gain, a straight line");
        s.reads(&Gauge::at, "at", "where");
        s.signal(&Gauge::out, "out", "1", "reading");
    }
    void publish(auto v) const { v(out, {v[at].T * gain(v[at].T * 0.0 + 1)}); }
};

/// stores a reading that follows: dy/dt = (s - y) / lag, moved in the balance sweep
struct Follower {
    double lag;
    Sees<Signal> of;
    Node<Heat> heat;
    State y;
    static void describe(Schema<Follower>& s) {
        s.role = "follower";
        s.number(&Follower::lag, "lag", "s", "time constant").positive();
        s.sees(&Follower::of, "of", "what it follows");
        s.node(&Follower::heat, "heat", "carries the difference from the flow sweep to the balance");
        s.state(&Follower::y, "y", "1", 100, "reading");
    }
    void start(Start v) const { v[y] = 0; }
    void publish(auto v) const { v(heat, {v[y]}); }
    void flow(auto v) const { v.put(heat, {v[of].value - v[y]}); }
    void balance(auto v) const { v.rate(y) = v[heat].Q / lag; }
};

/// stores speed: dw/dt = a - b w, so that the pull ends at a known time
struct Load {
    double drive, drag, width;
    State omega;
    Node<Shaft> crank;
    static void describe(Schema<Load>& s) {
        s.role = "load";
        s.number(&Load::drive, "drive", "rad/s^2", "what drives it").positive();
        s.number(&Load::drag, "drag", "1/s", "what slows it").in(0, 1).preset(0);
        s.number(&Load::width, "width", "1", "of no effect").in(0, 0).preset(0);
        s.state(&Load::omega, "omega", "rad/s", 100, "speed");
        s.node(&Load::crank, "crank", "the crank");
    }
    void start(Start v) const { v[omega] = 100; }
    void publish(auto v) const { v(crank, {v[omega]}); }
    void flow(auto v) const { v.rate(omega) = drive - drag * v[omega]; }
};

const auto *cooling = component<Cooling>("test.cooling"), *gauge = component<Gauge>("test.gauge"),
           *follower = component<Follower>("test.follower"), *load = component<Load>("test.load");

RigSpec rig(double drag = 0.05) {
    const auto gain = std::make_shared<const CurveData>(make_curve({0, 2}, {0.2, 0.4}, false));
    return {{{"lump",
              cooling,
              {{"mass", 500.0}, {"conductance", 250.0}, {"ambient", 290.0}, {"start_temperature", 400.0}},
              {}},
             {"gauge", gauge, {{"gain", gain}}, {{"at", "lump.node"}}},
             {"follower", follower, {{"lag", 0.7}}, {{"of", "gauge.out"}}},
             {"load", load, {{"drive", 50.0}, {"drag", drag}}, {}}}};
}

enum { mass, conductance, ambient, start_T, gain, lag, drive, drag, count };
std::vector<Parameter> parameters() {
    using Kind = Parameter::Kind;
    return {{"mass", {{"lump", "mass"}}},
            {"conductance", {{"lump", "conductance"}}, Kind::factor},
            {"ambient", {{"lump", "ambient"}}},
            {"start", {{"lump", "start_temperature"}}},
            {"gain", {{"gauge", "gain"}}, Kind::factor},
            {"lag", {{"follower", "lag"}}},
            {"drive", {{"load", "drive"}}},
            {"drag", {{"load", "drag"}}}};
}

/// The rig's solution `t` seconds after the start, parameters seeded in the order above.
struct Exact {
    Dual T, above, y, omega, stop_time;
    explicit Exact(double t, double stop_speed) {
        const double values[count] = {500, 1, 290, 400, 1, 0.7, 50, 0.05};
        Dual p[count];
        for (int k = 0; k < count; ++k) p[k] = values[k], p[k].d[k] = 1;
        const Dual G = 250 * p[conductance], tau = p[mass] / G, A = p[start_T] - p[ambient], g = 0.3 * p[gain];
        const Dual fading = exp(Dual(-t) / tau), L = p[lag];
        T = p[ambient] + A * fading;
        above = G * A * fading;
        const Dual B = g * A * tau / (tau - L);
        y = g * p[ambient] + B * fading - (g * p[ambient] + B) * exp(Dual(-t) / L);
        const Dual end = p[drive] / p[drag];
        omega = end + (100 - end) * exp(-(p[drag] * t));
        stop_time = -log((stop_speed - end) / (100 - end)) / p[drag];
    }
};

std::vector<std::size_t> columns(const Network& n, const std::vector<std::string>& names) {
    std::vector<std::size_t> all;
    for (const auto& name : names) {
        const auto& c = n.channels();
        const auto at = std::find_if(c.begin(), c.end(), [&](const Channel& k) { return k.name == name; });
        if (at == c.end()) throw std::out_of_range(name);
        all.push_back(static_cast<std::size_t>(at - c.begin()));
    }
    return all;
}
const std::vector<std::string> names{"lump.node.T", "lump.above", "follower.heat.T", "load.crank.omega"};

const PullPlan plan{.settle = 1, .stop_speed = 250, .longest = 20, .output_step = 0.25};

class PullDirections : public testing::TestWithParam<double> {};
INSTANTIATE_TEST_SUITE_P(Tolerance, PullDirections, testing::Values(1e-5, 1e-6, 1e-7));

// Global errors of a pull itself are some tens of its tolerance; those of the directions no more, over their peak.
TEST_P(PullDirections, EqualTheExactSolutionsDerivatives) {
    PullPlan p = plan;
    p.tolerance = GetParam();
    const double allowed = 50 * p.tolerance;
    const Directions directions(rig(), parameters());
    const DirectedPull r = run_pull(directions, p, columns(directions.network(), names));
    ASSERT_TRUE(r.pull.reached_stop_speed);
    ASSERT_GT(r.pull.points(), 10u);
    double peak[4][count] = {}, error[4][count] = {};
    for (std::size_t k = 0; k < r.pull.points(); ++k) {
        const Exact exact(r.pull.time[k] + p.settle, p.stop_speed);
        const Dual* of[] = {&exact.T, &exact.above, &exact.y, &exact.omega};
        for (std::size_t c = 0; c < 4; ++c) {
            EXPECT_NEAR(r.pull.at(k, r.channels[c]), of[c]->v, allowed * 300 * (c == 1 ? 250 : 1)) << names[c];
            for (std::size_t q = 0; q < count; ++q) {
                peak[c][q] = std::max(peak[c][q], std::fabs(of[c]->d[q]));
                error[c][q] = std::max(error[c][q], std::fabs(r.slope(k, c, q) - of[c]->d[q]));
            }
        }
    }
    for (std::size_t c = 0; c < 4; ++c)
        for (std::size_t q = 0; q < count; ++q)
            EXPECT_LE(error[c][q], allowed * peak[c][q]) << names[c] << " by " << parameters()[q].name;
    const Exact end(0, p.stop_speed);
    EXPECT_NEAR(r.pull.time.back() + p.settle, end.stop_time.v, allowed);
    for (std::size_t q = 0; q < count; ++q)
        EXPECT_NEAR(r.stop_time[q], end.stop_time.d[q], allowed * std::fabs(end.stop_time.d[q]))
            << parameters()[q].name;
}

// More directions than lanes: run in parts that have the same report points.
TEST(Directions, MoreThanEightGiveTheSame) {
    auto many = parameters();
    for (std::size_t k = 0; k < 3; ++k) many.push_back(parameters()[k]);
    const Directions some(rig(), parameters()), all(rig(), many);
    const auto channels = columns(some.network(), names);
    const DirectedPull a = run_pull(some, plan, channels), b = run_pull(all, plan, channels);
    ASSERT_EQ(a.pull.points(), b.pull.points());
    ASSERT_EQ(b.slopes.size(), b.pull.points() * channels.size() * many.size());
    for (std::size_t c = 0; c < channels.size(); ++c)
        for (std::size_t p = 0; p < 3; ++p) {
            double peak = 0, apart = 0;
            for (std::size_t k = 0; k < a.pull.points(); ++k) {
                EXPECT_EQ(b.slope(k, c, p), a.slope(k, c, p));
                peak = std::max(peak, std::fabs(a.slope(k, c, p)));
                apart = std::max(apart, std::fabs(b.slope(k, c, count + p) - a.slope(k, c, p)));
            }
            EXPECT_LE(apart, 1e-4 * peak) << names[c] << " by " << parameters()[p].name;
        }
    EXPECT_EQ(b.stop_time.size(), many.size());
    EXPECT_NEAR(b.stop_time[count], 0, 1e-9);  // the lump's mass moves no speed
}

// A bound next to the value: the difference turns one-sided, and stays of second order.
TEST(Directions, StayWithinTheBoundsOfAKey) {
    const Parameter p{"drag", {{"load", "drag"}}, Parameter::Kind::number, 0.05};
    const Directions directions(rig(0), {p});
    const DirectedPull r = run_pull(directions, plan, columns(directions.network(), names));
    for (std::size_t k = 0; k < r.pull.points(); ++k) {  // w = 100 + a t, and dw/db = -(100 t + a t^2 / 2)
        const double t = r.pull.time[k] + plan.settle, exact = -(100 * t + 25 * t * t);
        EXPECT_NEAR(r.slope(k, 3, 0), exact, 1e-5 * std::fabs(exact)) << t;
    }
    for (const auto& trial : directions.trials(0)) EXPECT_GE(trial.shift, 0);
}

TEST(Directions, NeedOurOwnSolver) {
    const Directions directions(rig(), {parameters()[0]});
    PullPlan stock = plan;
    stock.stock_solver = true;
    EXPECT_THROW(run_pull(directions, stock, {}), std::invalid_argument);
}

void expect_refused(const Parameter& p, const std::string& part) {
    try {
        Directions(rig(0), {p});
        ADD_FAILURE() << p.name << " is accepted";
    } catch (const std::invalid_argument& e) {
        EXPECT_NE(std::string(e.what()).find(part), std::string::npos) << e.what();
    }
}

TEST(Parameter, IsRefusedInNames) {
    using Kind = Parameter::Kind;
    expect_refused({"a", {{"lumpp", "mass"}}}, "no component 'lumpp'; did you mean 'lump'?");
    expect_refused({"b", {{"lump", "mas"}}}, "no key 'mas'; did you mean 'mass'?");
    expect_refused({"c", {{"gauge", "gain"}}}, "only a factor can move it");
    expect_refused({"d", {{"gauge", "at"}}}, "no key 'at'");
    expect_refused({"e", {{"load", "drag"}}}, "its typical size must be given");
    expect_refused({"f", {{"load", "width"}}, Kind::number, 1}, "its bounds leave no room");
    expect_refused({"g", {}}, "has no place");
}

TEST(Parameter, MovesAllItsPlaces) {
    const RigSpec before = rig();
    const Parameter two{"two", {{"lump", "mass"}, {"lump", "ambient"}}};
    const auto number = [](const RigSpec& r, const char* key) {
        return std::get<double>(r.components[0].parameters.at(key));
    };
    EXPECT_EQ(value_of(before, two), 500);
    EXPECT_EQ(number(moved(before, two, 3), "mass"), 503);
    EXPECT_EQ(number(moved(before, two, 3), "ambient"), 293);
    EXPECT_EQ(number(with_value(before, two, 7), "ambient"), 7);
    const Parameter factor{"gain", {{"gauge", "gain"}}, Parameter::Kind::factor};
    const auto curve =
        std::get<std::shared_ptr<const CurveData>>(with_value(before, factor, 2).components[1].parameters.at("gain"));
    EXPECT_EQ(curve->y[1], 0.8);
    EXPECT_DOUBLE_EQ(curve->dy[1], 0.2);
    EXPECT_EQ(value_of(before, factor), 1);
}

}  // namespace pull_directions_tests

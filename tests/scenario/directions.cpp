// Derivatives along parameters on the shipped rig: of the right-hand side by every number and table that a rig can set,
// and of whole pulls, against differences.
#include <algorithm>
#include <pullcast/solve/direction_system.hpp>
#include <pullcast/solve/pull_directions.hpp>
#include <random>

#include "shipped.hpp"

namespace directions_tests {

using namespace shipped;

RigSpec rig() { return read("rigs/hillclimb-v6.toml").variants.front().rig; }

/// Keys from which a whole number of tubes follows, which changes just where this rig stands.
bool is_at_a_jump(const std::string& key) {
    return key == "front.height" || key == "front.fin_height" || key == "front.tube_thickness";
}

/// Every key of every component that can move, each a parameter of its own.
std::vector<Parameter> all_parameters(const RigSpec& spec) {
    std::vector<Parameter> all;
    for (const auto& c : spec.components)
        for (const Field* f = c.type->fields; f != c.type->fields + c.type->field_count; ++f) {
            const auto given = c.parameters.find(f->name);
            const bool set = given != c.parameters.end();
            const bool table = f->kind == Kind::curve || f->kind == Kind::map;
            if (f->breakpoint || !(f->kind == Kind::number || (table && set))) continue;
            if (!set && std::isnan(f->preset)) continue;
            if (is_at_a_jump(c.name + "." + f->name)) continue;
            const double value = table ? 1 : set ? std::get<double>(given->second) : f->preset;
            const double room = std::isfinite(f->hi - f->lo) ? 0.01 * (f->hi - f->lo) : 1;
            all.push_back({c.name + "." + f->name,
                           {{c.name, f->name}},
                           table ? Parameter::Kind::factor : Parameter::Kind::number,
                           value != 0 ? 0 : room});
        }
    return all;
}

/// A rig whose filter has no dual sweeps: there, derivatives are differences throughout.
RigSpec for_doubles(RigSpec spec) {
    static ComponentType plain;
    for (auto& c : spec.components)
        if (c.name == "filter") {
            plain = *c.type;
            plain.flow_dual = nullptr;
            c.type = &plain;
        }
    return spec;
}

/// The rig's states in the middle of a pull.
std::vector<double> running_states(const Network& network) {
    RigSystem system(network, std::nullopt);
    std::vector<double> x(network.size());
    network.start(x.data());
    Integrator integrator(system, {.rtol = 1e-6, .atol = std::vector<double>(x.size(), 1e-6)});
    for (const double end : {0.0, 2.0}) {
        integrator.start(end - 2, x.data());
        integrator.advance(end);
        std::copy_n(integrator.state(), x.size(), x.data());
    }
    return x;
}

/// The whole right-hand side's derivative along a parameter and the direction `s` of the states that goes with it:
/// central of fourth order; one-sided, where a bound is near, of second.
std::vector<double> whole_difference(const RigSpec& spec, const Parameter& p, double scale, bool one_sided,
                                     const std::vector<double>& states, const std::vector<double>& s) {
    constexpr double h = 6e-6;
    const std::vector<std::pair<double, double>> central{
        {-2, 1.0 / 12}, {-1, -8.0 / 12}, {1, 8.0 / 12}, {2, -1.0 / 12}},
        forward{{0, -1.5}, {1, 2}, {2, -0.5}};
    std::vector<double> sum(states.size());
    for (const auto& [k, weight] : one_sided ? forward : central) {
        const Network network(moved(spec, p, k * h * scale));
        Workspace<double> w(network);
        w.arena.t = 2;
        for (std::size_t i = 0; i < states.size(); ++i) w.x[i] = states[i] + k * h * s[i];
        EXPECT_TRUE(network.evaluate(w)) << p.name;
        for (std::size_t i = 0; i < states.size(); ++i) sum[i] += weight / h * w.dx[i];
    }
    return sum;
}

TEST(Directions, OfTheRightHandSideByEveryKeyEqualDifferences) {
    constexpr auto group = DirectionSystem::group;
    const RigSpec spec = rig();
    const auto states = running_states(Network(spec));
    const auto parameters = all_parameters(spec);
    ASSERT_GT(parameters.size(), 250u);
    std::size_t effective = 0, one_sided = 0;
    std::mt19937 random(11);
    std::uniform_real_distribution<double> off(-1, 1);
    for (std::size_t first = 0; first < parameters.size(); first += dual_width) {
        const auto last = std::min(parameters.size(), first + dual_width);
        const Directions directions(spec, {parameters.begin() + static_cast<std::ptrdiff_t>(first),
                                           parameters.begin() + static_cast<std::ptrdiff_t>(last)});
        const Network& network = directions.network();
        DirectionSystem system(directions, 0, std::nullopt);
        std::vector<double> x(system.size()), dx(x.size());
        for (std::size_t i = 0; i < network.size(); ++i)
            for (std::size_t k = 0; k < group; ++k)
                x[i * group + k] = k == 0                      ? states[i]
                                   : i < network.state_count() ? 1e-3 * off(random) * network.nominal()[i]
                                                               : 0;
        ASSERT_TRUE(system.derivative(2, x.data(), dx.data())) << system.explain();
        for (std::size_t k = 0; k < directions.size(); ++k) {
            std::vector<double> s(states.size());
            for (std::size_t i = 0; i < s.size(); ++i) s[i] = x[i * group + 1 + k];
            const bool bound = directions.trials(k).size() == 3;
            one_sided += bound;
            const auto reference =
                whole_difference(spec, directions.parameter(k), directions.scale(k), bound, states, s);
            for (std::size_t i = 0; i < s.size(); ++i) {
                const double exact = dx[i * group + 1 + k], size = std::max(std::fabs(exact), std::fabs(reference[i]));
                const double nominal = i < network.state_count() ? network.nominal()[i] : 1e3;
                const double noise = 1e-6 * (std::fabs(dx[i * group]) + nominal);
                EXPECT_NEAR(exact, reference[i], 1e-4 * size + noise)
                    << network.names()[i] << " by " << directions.parameter(k).name;
                effective += size > 1e3 * noise;
            }
        }
    }
    EXPECT_GT(effective, 5 * parameters.size());
    EXPECT_GT(one_sided, 5u);
}

TEST(Directions, AreRefusedWhereTheRigJumps) {
    for (const char* key : {"height", "fin_height", "tube_thickness"}) {
        ASSERT_TRUE(is_at_a_jump(std::string("front.") + key));
        try {
            Directions(rig(), {{key, {{"front", key}}}});
            ADD_FAILURE() << key << " is accepted";
        } catch (const std::invalid_argument& e) {
            EXPECT_NE(std::string(e.what()).find("the rig jumps at its value"), std::string::npos) << e.what();
        }
    }
    EXPECT_NO_THROW(Directions(rig(), {{"width", {{"front", "width"}}}}));
}

const std::vector<Parameter> chosen{{"core", {{"cooler", "ua_scale"}}},
                                    {"pulley", {{"drive", "pulley_diameter"}}},
                                    {"displacement", {{"breathing", "displacement"}}},
                                    {"weather", {{"ambient", "temperature"}}},
                                    {"spark", {{"calibration", "spark_table"}}, Parameter::Kind::factor}};

std::vector<std::size_t> columns(const Network& n, const std::vector<std::string>& names) {
    std::vector<std::size_t> all;
    for (std::size_t k = 0; k < n.channels().size(); ++k)
        if (std::find(names.begin(), names.end(), n.channels()[k].name) != names.end()) all.push_back(k);
    return all;
}

/// Central, fourth order in the parameter's step; `at` the same report points.
std::vector<Pull> pulls_around(const RigSpec& spec, const Parameter& p, double step, const PullPlan& plan) {
    std::vector<Pull> all;
    for (const double k : {-2.0, -1.0, 1.0, 2.0}) all.push_back(run_pull(Network(moved(spec, p, k * step)), plan));
    return all;
}

TEST(Directions, OfAWholePullEqualDifferencesOfPulls) {
    const RigSpec spec = rig();
    const Directions directions(spec, chosen);
    const auto channels =
        columns(directions.network(), {"manifold.gas.p", "manifold.gas.T", "sensor.reading", "load.crank.omega"});
    ASSERT_EQ(channels.size(), 4u);
    PullPlan plan{.settle = 3, .longest = 6, .output_step = 0.1};
    const DirectedPull r = run_pull(directions, plan, channels);
    ASSERT_EQ(r.pull.points(), 61u);
    plan.tolerance = 1e-10;
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        const double step = 1e-3 * directions.scale(k);
        const auto around = pulls_around(spec, chosen[k], step, plan);
        for (std::size_t c = 0; c < channels.size(); ++c) {
            double peak = 0, error = 0, size = 0;
            for (std::size_t i = 0; i < r.pull.points(); ++i) {
                const auto value = [&](int n) { return around[static_cast<std::size_t>(n)].at(i, channels[c]); };
                const double slope = (8 * (value(2) - value(1)) - (value(3) - value(0))) / (12 * step);
                peak = std::max(peak, std::fabs(slope));
                error = std::max(error, std::fabs(slope - r.slope(i, c, k)));
                size = std::max(size, std::fabs(value(1)));
            }
            // Of a weak effect no more is known than the tolerance lets the value itself be known.
            EXPECT_LE(error, 1e-4 * peak + 2e-6 * size / directions.scale(k))
                << directions.network().channels()[channels[c]].name << " by " << chosen[k].name;
        }
    }
}

TEST(Directions, LeaveThePullItself) {
    const RigSpec spec = rig();
    const Directions directions(spec, chosen);
    const PullPlan plan{.settle = 3, .stop_speed = 650, .output_step = 0.1};
    const Pull plain = run_pull(directions.network(), plan);
    const DirectedPull r = run_pull(directions, plan, {});
    ASSERT_EQ(r.pull.points(), plain.points());
    EXPECT_NEAR(r.pull.time.back(), plain.time.back(), 1e-4 * plain.time.back());
    EXPECT_LT(std::fabs(r.pull.gas.relative()), 1e-8);
    EXPECT_LT(std::fabs(r.pull.energy.relative()), 1e-6);
    const auto power = columns(directions.network(), {"load.crank_power", "manifold.gas.T"});
    for (std::size_t i = 0; i + 1 < plain.points(); ++i)
        for (const auto c : power) EXPECT_NEAR(r.pull.at(i, c), plain.at(i, c), 1e-4 * std::fabs(plain.at(i, c))) << i;
    for (const double t : r.stop_time) EXPECT_TRUE(std::isfinite(t) && t != 0);
}

TEST(Directions, WorkForAComponentBuiltForDoublesOnly) {
    const RigSpec spec = rig();
    const std::vector<Parameter> two(chosen.begin(), chosen.begin() + 2);
    const PullPlan plan{.settle = 1, .longest = 2, .output_step = 0.1};
    const Directions exact(spec, two), differences(for_doubles(spec), two);
    const auto channels = columns(exact.network(), {"manifold.gas.T", "load.crank_power"});
    const DirectedPull a = run_pull(exact, plan, channels), b = run_pull(differences, plan, channels);
    ASSERT_FALSE(differences.network().differentiable());
    for (std::size_t c = 0; c < channels.size(); ++c)
        for (std::size_t k = 0; k < two.size(); ++k) {
            double peak = 0, apart = 0;
            for (std::size_t i = 0; i < a.pull.points(); ++i) {
                peak = std::max(peak, std::fabs(a.slope(i, c, k)));
                apart = std::max(apart, std::fabs(a.slope(i, c, k) - b.slope(i, c, k)));
            }
            EXPECT_LE(apart, 3e-4 * peak) << c << " by " << two[k].name;
        }
}

}  // namespace directions_tests

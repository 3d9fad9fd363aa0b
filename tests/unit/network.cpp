// The rig compiler: names, order, structure, and what it says when a rig makes no sense.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <pullcast/network/network.hpp>
#include <pullcast/sdk.hpp>

namespace network_tests {

using namespace pullcast;

/// stores heat: C dT/dt = sum(Q)
struct Lump {
    double capacity, start_T;
    State T;
    Node<Heat> node;
    static void describe(Schema<Lump>& s) {
        s.role = "lump";
        s.number(&Lump::capacity, "capacity", "J/K", "heat capacity").positive();
        s.number(&Lump::start_T, "start", "K", "temperature at the start").preset(300);
        s.state(&Lump::T, "T", "K", 300, "temperature");
        s.node(&Lump::node, "node", "the lump");
    }
    Problem prepare() { return start_T > 2000 ? Problem{"start", "is above the melting point"} : Problem{}; }
    void start(Start v) const { v[T] = start_T; }
    Stock stored(Held v) const { return {.energy = capacity * v[T]}; }
    void publish(auto v) const { v(node, {v[T]}); }
    void balance(auto v) const { v.rate(T) = v[node].Q / capacity; }
};

/// transports heat: Q = G (Ta - Tb), radiation-like so that the Jacobian is not constant
struct Link {
    double conductance;
    End<Heat> a, b;
    Account lost;
    Output heat;
    static void describe(Schema<Link>& s) {
        s.role = "link";
        s.number(&Link::conductance, "conductance", "W/K", "conductance").positive();
        s.end(&Link::a, "a", "one side");
        s.end(&Link::b, "b", "other side");
        s.account(&Link::lost, "lost", Ledger::energy, "heat to outside");
        s.output(&Link::heat, "heat", "W", "heat from a to b");
    }
    void flow(auto v) const {
        const auto Q = conductance * (v[a].T - v[b].T) * (v[a].T / 300);
        v.transfer(a, b, {Q});
        v.put(a, {-0.01 * Q});
        v.rate(lost) = -0.01 * Q;
        v.output(heat, Q);
        if (v[a].T > 5000.0) v.reject("temperature", v[a].T, 0, 5000);
    }
};

/// publishes a signal from another one
struct Echo {
    Reads<Signal> in;
    Node<Signal> out;
    static void describe(Schema<Echo>& s) {
        s.role = "echo";
        s.reads(&Echo::in, "in", "input");
        s.signal(&Echo::out, "out", "1", "output");
    }
    void publish(auto v) const { v(out, {v[in].value * 2.0}); }
};

struct Meter {
    Reads<Heat> at;
    Node<Signal> out;
    static void describe(Schema<Meter>& s) {
        s.role = "meter";
        s.reads(&Meter::at, "at", "where");
        s.signal(&Meter::out, "out", "K", "reading");
    }
    void publish(auto v) const { v(out, {v[at].T}); }
};

const auto *lump = component<Lump>("test.lump"), *link_type = component<Link>("test.link"),
           *echo = component<Echo>("test.echo"), *meter = component<Meter>("test.meter");

RigSpec chain() {
    RigSpec rig;
    rig.components = {{"second", echo, {}, {{"in", "first.out"}}},
                      {"first", meter, {}, {{"at", "hot"}}},
                      {"hot", lump, {{"capacity", 10.0}, {"start", 400.0}}, {}},
                      {"bridge", link_type, {{"conductance", 2.0}}, {{"a", "hot.node"}, {"b", "cold"}}},
                      {"cold", lump, {{"capacity", 20.0}}, {}},
                      {"apart", lump, {{"capacity", 5.0}}, {}}};
    return rig;
}

std::vector<RigProblem> problems_of(const RigSpec& rig) {
    try {
        const Network n(rig);
    } catch (const RigError& e) {
        return e.problems;
    }
    return {};
}

TEST(Network, EvaluatesInOrder) {
    const Network n(chain());
    Workspace<double> w(n);
    n.start(w.x.data());
    ASSERT_TRUE(n.evaluate(w));
    const auto row = [&](const std::string& name) {
        return std::find(n.names().begin(), n.names().end(), name) - n.names().begin();
    };
    const double Q = 2.0 * 100 * 400 / 300;
    EXPECT_DOUBLE_EQ(w.dx[row("hot.T")], -1.01 * Q / 10);
    EXPECT_DOUBLE_EQ(w.dx[row("cold.T")], Q / 20);
    EXPECT_DOUBLE_EQ(w.dx[row("apart.T")], 0);
    EXPECT_DOUBLE_EQ(w.dx[row("bridge.lost")], -0.01 * Q);
    EXPECT_EQ(row("bridge.lost"), 3) << "accounts stand after the states";

    std::vector<double> channels(n.channels().size());
    n.record(w, channels.data());
    EXPECT_EQ(n.channels()[0].name, "second.out");
    EXPECT_DOUBLE_EQ(channels[0], 800) << "the echo published after the meter that it reads";
    EXPECT_DOUBLE_EQ(n.stored(w.x.data()).energy, 10 * 400 + 20 * 300 + 5 * 300);
}

// The structure covers every derivative that the dual sweeps find, and leaves out the lump that nothing touches.
TEST(Network, StructureCoversTheJacobian) {
    const Network n(chain());
    Workspace<Dual> w(n);
    std::vector<double> x(n.size());
    n.start(x.data());
    for (std::size_t i = 0; i < x.size(); ++i) w.x[i] = Dual(x[i]);
    for (std::size_t c = 0; c < n.state_count(); ++c) w.x[c].d[c] = 1;
    ASSERT_TRUE(n.evaluate(w));
    for (std::size_t r = 0; r < n.size(); ++r)
        for (std::uint32_t c = 0; c < n.state_count(); ++c) {
            const auto& row = n.dependencies()[r];
            if (w.dx[r].d[c] != 0) {
                EXPECT_TRUE(std::binary_search(row.begin(), row.end(), c)) << n.names()[r] << " by " << n.names()[c];
            }
        }
    for (std::size_t r = 0; r < n.size(); ++r) {
        if (n.names()[r] == "apart.T") { EXPECT_EQ(n.dependencies()[r].size(), 1u); }
        if (n.names()[r] == "cold.T") { EXPECT_EQ(n.dependencies()[r].size(), 2u); }
    }
}

TEST(Network, RejectionKeepsTheFirstReason) {
    auto rig = chain();
    const Network n(rig);
    Workspace<double> w(n);
    n.start(w.x.data());
    for (auto& x : w.x) x = 6000;
    EXPECT_FALSE(n.evaluate(w));
    EXPECT_EQ(n.component_name(w.arena.rejection.component), "bridge");
    EXPECT_STREQ(w.arena.rejection.what, "temperature");
    EXPECT_DOUBLE_EQ(w.arena.rejection.value, 6000);
}

TEST(Network, NamesTheFirstThatIsNotFinite) {
    const Network n(chain());
    Workspace<double> w(n);
    n.start(w.x.data());
    EXPECT_EQ(n.find_not_finite(w), "");
    for (std::size_t i = 0; i < n.size(); ++i)
        if (n.names()[i] == "hot.T") w.x[i] = std::nan("");
    EXPECT_EQ(n.find_not_finite(w), "hot: its temperature (heat) is not a number");
}

TEST(Network, MissingEnd) {
    auto rig = chain();
    rig.components[3].connections.erase("b");
    const auto p = problems_of(rig);
    ASSERT_EQ(p.size(), 1u);
    EXPECT_EQ(p[0].component, "bridge");
    EXPECT_EQ(p[0].key, "b");
    EXPECT_EQ(p[0].message, "'b' must be connected to a heat node (other side)");
}

TEST(Network, UnknownNodeAndDomain) {
    auto rig = chain();
    rig.components[3].connections["b"] = "cald.node";
    auto p = problems_of(rig);
    ASSERT_EQ(p.size(), 1u);
    EXPECT_EQ(p[0].message, "no heat node 'cald.node' in this rig");
    EXPECT_EQ(p[0].hint, "did you mean 'cold.node'?");

    rig = chain();
    rig.components[3].connections["b"] = "first.out";
    p = problems_of(rig);
    ASSERT_EQ(p.size(), 1u);
    EXPECT_EQ(p[0].message, "'first.out' is a signal node, 'b' wants a heat node");
}

TEST(Network, CycleOfReadsPrintsItsPath) {
    RigSpec rig;
    rig.components = {{"one", echo, {}, {{"in", "two.out"}}}, {"two", echo, {}, {{"in", "one.out"}}}};
    const auto p = problems_of(rig);
    ASSERT_EQ(p.size(), 1u);
    EXPECT_EQ(p[0].message, "what it publishes depends on itself: one reads two reads one");
}

TEST(Network, ParametersAreChecked) {
    auto rig = chain();
    rig.components[2].parameters.erase("capacity");
    rig.components[4].parameters["weight"] = 3.0;
    rig.components[5].parameters["capacity"] = std::int32_t{3};
    const auto p = problems_of(rig);
    ASSERT_EQ(p.size(), 3u);
    rig = chain();
    rig.components[2].parameters["start"] = 2500.0;
    const auto q = problems_of(rig);
    ASSERT_EQ(q.size(), 1u);
    EXPECT_EQ(q[0].key, "start");
    EXPECT_EQ(q[0].message, "is above the melting point");
}

TEST(Network, TwoOfAName) {
    auto rig = chain();
    rig.components[5].name = "hot";
    EXPECT_EQ(problems_of(rig).at(0).message, "component 'hot' stands twice in the rig");
}

}  // namespace network_tests

// What a drawing of a rig is made from: kinds, edges and their direction, reads, and the channels that tell most.
#include <gtest/gtest.h>

#include <pullcast/sdk.hpp>
#include <pullcast/study/rig_graph.hpp>

namespace rig_graph_tests {

using namespace pullcast;

/// stores gas and the heat of its wall
struct Vessel {
    Node<Gas> gas;
    Node<Heat> wall;
    Output pressure, mass, wall_temperature;
    static void describe(Schema<Vessel>& s) {
        s.role = "volume";
        s.summary = "stores gas";
        s.node(&Vessel::gas, "gas", "the gas");
        s.node(&Vessel::wall, "wall", "the wall");
        s.output(&Vessel::pressure, "pressure", "Pa", "absolute pressure");
        s.output(&Vessel::mass, "mass", "kg", "gas inside");
        s.output(&Vessel::wall_temperature, "wall_temperature", "K", "of the wall");
    }
    void publish(auto v) const { v(gas, {1e5, 300, 0, 1.2, 0}), v(wall, {300}); }
};

/// transports gas; it turns too, its case is warm, and it looks at another vessel
struct Mover {
    End<Gas> from, to;
    Node<Shaft> shaft;
    Node<Heat> casing;
    Sees<Gas> watched;
    Sees<Signal> opening;
    Output speed, outlet, flow;
    static void describe(Schema<Mover>& s) {
        s.role = "mover";
        s.end(&Mover::from, "from", "inlet");
        s.end(&Mover::to, "to", "outlet");
        s.node(&Mover::casing, "case", "casing");
        s.node(&Mover::shaft, "shaft", "shaft");
        s.sees(&Mover::watched, "watched", "what it looks at").optional();
        s.sees(&Mover::opening, "opening", "how far it is open").optional();
        s.output(&Mover::speed, "speed", "rad/s", "of the shaft");
        s.output(&Mover::outlet, "outlet", "K", "of the gas behind it");
        s.output(&Mover::flow, "flow", "kg/s", "gas moved");
    }
    void publish(auto v) const { v(shaft, {100}), v(casing, {310}); }
};

/// transports torque from one shaft to another and gives off heat
struct Coupling {
    End<Shaft> crank, rotor;
    End<Heat> surroundings;
    static void describe(Schema<Coupling>& s) {
        s.role = "coupling";
        s.end(&Coupling::crank, "crank", "driving shaft");
        s.end(&Coupling::rotor, "rotor", "driven shaft");
        s.end(&Coupling::surroundings, "surroundings", "what it warms").optional();
    }
    void flow(auto v) const { v.put(crank, {-1}), v.put(rotor, {1}); }
};

/// drives a shaft
struct Motor {
    End<Shaft> crank;
    static void describe(Schema<Motor>& s) { s.role = "motor", s.end(&Motor::crank, "crank", "driven shaft"); }
    void flow(auto v) const { v.put(crank, {1}); }
};

/// stores the speed of a shaft
struct Wheel {
    Node<Shaft> crank;
    static void describe(Schema<Wheel>& s) { s.role = "wheel", s.node(&Wheel::crank, "crank", "crankshaft"); }
    void publish(auto v) const { v(crank, {50}); }
};

/// stores heat; it is all that it is about
struct Block {
    Node<Heat> metal;
    Output power, temperature;
    static void describe(Schema<Block>& s) {
        s.role = "block";
        s.node(&Block::metal, "metal", "the metal");
        s.output(&Block::power, "power", "W", "given off");
        s.output(&Block::temperature, "temperature", "K", "of the metal");
    }
    void publish(auto v) const { v(metal, {350}); }
};

/// transports heat
struct Path {
    End<Heat> from, to;
    static void describe(Schema<Path>& s) {
        s.role = "path", s.end(&Path::from, "from", "warm side"), s.end(&Path::to, "to", "cold side");
    }
    void flow(auto v) const { v.transfer(from, to, {1}); }
};

/// only looks
struct Probe {
    Reads<Gas> at;
    Node<Signal> reading;
    Output same, other;
    static void describe(Schema<Probe>& s) {
        s.role = "probe";
        s.reads(&Probe::at, "at", "where");
        s.signal(&Probe::reading, "reading", "K", "what it reports");
        s.output(&Probe::same, "reported", "K", "what it reports");
        s.output(&Probe::other, "error", "K", "how wrong that is");
    }
    void publish(auto v) const { v(reading, {v[at].T}); }
};

const auto *vessel = component<Vessel>("test.vessel"), *mover = component<Mover>("test.mover"),
           *coupling = component<Coupling>("test.coupling"), *motor = component<Motor>("test.motor"),
           *wheel = component<Wheel>("test.wheel"), *block = component<Block>("test.block"),
           *path = component<Path>("test.path"), *probe = component<Probe>("test.probe");

RigSpec rig() {
    RigSpec out;
    out.components = {{"engine", wheel, {}, {}},
                      {"motor", motor, {}, {{"crank", "engine"}}},
                      {"belt", coupling, {}, {{"crank", "engine"}, {"rotor", "pump"}, {"surroundings", "hot"}}},
                      {"low", vessel, {}, {}},
                      {"pump", mover, {}, {{"from", "low"}, {"to", "high"}, {"watched", "low"}, {"opening", "probe"}}},
                      {"high", vessel, {}, {}},
                      {"hot", block, {}, {}},
                      {"soak", path, {}, {{"from", "hot"}, {"to", "high.wall"}}},
                      {"probe", probe, {}, {{"at", "high"}}}};
    return out;
}

/// "from > to domain [label]"; "?" instead of ">" where `to` only reads
std::vector<std::string> edges(const RigGraph& g) {
    std::vector<std::string> out;
    for (const auto& e : g.edges)
        out.push_back(e.from + (e.moves ? " > " : " ? ") + e.to + " " +
                      domain_info(static_cast<std::uint8_t>(e.domain)).name + (e.label.empty() ? "" : " " + e.label));
    return out;
}

std::vector<std::string> channels(const Network& n, const std::string& component) {
    std::vector<std::string> out;
    for (const auto& c : rig_graph(n).components)
        if (c.name == component)
            for (const auto k : c.channels) out.push_back(n.channels()[k].name);
    return out;
}

using Names = std::vector<std::string>;

TEST(RigGraph, KeepsTheRigsOrderAndTellsStoragesFromLinksFromWatchers) {
    const auto g = rig_graph(Network(rig()));
    ASSERT_EQ(g.components.size(), 9u);
    const RigGraph::Kind wanted[] = {RigGraph::Kind::storage, RigGraph::Kind::link, RigGraph::Kind::link,
                                     RigGraph::Kind::storage, RigGraph::Kind::link, RigGraph::Kind::storage,
                                     RigGraph::Kind::storage, RigGraph::Kind::link, RigGraph::Kind::watch};
    for (std::size_t i = 0; i < g.components.size(); ++i) {
        EXPECT_EQ(g.components[i].name, rig().components[i].name);
        EXPECT_EQ(g.components[i].kind, wanted[i]) << g.components[i].name;
    }
    EXPECT_EQ(g.components[3].model, "test.vessel");
    EXPECT_EQ(g.components[3].role, "volume");
    EXPECT_EQ(g.components[3].summary, "stores gas");
}

TEST(RigGraph, EdgesPointTheWayThatIsPositiveAndReadsComeFromWhatIsRead) {
    const Names wanted = {"motor > engine shaft",   // one shaft: it is what drives
                          "engine > belt shaft",    // two: the crank drives
                          "belt > pump shaft",      //
                          "belt > hot heat metal",  // out to what is warmed
                          "low > pump gas",         //
                          "probe ? pump signal reading",
                          "pump > high gas",
                          "low ? pump gas watched",  // the same vessel twice: moved from, and only read
                          "hot > soak heat metal",
                          "soak > high heat wall",
                          "high ? probe gas at"};
    EXPECT_EQ(edges(rig_graph(Network(rig()))), wanted);
}

TEST(RigGraph, EdgesSayWhichSideDeclaredThem) {
    for (const auto& e : rig_graph(Network(rig())).edges) {
        const auto& declares = e.outward ? e.from : e.to;
        const bool is_storage = declares == "low" || declares == "high" || declares == "hot" || declares == "engine";
        EXPECT_FALSE(is_storage) << e.from << " " << e.to << ": storages declare no connection";
    }
}

TEST(RigGraph, ChannelsTellEachThingOnceWithTheNodesFirst) {
    const Network n(rig());
    EXPECT_EQ(channels(n, "low"), Names({"low.gas.T", "low.gas.p", "low.mass", "low.wall.T"}))
        << "without enthalpy, density, vapour, and what the nodes said already";
    EXPECT_EQ(channels(n, "pump"), Names({"pump.shaft.omega", "pump.flow", "pump.outlet", "pump.case.T"}))
        << "speed is omega; the temperature beside it is told by the vessel";
    EXPECT_EQ(channels(n, "hot"), Names({"hot.metal.T", "hot.power"})) << "heat first where heat is all there is";
    EXPECT_EQ(channels(n, "probe"), Names({"probe.reading", "probe.error"}));
    EXPECT_EQ(channels(n, "soak"), Names());
}

}  // namespace rig_graph_tests

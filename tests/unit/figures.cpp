// The figures of a pull, on a network without physics and report points written by hand: which channel of which role at
// which point, what "boost" means, which correction is applied, and what is said where a rig has no such part.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <pullcast/media/humidity.hpp>
#include <pullcast/sdk.hpp>
#include <pullcast/study/figures.hpp>
#include <set>

namespace {

using namespace pullcast;

template <class C> void documented(Schema<C>& s, const char* role) {
    s.role = role, s.summary = "stores nothing", s.reference = "-", s.validity = "-";
}

struct Weather {
    Node<Gas> air;
    static void describe(Schema<Weather>& s) {
        documented(s, "ambient");
        s.node(&Weather::air, "air", "outside air");
    }
    void publish(auto v) const { v(air, {1e5, 300.0, 0.0, 1.2, 0.0}); }
};
/// Two of them stand in the rig: boost belongs to the one that the engine draws from.
struct Box {
    Node<Gas> gas;
    static void describe(Schema<Box>& s) {
        documented(s, "volume");
        s.node(&Box::gas, "gas", "the gas");
    }
    void publish(auto v) const { v(gas, {1e5, 300.0, 0.0, 1.2, 0.0}); }
};
struct Breathing {
    Sees<Gas> manifold;
    Output air_flow;
    static void describe(Schema<Breathing>& s) {
        documented(s, "breathing");
        s.sees(&Breathing::manifold, "manifold", "gas before the ports");
        s.output(&Breathing::air_flow, "air_flow", "kg/s", "air into the cylinders");
    }
    void flow(auto) const {}
};
struct Dyno {
    Node<Shaft> crank;
    Output speed, crank_power, crank_torque, wheel_power, wheel_torque;
    static void describe(Schema<Dyno>& s) {
        documented(s, "load");
        s.node(&Dyno::crank, "crank", "crankshaft");
        s.output(&Dyno::speed, "speed", "rad/s", "crank speed");
        s.output(&Dyno::crank_power, "crank_power", "W", "power");
        s.output(&Dyno::crank_torque, "crank_torque", "N m", "torque");
        s.output(&Dyno::wheel_power, "wheel_power", "W", "power");
        s.output(&Dyno::wheel_torque, "wheel_torque", "N m", "torque");
    }
    void publish(auto v) const { v(crank, {200.0}); }
};
struct Margin {
    Output margin, margin_octane;
    static void describe(Schema<Margin>& s) {
        documented(s, "knock");
        s.output(&Margin::margin, "margin", "rad", "spark that could be added");
        s.output(&Margin::margin_octane, "margin_octane", "1", "in octane numbers");
    }
    void flow(auto) const {}
};

const auto *weather = component<Weather>("test.weather"), *box = component<Box>("test.box"),
           *dyno = component<Dyno>("test.dyno"), *breathing = component<Breathing>("test.breathing"),
           *knock = component<Margin>("test.knock");

RigSpec whole_rig() {
    RigSpec rig;
    rig.components = {{"outside", weather, {}, {}}, {"airbox", box, {}, {}},
                      {"plenum", box, {}, {}},      {"engine", breathing, {}, {{"manifold", "plenum.gas"}}},
                      {"rollers", dyno, {}, {}},    {"rules", knock, {}, {}}};
    return rig;
}
RigSpec without(const std::string& name) {
    RigSpec rig = whole_rig();
    std::erase_if(rig.components, [&](const ComponentSpec& c) { return c.name == name; });
    return rig;
}

/// A pull of which the test writes every number: five report points, channels not named are 0.
class Written {
    Network network_;
    Pull pull_;

public:
    explicit Written(const RigSpec& rig) : network_(rig) {
        pull_.time = {0, 0.25, 0.5, 0.75, 1};
        pull_.channels = network_.channels().size();
        pull_.values.assign(pull_.time.size() * pull_.channels, 0);
    }
    Written& set(const std::string& channel, const std::vector<double>& values) {
        const auto& all = network_.channels();
        const auto at = std::find_if(all.begin(), all.end(), [&](const Channel& c) { return c.name == channel; });
        if (at == all.end()) return *this;  // a rig without that component
        for (std::size_t k = 0; k < values.size(); ++k)
            pull_.values[k * pull_.channels + static_cast<std::size_t>(at - all.begin())] = values[k];
        return *this;
    }
    double figure(std::string_view key) const {
        for (const Figure& f : figures())
            if (key == f.key) return f.compute(PullView(network_, pull_));
        throw std::out_of_range("no figure " + std::string(key));
    }
    AppliedCorrection corrected(Standard s) const { return correction(PullView(network_, pull_), s); }
};

Written written(const RigSpec& rig) {
    Written p(rig);
    p.set("outside.air.p", {95e3, 95e3, 95e3, 95e3, 95e3}).set("outside.air.T", {300, 300, 300, 300, 300});
    p.set("airbox.gas.p", {94e3, 94e3, 93e3, 92e3, 91e3}).set("airbox.gas.T", {300, 301, 302, 303, 304});
    p.set("plenum.gas.p", {40e3, 120e3, 150e3, 160e3, 158e3}).set("plenum.gas.T", {310, 315, 320, 330, 345});
    p.set("engine.air_flow", {0.02, 0.1, 0.15, 0.2, 0.22});
    p.set("rollers.speed", {200, 300, 400, 500, 600}).set("rollers.crank_power", {10e3, 90e3, 150e3, 210e3, 200e3});
    p.set("rollers.crank_torque", {50, 300, 375, 420, 333}).set("rollers.wheel_power", {0, 70e3, 120e3, 170e3, 172e3});
    p.set("rollers.wheel_torque", {0, 233, 300, 340, 287});
    p.set("rules.margin", {-0.9, -0.8, 0.10, 0.05, 0.07}).set("rules.margin_octane", {-50, -45, 5.7, 2.9, 4.0});
    return p;
}

TEST(Figures, BoostIsTheEnginesManifoldAboveAmbient) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("boost_start"), 55e3) << "half a second after the throttle opens";
    EXPECT_DOUBLE_EQ(p.figure("boost_peak_power"), 65e3);
    EXPECT_DOUBLE_EQ(p.figure("boost_redline"), 63e3);
}

TEST(Figures, PeaksAndEnds) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("crank_power"), 210e3);
    EXPECT_DOUBLE_EQ(p.figure("peak_power_speed"), 500);
    EXPECT_DOUBLE_EQ(p.figure("crank_torque"), 420);
    EXPECT_DOUBLE_EQ(p.figure("wheel_power"), 172e3) << "a peak of its own, not where the crank's is";
    EXPECT_DOUBLE_EQ(p.figure("wheel_torque"), 340);
    EXPECT_DOUBLE_EQ(p.figure("pull_time"), 1);
    EXPECT_DOUBLE_EQ(p.figure("air_flow_redline"), 0.22);
    EXPECT_DOUBLE_EQ(p.figure("charge_start"), 310);
    EXPECT_DOUBLE_EQ(p.figure("charge_peak_power"), 330);
    EXPECT_DOUBLE_EQ(p.figure("charge_redline"), 345);
    EXPECT_DOUBLE_EQ(p.figure("charge_rise"), 35);
}

// While the throttle opens nothing is said about knock.
TEST(Figures, KnockMarginIsTheSmallestOnceBoostIsThere) {
    const Written p = written(whole_rig());
    EXPECT_DOUBLE_EQ(p.figure("knock_margin"), 0.05);
    EXPECT_DOUBLE_EQ(p.figure("knock_margin_octane"), 2.9);
    EXPECT_DOUBLE_EQ(p.figure("knock_margin_speed"), 500);
}

// Points worked from the formulas of SAE J1349 and ISO 1585 as quoted second-hand (tests/published/power_correction.cpp
// has the same): barometer, humidity and temperature of the pull's ambient, and dry pressure, not total.
TEST(Figures, CorrectedPowerUsesTheFactorAtThePullsAmbient) {
    struct Point {
        double t, rh, p, j1349, iso;
        bool j1349_in_range, iso_in_range;
    };
    constexpr Point points[] = {
        {25, 0.0, 99000, 1.00000, 1.00000, true, true},   {25, 0.5, 101325, 0.99124, 0.99110, true, true},
        {30, 0.6, 100000, 1.02875, 1.02931, true, true},  {35, 0.4, 98000, 1.06037, 1.06170, true, true},
        {40, 0.3, 95000, 1.11034, 1.11323, false, false}, {5, 0.9, 90000, 1.08472, 1.08676, false, false}};
    for (const auto& c : points) {
        const double T = c.t + 273.15, w = media::vapour_fraction(c.rh, T, c.p);
        Written p = written(whole_rig());
        p.set("outside.air.T", {T, T, T, T, T}).set("outside.air.p", {c.p, c.p, c.p, c.p, c.p});
        p.set("outside.air.w", {w, w, w, w, w});
        EXPECT_NEAR(p.figure("crank_power_j1349") / 210e3, c.j1349, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("crank_power_iso1585") / 210e3, c.iso, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("wheel_power_j1349") / 172e3, c.j1349, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("crank_torque_iso1585") / 420, c.iso, 1e-4) << c.t;
        EXPECT_NEAR(p.figure("wheel_torque_j1349") / 340, c.j1349, 1e-4) << c.t;
        EXPECT_DOUBLE_EQ(p.figure("crank_power"), 210e3) << "as measured, whatever the weather";
        EXPECT_EQ(p.corrected(Standard::sae_j1349).in_range, c.j1349_in_range) << c.t;
        EXPECT_EQ(p.corrected(Standard::iso_1585).in_range, c.iso_in_range) << c.t;
    }
    EXPECT_EQ(written(whole_rig()).corrected(Standard::none).factor, 1);
}

/// Which of these figures are NaN, in one line.
std::string missing(const Written& p, const std::vector<std::string>& keys) {
    std::string text;
    for (const auto& key : keys)
        if (std::isnan(p.figure(key))) text += (text.empty() ? "" : " ") + key;
    return text;
}

TEST(Figures, AreNotANumberWhereTheRigHasNoSuchPart) {
    const std::vector<std::string> keys = {"crank_power",  "boost_redline",      "charge_redline", "air_flow_redline",
                                           "knock_margin", "knock_margin_speed", "pull_time"};
    EXPECT_EQ(missing(written(whole_rig()), keys), "");
    EXPECT_EQ(missing(written(without("rules")), keys), "knock_margin knock_margin_speed");
    EXPECT_EQ(missing(written(without("outside")), keys), "boost_redline");
    EXPECT_EQ(missing(written(without("engine")), keys), "boost_redline charge_redline air_flow_redline");
    EXPECT_EQ(missing(written(without("rollers")), keys), "crank_power knock_margin_speed");
}

TEST(Figures, OfPartsThatAreNotThereAreNotANumber) {
    const Written p = written(whole_rig());
    for (const char* key : {"blower_speed", "drive_power", "belt_slip", "belt_margin", "effectiveness_start",
                            "coolant_flow", "reservoir_redline", "intake_redline"})
        EXPECT_TRUE(std::isnan(p.figure(key))) << key;
}

// Without weather nothing can be corrected: the figure must not pass for a corrected one.
TEST(Figures, WithoutAmbientNoCorrectedFigure) {
    EXPECT_TRUE(std::isnan(written(without("outside")).figure("crank_power_j1349")));
    EXPECT_TRUE(std::isnan(written(without("outside")).figure("crank_torque_iso1585")));
}

TEST(Figures, KeysAreUniqueAndDocumented) {
    std::set<std::string> seen;
    for (const Figure& f : figures()) {
        EXPECT_TRUE(seen.insert(f.key).second) << f.key;
        EXPECT_GT(std::string(f.doc).size(), 8u) << f.key;
        EXPECT_FALSE(std::string(f.label).empty()) << f.key;
    }
}

}  // namespace

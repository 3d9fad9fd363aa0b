/// Networks without physics, and report points written by hand: what the tests of figures and words read.
#pragma once
#include <algorithm>
#include <cmath>
#include <memory>
#include <pullcast/sdk.hpp>
#include <pullcast/study/curves.hpp>
#include <pullcast/study/study_run.hpp>
#include <stdexcept>
#include <string>

namespace written_pull {

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
    Output margin, margin_octane, headroom, limited_spark, fuel_octane, per_temperature, per_pressure, per_octane;
    static void describe(Schema<Margin>& s) {
        documented(s, "knock");
        s.output(&Margin::margin, "margin", "rad", "spark that could be added");
        s.output(&Margin::margin_octane, "margin_octane", "1", "in octane numbers");
        s.output(&Margin::headroom, "headroom", "dK", "how much hotter the charge could be");
        s.output(&Margin::limited_spark, "limited_spark", "rad", "spark at which it knocks");
        s.output(&Margin::fuel_octane, "fuel_octane", "1", "octane number of the fuel");
        s.output(&Margin::per_temperature, "per_temperature", "rad/K", "slope of the margin");
        s.output(&Margin::per_pressure, "per_pressure", "rad/Pa", "slope of the margin");
        s.output(&Margin::per_octane, "per_octane", "rad", "slope of the margin");
    }
    void flow(auto) const {}
};
struct Tables {
    Node<Signal> spark, table_spark;
    static void describe(Schema<Tables>& s) {
        documented(s, "calibration");
        s.signal(&Tables::spark, "spark", "rad", "spark");
        s.signal(&Tables::table_spark, "table_spark", "rad", "spark before trims and limit");
    }
    void publish(auto v) const { v(spark, {0.2}), v(table_spark, {0.2}); }
};
struct Torque {
    Sees<Signal> table_spark;
    Output spark_loss, retard_loss;
    static void describe(Schema<Torque>& s) {
        documented(s, "torque");
        s.sees(&Torque::table_spark, "table_spark", "spark to compare with").optional();
        s.output(&Torque::spark_loss, "spark_loss", "W", "against spark of best torque");
        s.output(&Torque::retard_loss, "retard_loss", "W", "against spark of the table");
    }
    void flow(auto) const {}
};

inline const auto *weather = component<Weather>("test.weather"), *box = component<Box>("test.box"),
                  *dyno = component<Dyno>("test.dyno"), *breathing = component<Breathing>("test.breathing"),
                  *knock = component<Margin>("test.knock"), *tables = component<Tables>("test.tables"),
                  *torque = component<Torque>("test.torque");

inline RigSpec whole_rig() {
    RigSpec rig;
    rig.components = {{"outside", weather, {}, {}}, {"airbox", box, {}, {}},
                      {"plenum", box, {}, {}},      {"engine", breathing, {}, {{"manifold", "plenum.gas"}}},
                      {"rollers", dyno, {}, {}},    {"rules", knock, {}, {}},
                      {"tables", tables, {}, {}},   {"torque", torque, {}, {{"table_spark", "tables.table_spark"}}}};
    return rig;
}
/// With a second opinion on knock.
inline RigSpec doubtful_rig() {
    RigSpec rig = whole_rig();
    rig.components.push_back({"opinion", knock, {}, {}});
    return rig;
}
inline RigSpec without(const std::string& name) {
    RigSpec rig = whole_rig();
    std::erase_if(rig.components, [&](const ComponentSpec& c) { return c.name == name; });
    return rig;
}

/// A pull of which the test writes every number: five report points, channels not named are 0.
class Written {
    std::shared_ptr<const Network> network_;
    Pull pull_;

public:
    explicit Written(const RigSpec& rig) : network_(std::make_shared<const Network>(rig)) {
        pull_.time = {0, 0.25, 0.5, 0.75, 1};
        pull_.channels = network_->channels().size();
        pull_.values.assign(pull_.time.size() * pull_.channels, 0);
    }
    Written& set(const std::string& channel, const std::vector<double>& values) {
        const auto& all = network_->channels();
        const auto at = std::find_if(all.begin(), all.end(), [&](const Channel& c) { return c.name == channel; });
        if (at == all.end()) return *this;  // a rig without that component
        for (std::size_t k = 0; k < values.size(); ++k)
            pull_.values[k * pull_.channels + static_cast<std::size_t>(at - all.begin())] = values[k];
        return *this;
    }
    double figure(std::string_view key) const {
        for (const Figure& f : figures())
            if (key == f.key) return f.compute(PullView(*network_, pull_));
        throw std::out_of_range("no figure " + std::string(key));
    }
    VariantResult result() const {
        VariantResult r{network_, pull_, {}, {}, {}};
        for (const Figure& f : figures()) r.figures.push_back(f.compute(PullView(*network_, pull_)));
        return r;
    }
    std::vector<double> curve(std::string_view key) const {
        for (const PullCurve& c : curves())
            if (key == c.key) return c.compute(PullView(*network_, pull_));
        throw std::out_of_range("no curve " + std::string(key));
    }
    AppliedCorrection corrected(Standard s) const { return correction(PullView(*network_, pull_), s); }
};

inline Written written(const RigSpec& rig) {
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

}  // namespace written_pull

// A component that judges a whole pull: it reads nodes as they were at each report point and writes its own outputs.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/network/network.hpp>
#include <pullcast/sdk.hpp>

namespace network_review_tests {

using namespace pullcast;

/// stores heat, and publishes its temperature twice: as a node and as a signal that stands among the outputs too
struct Source {
    State T;
    Node<Heat> body;
    Node<Signal> reading;
    Output reading_out;
    static void describe(Schema<Source>& s) {
        s.role = "source";
        s.state(&Source::T, "T", "K", 300, "temperature");
        s.node(&Source::body, "body", "the body");
        s.signal(&Source::reading, "reading", "K", "what a sensor would say");
        s.output(&Source::reading_out, "reading", "K", "the same");
    }
    void start(Start v) const { v[T] = 300; }
    void publish(auto v) const {
        v(body, {v[T]});
        v(reading, {v[T] + 0.5});
        if (v.recording()) v.output(reading_out, v[T] + 0.5);
    }
    void balance(auto v) const { v.rate(T) = v[body].Q; }
};

/// output k = mean of the body's temperature from the first report point to k, and of the reading
struct Judge {
    double factor;
    Reads<Heat> at;
    Sees<Signal> reading, nothing;
    Output unset, mean, mean_reading;
    static void describe(Schema<Judge>& s) {
        s.role = "judge";
        s.number(&Judge::factor, "factor", "1", "scale").preset(1);
        s.reads(&Judge::at, "at", "body");
        s.sees(&Judge::reading, "reading", "reading");
        s.sees(&Judge::nothing, "nothing", "left open").optional();
        s.output(&Judge::unset, "unset", "1", "never written");
        s.output(&Judge::mean, "mean", "K", "mean temperature so far");
        s.output(&Judge::mean_reading, "mean_reading", "K", "mean reading so far");
    }
    Problem prepare() const {  // sees its attachments
        if (nothing.i != unconnected) return {"nothing", "is to be left open"};
        return reading.i == unconnected ? Problem{"factor", "needs the reading"} : Problem{};
    }
    void publish(auto) const {}
    void review(Review r) const {
        EXPECT_TRUE(r.connected(reading));
        EXPECT_FALSE(r.connected(nothing));
        double sum = 0, readings = 0;
        for (std::size_t k = 0; k < r.points(); ++k) {
            sum += r.at(at, k).T, readings += r.at(reading, k).value;
            r.output(mean, k) = factor * sum / static_cast<double>(k + 1);
            r.output(mean_reading, k) = readings / r.time(k);
        }
    }
};

RigSpec rig_of_two() {
    static const auto *source = component<Source>("test.source"), *judge = component<Judge>("test.judge");
    RigSpec rig;
    rig.components = {{"other", source, {}, {}},
                      {"judge", judge, {{"factor", 2.0}}, {{"at", "source.body"}, {"reading", "source.reading"}}},
                      {"source", source, {}, {}}};
    return rig;
}

TEST(Review, ReadsNodesAtEveryPointAndWritesItsOwnOutputs) {
    const Network network(rig_of_two());
    Workspace<double> w(network);
    network.start(w.x.data());
    w.arena.recording = 1;
    const std::vector<double> time{1, 2, 4};
    const std::size_t width = network.channels().size();
    std::vector<double> values(time.size() * width);
    for (std::size_t k = 0; k < time.size(); ++k) {
        w.x[0] = 250, w.x[1] = 300 + 10 * static_cast<double>(k);  // other, source
        network.evaluate(w);
        network.record(w, &values[k * width]);
    }
    auto expected = values;
    network.review(time, values);

    const auto column = [&](const std::string& name) {
        for (std::size_t c = 0; c < width; ++c)
            if (network.channels()[c].name == name) return c;
        throw std::out_of_range(name);
    };
    const std::size_t mean = column("judge.mean"), reading = column("judge.mean_reading");
    for (std::size_t k = 0; k < time.size(); ++k) {
        expected[k * width + mean] = 2 * (300 + 5 * static_cast<double>(k));
        expected[k * width + reading] = static_cast<double>(k + 1) * (300.5 + 5 * static_cast<double>(k)) / time[k];
    }
    for (std::size_t i = 0; i < values.size(); ++i)
        if (std::isnan(expected[i])) EXPECT_TRUE(std::isnan(values[i])) << network.channels()[i % width].name;
        else EXPECT_NEAR(values[i], expected[i], 1e-12 * 600) << network.channels()[i % width].name;
    EXPECT_TRUE(std::isnan(values[column("judge.unset")]));
}

TEST(Review, PrepareSeesWhatIsConnected) {
    auto rig = rig_of_two();
    rig.components[1].connections["nothing"] = "other.reading";
    try {
        const Network network(rig);
        FAIL() << "compiled";
    } catch (const RigError& e) {
        ASSERT_EQ(e.problems.size(), 1u);
        EXPECT_EQ(e.problems[0].key, "nothing");
        EXPECT_EQ(e.problems[0].message, "is to be left open");
    }
}

}  // namespace network_review_tests

// The conformance suite itself: a sound component passes every check, and for each check a component that is broken in
// just that way fails it.
#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <pullcast/sdk.hpp>

#include "allocation_count.hpp"
#include "conformance_checks.hpp"

namespace conformance_suite_tests {

using namespace pullcast;
using namespace pullcast::test;

enum class Defect {
    none,
    leaks,
    one_way,
    singular,
    kinked,
    wrong_derivative,
    allocates,
    allocates_recording,
    oversteps,
    divides_by_zero,
    remembers
};

void* volatile escape;  // keeps the compiler from removing an allocation

/// A tube with a heat-holding wall between two gas nodes, sound or with one defect.
template <Defect defect> struct Tube {
    double conductance = 0, capacity = 0, width = 0;
    End<Gas> from, to;
    State wall;
    Output flow_rate;

    static void describe(Schema<Tube>& s) {
        s.role = "restriction";
        s.summary = "transports gas; its wall stores heat";
        s.reference = "made up for this test";
        s.validity = "this test only";
        s.number(&Tube::conductance, "conductance", "kg/(s Pa)", "flow per pressure difference").in(0, 1).preset(1e-6);
        s.number(&Tube::capacity, "capacity", "J/K", "heat capacity of the wall").positive().preset(500);
        s.number(&Tube::width, "width", "kg/s", "flow over which the upstream side changes").in(1e-9, 1).preset(1e-4);
        s.end(&Tube::from, "from", "one side");
        s.end(&Tube::to, "to", "the other side");
        s.state(&Tube::wall, "wall", "K", 300, "wall temperature");
        s.output(&Tube::flow_rate, "flow", "kg/s", "mass flow");
    }
    void start(Start x) const { x[wall] = 300; }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S m = mass_flow<S>(v[from].p - v[to].p);
        auto f = carried(m, v[from], v[to], width);
        v.transfer(from, to, f);
        const S Q = 2.0 * (v[from].T - v[wall]);
        v.put(from, {S(0), S(-Q), S(0)});
        v.rate(wall) = (defect == Defect::leaks ? 1.000001 : 1.0) * Q / capacity;
        if (defect == Defect::allocates || (defect == Defect::allocates_recording && v.recording()))
            escape = std::make_unique<char[]>(64).get();
        v.output(flow_rate, m);
    }
    template <class S> S mass_flow(const S& dp) const {
        using std::sqrt;
        if constexpr (defect == Defect::one_way) return value(dp) > 0 ? conductance * dp : S(0);
        if constexpr (defect == Defect::singular) return value(dp) < 0 ? -1e-3 * sqrt(S(-dp)) : 1e-3 * sqrt(dp);
        if constexpr (defect == Defect::kinked) return (value(dp) < 0 ? 1.1 : 1.0) * conductance * dp;
        if constexpr (defect == Defect::wrong_derivative) return conductance * dp + 1e-8 * value(dp);
        return conductance * dp;
    }
    Stock stored(Held v) const { return {capacity * v[wall], 0, 0, 0}; }
    void review(Review r) const {
        static int calls = 0;
        for (std::size_t k = 0; k < r.points(); ++k) {
            double& flow = r.output(flow_rate, k);
            flow += r.time(k);
            if (defect == Defect::oversteps) r.output(Output{flow_rate.i + 1}, k) = flow;
            if (defect == Defect::divides_by_zero) flow /= r.time(k);
            if (defect == Defect::remembers) flow += ++calls;
        }
    }
};

template <Defect defect> const ComponentType& tube() {
    static const ComponentType& type = *component<Tube<defect>>("test.tube");
    return type;
}

/// A component of which the schema says as little as possible.
struct Mute {
    double length = 0, far_preset = 0;
    std::int32_t cells = 1;
    End<Heat> end;
    State T;
    static void describe(Schema<Mute>& s) {
        s.number(&Mute::length, "length", "metre", "");
        s.number(&Mute::far_preset, "far_preset", "m", "its preset is out of its bounds").in(0, 1).preset(2);
        s.integer(&Mute::cells, "cells", "an integer without bounds").preset(1);
        s.end(&Mute::end, "length", "an end named like a parameter");
        s.state(&Mute::T, "T", "K", 0, "a state without a nominal size");
    }
    void flow(auto v) const { v.rate(T) = 0; }
};

bool mentions(const Faults& faults, const std::string& words) {
    for (const auto& f : faults)
        if (f.find(words) != std::string::npos) return true;
    return false;
}

TEST(ConformanceSuite, a_sound_component_passes_every_check) {
    const ComponentType& sound = tube<Defect::none>();
    for (const auto check : {conserves, reverses, finite, smooth, reviews, documented})
        EXPECT_EQ(check(sound), Faults{});
    EXPECT_TRUE(!allocations_are_counted() || allocation_free(sound).empty());
}
TEST(ConformanceSuite, one_millionth_of_lost_heat_is_found) {
    EXPECT_TRUE(mentions(conserves(tube<Defect::leaks>()), "energy does not close"));
}
TEST(ConformanceSuite, flow_in_one_direction_only_is_found) {
    EXPECT_TRUE(mentions(reverses(tube<Defect::one_way>()), "does not reverse"));
}
TEST(ConformanceSuite, an_infinite_derivative_at_zero_flow_is_found) {
    EXPECT_TRUE(mentions(finite(tube<Defect::singular>()), "at rest: derivative of 'flow from.m' by 'from.p'"));
}
TEST(ConformanceSuite, a_kink_is_found) { EXPECT_TRUE(mentions(smooth(tube<Defect::kinked>()), "has a kink")); }
TEST(ConformanceSuite, a_lost_derivative_is_found) {
    EXPECT_TRUE(mentions(smooth(tube<Defect::wrong_derivative>()), "difference quotient"));
}
TEST(ConformanceSuite, an_allocation_in_a_sweep_is_found) {
    if (!allocations_are_counted()) GTEST_SKIP() << "a sanitizer owns the allocator";
    EXPECT_TRUE(mentions(allocation_free(tube<Defect::allocates>()), "heap allocations"));
    EXPECT_TRUE(mentions(allocation_free(tube<Defect::allocates_recording>()), "heap allocations"));
}
TEST(ConformanceSuite, a_review_that_writes_where_it_should_not_is_found) {
    EXPECT_TRUE(mentions(reviews(tube<Defect::oversteps>()), "review writes an output of another"));
}
TEST(ConformanceSuite, an_infinite_output_of_a_review_is_found) {
    EXPECT_TRUE(mentions(reviews(tube<Defect::divides_by_zero>()), "'flow' is not finite"));
}
TEST(ConformanceSuite, a_review_that_remembers_the_last_one_is_found) {
    EXPECT_TRUE(mentions(reviews(tube<Defect::remembers>()), "'flow' changes from call to call"));
}
TEST(ConformanceSuite, missing_documentation_is_found) {
    const Faults faults = documented(*component<Mute>("test.mute"));
    for (const char* words :
         {"no role", "no summary", "no reference", "no validity", "'length' has no doc", "unit 'metre'", "needs bounds",
          "outside its own bounds", "integer 'cells'", "'T' has no nominal size", "both a parameter and an end"})
        EXPECT_TRUE(mentions(faults, words)) << words;
}
TEST(ConformanceSuite, a_required_parameter_without_a_value_tells_its_author_what_to_add) {
    try {
        conserves(*component<Mute>("test.mute"));
        FAIL() << "nothing was thrown";
    } catch (const std::exception& e) {
        EXPECT_STREQ(e.what(),
                     "test.mute: 'length' has no preset and the suite no value for it: "
                     "add a row to tests/component/conformance_values.cpp");
    }
}
TEST(ConformanceSuite, units) {
    for (const char* good : {"1", "m", "m^2", "kg m^2", "W/(m^2 K)", "J/(kg K)", "1/K", "dK", "rad/s^2", "N m"})
        EXPECT_TRUE(unit_parses(good)) << good;
    for (const char* bad : {"", "metre", "m^", "m/", "m/s/s", "m/(s", "kg  m", "1 m", "m/s K", "°C"})
        EXPECT_FALSE(unit_parses(bad)) << bad;
}

}  // namespace conformance_suite_tests

// The Jacobian's pattern as RigSystem traces it: cells of a row see their neighbours alone, a dependency that vanishes
// at the start is found, and one that a branch hides there joins the pattern when the branch is taken.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/sdk.hpp>
#include <pullcast/solve/rig_system.hpp>

namespace traced_structure_tests {

using namespace pullcast;

/// dT_k/dt = T_k-1 - 2 T_k + T_k+1 in a row, 0 beyond its ends.
struct Row {
    std::int32_t cells;
    States T;
    static void describe(Schema<Row>& s) {
        s.role = "row", s.summary = "stores heat", s.reference = "-", s.validity = "-";
        s.integer(&Row::cells, "cells", "cells in the row").in(1, 100).preset(12);
        s.states(&Row::T, &Row::cells, "T", "K", 1, "temperature of each cell");
    }
    void start(Start) const {}
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const auto at = [&](std::uint32_t k) { return k < T.n ? v[T[k]] : S(0); };
        for (std::uint32_t k = 0; k < T.n; ++k) v.rate(T[k]) = at(k - 1) - 2 * at(k) + at(k + 1);
    }
};

/// da/dt = (b - 1)^2 where b > 1, else 0;  db/dt = 1 + 0 a: a product that is 0 at the start, where a is.
struct Late {
    State a, b;
    static void describe(Schema<Late>& s) {
        s.role = "late", s.summary = "stores nothing", s.reference = "-", s.validity = "-";
        s.state(&Late::a, "a", "1", 1, "grows once b is above 1");
        s.state(&Late::b, "b", "1", 1, "grows by 1 a second");
    }
    void start(Start) const {}
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S over = v[b] - 1;
        v.rate(a) = value(over) > 0 ? S(over * over) : S(0);
        v.rate(b) = 1 + v[a] * v[a] * 0.0;
    }
};

Network network_of(const ComponentType* type) {
    RigSpec rig;
    rig.components.push_back({"it", type, {}, {}});
    return Network(rig);
}
std::vector<std::uint32_t> columns(const Pattern& p, std::uint32_t row) {
    return {p.row(row).begin(), p.row(row).end()};
}

TEST(TracedStructure, ARowOfCellsSeesItsNeighbours) {
    const Network n = network_of(component<Row>("row.row"));
    const RigSystem system(n, std::nullopt);
    EXPECT_EQ(columns(system.pattern(), 0), (std::vector<std::uint32_t>{0, 1}));
    for (std::uint32_t k = 1; k < 11; ++k)
        EXPECT_EQ(columns(system.pattern(), k), (std::vector<std::uint32_t>{k - 1, k, k + 1}));
    EXPECT_EQ(system.dual_sweeps(), 1u) << "three colours and the check";
    EXPECT_EQ(n.dependencies()[5].size(), 12u) << "from who is attached to what alone";
}

TEST(TracedStructure, AProductWithZeroCounts) {
    const Network n = network_of(component<Late>("late.late"));
    const RigSystem system(n, std::nullopt);
    EXPECT_EQ(columns(system.pattern(), 1), (std::vector<std::uint32_t>{0, 1}));
}

TEST(TracedStructure, WhatABranchHidJoinsThePatternOnce) {
    const Network n = network_of(component<Late>("late.late"));
    RigSystem system(n, std::nullopt);
    EXPECT_EQ(columns(system.pattern(), 0), (std::vector<std::uint32_t>{0}));
    std::vector<double> values(4), x{0, 3};
    ASSERT_TRUE(system.jacobian(0, x.data(), values.data()));
    EXPECT_TRUE(system.pattern_grew());
    EXPECT_EQ(columns(system.pattern(), 0), (std::vector<std::uint32_t>{0, 1}));
    ASSERT_TRUE(system.jacobian(0, x.data(), values.data()));
    EXPECT_FALSE(system.pattern_grew());
    EXPECT_EQ(values, (std::vector<double>{0, 4, 0, 0}));  // 2 (b - 1)
    x[1] = 0;
    ASSERT_TRUE(system.jacobian(0, x.data(), values.data()));
    EXPECT_FALSE(system.pattern_grew()) << "what is in the pattern stays there";
}

// a(3) is the integral of (t - 1)^2 from 1: 8/3.
TEST(TracedStructure, ARunGoesOnWhereThePatternGrows) {
    const Network n = network_of(component<Late>("late.late"));
    RigSystem system(n, std::nullopt);
    const auto before = system.traces();
    Integrator integrator(system, {.rtol = 1e-8, .atol = {1e-8, 1e-8}, .max_step = 0.1});
    const double x[] = {0, 0};
    integrator.start(0, x);
    integrator.advance(3);
    EXPECT_NEAR(integrator.state()[0], 8.0 / 3, 1e-6);
    EXPECT_EQ(system.traces(), before + 1);
}

}  // namespace traced_structure_tests

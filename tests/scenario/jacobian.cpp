// The Jacobian that the integrator gets, made of sweeps through active components only, against dual sweeps through the
// whole network: equal in every entry of the pattern, and nothing outside it; the pattern that was traced lies within
// the one that follows from who is attached to what.
#include <pullcast/solve/rig_system.hpp>
#include <random>

#include "shipped.hpp"

namespace jacobian_tests {

using namespace shipped;

TEST(Jacobian, ActiveSweepsGiveTheWholeOfIt) {
    const Study study = read("rigs/hillclimb-v6.toml");
    const Network network(study.variants.front().rig);
    RigSystem system(network, std::nullopt);
    const Pattern& pattern = system.pattern();
    std::vector<double> x(network.size()), values(pattern.entries());
    std::mt19937 random(7);
    std::uniform_real_distribution<double> off(-1e-3, 1e-3);
    for (const double t : {-1.0, 0.1, 2.0}) {
        network.start(x.data());
        for (std::size_t i = 0; i < network.state_count(); ++i)
            x[i] = x[i] * (1 + off(random)) + 1e-3 * network.nominal()[i];
        do {
            values.resize(system.pattern().entries());
            ASSERT_TRUE(system.jacobian(t, x.data(), values.data())) << system.explain();
        } while (system.pattern_grew());

        // Sums of a row's terms round at the size of its largest entry.
        std::vector<double> rounding(pattern.rows());
        for (std::uint32_t r = 0; r < pattern.rows(); ++r)
            for (auto k = pattern.start[r]; k < pattern.start[r + 1]; ++k)
                rounding[r] = std::max(rounding[r], 1e-15 * std::fabs(values[k]));
        std::size_t not_zero = 0;
        for (std::uint32_t c = 0; c < network.state_count(); ++c) {
            Workspace<Dual> whole(network);
            for (std::size_t i = 0; i < x.size(); ++i) whole.x[i] = x[i];
            whole.x[c].d[0] = 1;
            whole.arena.t = t;
            ASSERT_TRUE(network.evaluate(whole));
            for (std::uint32_t r = 0; r < pattern.rows(); ++r) {
                const auto row = pattern.row(r);
                const auto at = std::lower_bound(row.begin(), row.end(), c);
                const bool inside = at != row.end() && *at == c;
                const double entry = inside ? values[pattern.start[r] + static_cast<std::size_t>(at - row.begin())] : 0;
                const double exact = whole.dx[r].d[0];  // the values behind both differ by rounding
                EXPECT_NEAR(entry, exact, inside ? 1e-9 * std::fabs(exact) + rounding[r] : 0)
                    << network.names()[r] << " by " << network.names()[c] << " at " << t;
                not_zero += entry != 0;
            }
        }
        EXPECT_GT(not_zero, network.state_count());
    }
    for (std::uint32_t r = 0; r < pattern.rows(); ++r) {
        const auto& wide = network.dependencies()[r];
        for (const auto c : pattern.row(r))
            EXPECT_TRUE(std::binary_search(wide.begin(), wide.end(), c)) << network.names()[r] << network.names()[c];
    }
    EXPECT_LT(pattern.entries(), 1000u) << "coarser than it was: 753, where who is attached to what gives 1922";
}

}  // namespace jacobian_tests

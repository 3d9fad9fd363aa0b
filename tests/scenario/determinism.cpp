// The same numbers, bit for bit: for any number of threads, and for a network that is used again.
#include <cstring>

#include "shipped.hpp"

namespace determinism_tests {

using namespace shipped;

void expect_same_bits(const std::vector<double>& a, const std::vector<double>& b, const std::string& what) {
    ASSERT_EQ(a.size(), b.size()) << what;
    EXPECT_EQ(std::memcmp(a.data(), b.data(), a.size() * sizeof(double)), 0) << what;
}
void expect_same_bits(const Pull& a, const Pull& b, const std::string& what) {
    expect_same_bits(a.time, b.time, what);
    expect_same_bits(a.values, b.values, what);
    expect_same_bits(a.sums, b.sums, what);
    expect_same_bits(a.held, b.held, what);
    ASSERT_EQ(a.accounts.size(), b.accounts.size());
    for (std::size_t k = 0; k < a.accounts.size(); ++k) EXPECT_EQ(a.accounts[k].total, b.accounts[k].total) << what;
}

TEST(Determinism, ResultsDoNotDependOnThreads) {
    const Study study = read("studies/pulley-or-core.toml");
    const auto one = run_study(study, 1), two = run_study(study, 2), many = run_study(study, 16);
    for (std::size_t k = 0; k < one.size(); ++k) {
        ASSERT_GT(one[k].pull.points(), 100u) << one[k].failure;
        expect_same_bits(one[k].pull, two[k].pull, study.variants[k].name);
        expect_same_bits(one[k].pull, many[k].pull, study.variants[k].name);
        expect_same_bits(one[k].figures, two[k].figures, study.variants[k].name);
    }
}

PullPlan plan_of(const Procedure& p) {
    return {.settle = p.settle,
            .stop_speed = p.stop_speed,
            .longest = p.longest,
            .output_step = p.output_step,
            .tolerance = p.tolerance};
}

TEST(Determinism, ANetworkKeepsNothingOfAPull) {
    const Study study = read("studies/pulley-or-core.toml");
    const Network used(study.variants[0].rig), fresh(study.variants[0].rig);
    const auto plan = plan_of(study.procedure);
    auto other = plan;
    other.settle = 0.5, other.tolerance = 1e-4;
    const Pull first = run_pull(used, plan);
    run_pull(used, other);
    expect_same_bits(first, run_pull(used, plan), "used network");
    expect_same_bits(first, run_pull(fresh, plan), "fresh network");
}

// The comparison can fail: a change of the last place of one parameter shows.
TEST(Determinism, TheSmallestChangeShows) {
    const Study study = read("studies/pulley-or-core.toml");
    RigSpec rig = study.variants[0].rig;
    const auto plan = plan_of(study.procedure);
    const Pull before = run_pull(Network(rig), plan);
    const auto drive = std::find_if(rig.components.begin(), rig.components.end(),
                                    [](const ComponentSpec& c) { return c.name == "drive"; });
    double& pulley = std::get<double>(drive->parameters.at("pulley_diameter"));
    pulley = std::nextafter(pulley, 1.0);
    const Pull after = run_pull(Network(rig), plan);
    const auto count = std::min(before.values.size(), after.values.size());
    EXPECT_NE(std::memcmp(before.values.data(), after.values.data(), count * sizeof(double)), 0);
}

}  // namespace determinism_tests

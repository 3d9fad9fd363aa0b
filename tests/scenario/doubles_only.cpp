// A component that was built for plain numbers only still runs: differences take over for the Jacobian, and the run
// says so. The solution is the same within the tolerance; only its cost differs.
#include <algorithm>
#include <cmath>
#include <pullcast/study/words.hpp>

#include "shipped.hpp"

namespace doubles_only_tests {

using namespace shipped;

TEST(DoublesOnly, RunsByDifferencesAndSaysSo) {
    Study study = read("rigs/hillclimb-v6.toml");
    const auto exact = run_study(study, 1);

    static ComponentType plain;  // the network keeps a pointer to it
    auto& components = study.variants.front().rig.components;
    const auto filter =
        std::find_if(components.begin(), components.end(), [](const auto& c) { return c.name == "filter"; });
    ASSERT_NE(filter, components.end());
    plain = *filter->type;
    ASSERT_NE(plain.flow_dual, nullptr);
    plain.flow_dual = nullptr;
    filter->type = &plain;
    const auto differences = run_study(study, 1);

    ASSERT_EQ(differences[0].failure, "");
    EXPECT_TRUE(exact[0].network->differentiable());
    EXPECT_FALSE(differences[0].network->differentiable());
    EXPECT_GT(differences[0].pull.statistics.derivatives, 0u);
    for (const char* key : {"crank_power", "boost_redline", "charge_redline", "pull_time"}) {
        const auto at = std::find_if(figures().begin(), figures().end(),
                                     [&](const Figure& f) { return std::string(key) == f.key; });
        const auto k = static_cast<std::size_t>(at - figures().begin());
        EXPECT_NEAR(differences[0].figures[k] / exact[0].figures[k], 1, 1e-4) << key;
    }
    const auto says_so = [](const VariantResult& r) {
        const auto lines = warnings_in_words(r, UnitSystem::metric);
        return std::any_of(lines.begin(), lines.end(),
                           [](const std::string& l) { return l.find("without dual sweeps") != l.npos; });
    };
    EXPECT_TRUE(says_so(differences[0]));
    EXPECT_FALSE(says_so(exact[0]));
}

}  // namespace doubles_only_tests

// Every rig and study under scenarios/ is a test: it runs, every number is finite, and the books close at the default
// tolerances. A new file is picked up by itself.
#include "shipped.hpp"

namespace ledger_tests {

using namespace shipped;

class ScenarioFile : public testing::TestWithParam<std::string> {};

TEST_P(ScenarioFile, RunsAndTheBooksClose) {
    const Study study = read(GetParam());
    EXPECT_TRUE(study.notes.empty()) << (study.notes.empty() ? "" : study.notes.front());
    const auto results = run_study(study, 2);
    ASSERT_EQ(results.size(), study.variants.size());
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& name = study.variants[k].name;
        expect_finite(results[k], name);
        expect_closed_books(results[k], name);
        EXPECT_TRUE(results[k].pull.reached_stop_speed) << name;
    }
}

std::vector<std::string> rigs_and_studies() {
    auto all = files("rigs");
    for (const auto& study : files("studies")) all.push_back(study);
    return all;
}

INSTANTIATE_TEST_SUITE_P(Every, ScenarioFile, testing::ValuesIn(rigs_and_studies()),
                         [](const auto& file) { return test_name(file.param); });

// A study says that its data are invented, and so does every part but those that name a standard or their own source.
TEST(ScenarioFiles, SaysThatItIsInvented) {
    for (const auto& e : fs::recursive_directory_iterator(scenarios())) {
        if (e.path().extension() != ".toml") continue;
        std::ifstream file(e.path());
        std::string first;
        std::getline(file, first);
        const bool said = first.find("nvented") != first.npos || first.find("not a brand") != first.npos ||
                          first.find("choice of model") != first.npos;
        EXPECT_TRUE(first.starts_with("#") && said) << e.path() << " begins with: " << first;
    }
}

}  // namespace ledger_tests

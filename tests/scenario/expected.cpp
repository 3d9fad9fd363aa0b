// The figures of every shipped study against those recorded beside it (NAME.expected.json, SI). They were computed by
// this engine: the check is that nothing moves unnoticed, not that they are right (that is for tests/published and
// common_practice.cpp). tools/record-expected writes them anew, on purpose.
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "shipped.hpp"

namespace expected_tests {

using namespace shipped;
using nlohmann::ordered_json;

constexpr double tolerance = 1e-4;  // relative

/// Figures read where a flat curve peaks: a change of the last places moves them by a report point.
bool at_a_peak(std::string_view key) { return key.find("_peak_power") != key.npos || key.ends_with("_speed"); }
double tolerance_of(const Figure& f) { return at_a_peak(f.key) ? 50 * tolerance : tolerance; }
/// Small differences of large numbers (margins, creep) are compared on the scale of what they are differences of.
double scale_of(const Figure& f, double expected) {
    constexpr struct {
        const char* key;
        double least;
    } differences[] = {{"knock_margin", 0.5},
                       {"knock_margin_octane", 30},
                       {"knock_headroom", 200},
                       {"knock_margin_second", 0.5},
                       {"knock_doubt", 0.5},
                       {"knock_smallest_second", 0.5},
                       {"belt_margin", 20},
                       {"belt_slip", 0.05}};
    double scale = std::fabs(expected);
    for (const auto& d : differences)
        if (std::string_view(d.key) == f.key) scale = std::max(scale, d.least);
    return scale;
}
/// Residuals of the ledger are rounding: ledger.cpp bounds them.
bool recorded(const Figure& f) { return std::string_view(f.group) != "Ledger"; }

fs::path expected_file(const std::string& study) { return (scenarios() / study).replace_extension(".expected.json"); }

void record(const Study& study, const std::vector<VariantResult>& results, const fs::path& file) {
    ordered_json all;
    all["about"] = "Figures of the study beside it, SI, recorded by tools/record-expected.";
    for (std::size_t v = 0; v < results.size(); ++v)
        for (std::size_t k = 0; k < figures().size(); ++k)
            if (recorded(figures()[k]))
                all["variants"][study.variants[v].name][figures()[k].key] = results[v].figures[k];
    std::ofstream(file) << all.dump(2) << "\n";
}

void compare(const ordered_json& expected, const VariantResult& result, const std::string& variant) {
    std::size_t compared = 0;
    for (std::size_t k = 0; k < figures().size(); ++k) {
        const Figure& f = figures()[k];
        if (!recorded(f)) continue;
        ++compared;
        ASSERT_TRUE(expected.contains(f.key)) << f.key << " is new: tools/record-expected";
        const auto& e = expected[f.key];
        if (e.is_null()) {
            EXPECT_TRUE(std::isnan(result.figures[k])) << variant << " " << f.key;
            continue;
        }
        const double want = e.get<double>();
        EXPECT_NEAR(result.figures[k], want, tolerance_of(f) * scale_of(f, want)) << variant << " " << f.key;
    }
    EXPECT_EQ(expected.size(), compared) << variant << ": a recorded figure is gone: tools/record-expected";
}

class ExpectedFigures : public testing::TestWithParam<std::string> {};

TEST_P(ExpectedFigures, AreThoseRecorded) {
    const Study study = read(GetParam());
    const auto results = run_study(study, 2);
    for (const auto& r : results) ASSERT_EQ(r.failure, "");
    const fs::path file = expected_file(GetParam());
    if (std::getenv("PULLCAST_RECORD_EXPECTED")) {
        record(study, results, file);
        GTEST_SKIP() << "recorded " << file;
    }
    std::ifstream in(file);
    ASSERT_TRUE(in) << file << " is missing: tools/record-expected";
    const auto expected = ordered_json::parse(in);
    ASSERT_EQ(expected["variants"].size(), results.size()) << "variants came or went: tools/record-expected";
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& name = study.variants[k].name;
        ASSERT_TRUE(expected["variants"].contains(name)) << name;
        compare(expected["variants"][name], results[k], name);
    }
}

INSTANTIATE_TEST_SUITE_P(Studies, ExpectedFigures, testing::ValuesIn(files("studies")),
                         [](const auto& file) { return test_name(file.param); });

}  // namespace expected_tests

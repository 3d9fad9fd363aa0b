/// The shipped scenarios as tests run them: every rig and study file, and variants of the shipped rig.
#pragma once
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <pullcast/study/study_run.hpp>
#include <string>
#include <vector>

namespace shipped {

using namespace pullcast;
namespace fs = std::filesystem;

inline const Registry& registry() {
    static const Registry all = [] {
        Registry r;
        r.load_folder(PULLCAST_PLUGINS);
        return r;
    }();
    return all;
}

inline fs::path scenarios() { return fs::path(PULLCAST_SOURCE) / "scenarios"; }
inline const std::string rig_file = (scenarios() / "rigs" / "hillclimb-v6.toml").string();

/// All scenario files in a folder such as "studies", by name; not the expected figures beside them.
inline std::vector<std::string> files(const std::string& folder) {
    std::vector<std::string> all;
    for (const auto& e : fs::directory_iterator(scenarios() / folder))
        if (e.path().extension() == ".toml") all.push_back(folder + "/" + e.path().filename().string());
    std::sort(all.begin(), all.end());
    return all;
}
/// "studies/hot-day.toml" as a test's name: studies_hot_day.
inline std::string test_name(const std::string& file) {
    std::string name = fs::path(file).replace_extension().string();
    std::replace_if(
        name.begin(), name.end(), [](unsigned char c) { return !std::isalnum(c); }, '_');
    return name;
}

inline Study read(const std::string& file) { return read_study(scenarios() / file, registry()); }

struct VariantText {
    std::string name;
    std::vector<std::string> changes;  // lines of TOML: "drive.parts.pulley" = "pulley-80"
};

/// A study of the shipped rig or of another, written to a file and read like any other.
inline Study study_of(const std::vector<VariantText>& variants, const std::string& rig = rig_file) {
    std::string text = "rig = \"" + rig + "\"\n";
    for (const auto& v : variants) {
        text += "[variant." + v.name + "]\n[variant." + v.name + ".set]\n";
        for (const auto& change : v.changes) text += change + "\n";
    }
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();
    std::string name = std::string("pullcast_") + test->test_suite_name() + "_" + test->name() + ".toml";
    std::replace(name.begin(), name.end(), '/', '_');
    const fs::path file = fs::temp_directory_path() / name;
    std::ofstream(file) << text;
    const Study study = read_study(file, registry());
    fs::remove(file);
    return study;
}


/// A channel of a role over the whole pull: of the first component with that role, or of the n-th after it.
inline std::vector<double> channel(const VariantResult& r, std::string_view role, std::string_view item,
                                   std::size_t n = 0) {
    const PullView view(*r.network, r.pull);
    const auto column = view.find(role, item, n);
    if (!column) throw std::out_of_range("no channel " + std::string(role) + "." + std::string(item));
    std::vector<double> values;
    for (std::size_t k = 0; k < view.points(); ++k) values.push_back(r.pull.at(k, *column));
    return values;
}

/// Value of a channel where the crank passes a speed on its way up (rpm), between report points linearly.
inline double at_speed(const VariantResult& r, double rpm, std::string_view role, std::string_view item,
                       std::size_t n = 0) {
    const auto speed = channel(r, "load", "speed"), values = channel(r, role, item, n);
    const double target = rpm * std::acos(-1) / 30;
    std::size_t k = 1;
    while (k + 1 < speed.size() && speed[k] < target) ++k;
    const double share = (target - speed[k - 1]) / (speed[k] - speed[k - 1]);
    return values[k - 1] + share * (values[k] - values[k - 1]);
}

/// Gas, water and coolant close to rounding; energy, whose joules are not linear in the states, to the tolerance's
/// size.
inline void expect_closed_books(const VariantResult& r, const std::string& name) {
    EXPECT_LT(std::fabs(r.pull.gas.relative()), 1e-8) << name;
    EXPECT_LT(std::fabs(r.pull.water.relative()), 1e-8) << name;
    EXPECT_LT(std::fabs(r.pull.coolant.relative()), 1e-8) << name;
    EXPECT_LT(std::fabs(r.pull.energy.relative()), 1e-6) << name;
    EXPECT_GT(r.pull.gas.passed(), 0.1) << name << ": hardly any gas went through";
    EXPECT_GT(r.pull.energy.passed(), 1e5) << name << ": hardly any energy went through";
}

inline void expect_finite(const VariantResult& r, const std::string& name) {
    ASSERT_EQ(r.failure, "") << name;
    const auto bad =
        std::find_if(r.pull.values.begin(), r.pull.values.end(), [](double x) { return !std::isfinite(x); });
    if (bad == r.pull.values.end()) return;
    const auto column = static_cast<std::size_t>(bad - r.pull.values.begin()) % r.pull.channels;
    ADD_FAILURE() << name << ": " << r.network->channels()[column].name << " is not finite";
}

}  // namespace shipped

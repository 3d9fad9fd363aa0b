// Swapping a model is one line: every model of every role that the shipped rig has, put in its place by one change of a
// study, runs a pull. A model that is registered without a line here fails the first test.
#include <map>
#include <set>

#include "shipped.hpp"

namespace swaps_tests {

using namespace shipped;

/// What follows the component's name: a model where the role's shared names and presets are enough, else a part.
const std::map<std::string, std::string> change_for = {
    {"gas.ambient", ".parts.weather\" = \"coast-spring\""},
    {"gas.ambient_altitude", ".parts.weather\" = \"pass-cool\""},
    {"gas.restriction", ".parts.element\" = \"panel-filter\""},
    {"gas.restriction_zeta", ".parts.element\" = \"cone-filter\""},
    {"gas.throttle", ".parts.unit\" = \"plate-84\""},
    {"gas.throttle_slide", ".parts.unit\" = \"slide-45\""},
    {"gas.volume", ".model\" = \"gas.volume\""},
    {"gas.volume_adiabatic", ".model\" = \"gas.volume_adiabatic\""},
    {"gas.bypass", ".parts.valve\" = \"boost-limit-valve\""},
    {"gas.bypass_blanked", ".parts.valve\" = \"blanking-plate\""},
    {"blower.geometric", ".parts.unit\" = \"lobe-19-geometric\""},
    {"blower.map", ".parts.unit\" = \"lobe-19-map\""},
    {"drive.belt", ".parts.belt\" = \"ribbed-belt\""},
    {"drive.rigid", ".parts.belt\" = \"toothed-belt\""},
    {"cooler.finned", ".parts.core\" = \"deep-core\""},
    {"cooler.rated", ".parts.core\" = \"rated-core\""},
    {"cooler.air_to_air", ".parts.core\" = \"air-to-air-core\""},
    {"cooler.duct", ".parts.core\" = \"plain-duct\""},
    {"coolant.pump", ".parts.unit\" = \"large-pump\""},
    {"coolant.pump_fixed", ".parts.unit\" = \"regulated-pump\""},
    {"coolant.joint", ".parts.fitting\" = \"plain-joint\""},
    {"coolant.joint_expansion", ".parts.fitting\" = \"cushioned-joint\""},
    {"coolant.hose", ".parts.hose\" = \"hose-25\""},
    {"coolant.hose_short", ".parts.hose\" = \"stub-hose\""},
    {"coolant.reservoir", ".parts.tank\" = \"tank-12\""},
    {"coolant.reservoir_ice", ".parts.tank\" = \"ice-tank-12\""},
    {"coolant.front_exchanger", ".parts.exchanger\" = \"double-row\""},
    {"coolant.front_exchanger_rated", ".parts.exchanger\" = \"rated-front\""},
    {"engine.calibration", ".parts.coolant\" = \"two-degrees-less\""},
    {"engine.calibration_fixed", ".parts.file\" = \"bench-spark\""},
    {"engine.breathing_physical", ".parts.heads\" = \"flowed-heads\""},
    {"engine.breathing_table", ".parts.heads\" = \"measured-heads\""},
    {"engine.torque", ".parts.engine\" = \"measured-friction\""},
    {"engine.torque_willans", ".parts.engine\" = \"willans-line\""},
    {"engine.thermal", ".parts.block\" = \"two-lump-block\""},
    {"engine.thermal_lump", ".parts.block\" = \"one-lump-block\""},
    {"engine.soak_path", ".parts.mount\" = \"spacer\""},
    {"engine.soak_path_air", ".parts.mount\" = \"hung-manifold\""},
    {"engine.bay", ".parts.body\" = \"closed-bay\""},
    {"engine.bay_open", ".parts.body\" = \"no-bay\""},
    {"knock.end_gas", ".parts.rules\" = \"end-gas\""},
    {"knock.octane_rules", ".parts.rules\" = \"careful-rules\""},
    {"knock.none", ".model\" = \"knock.none\""},
    {"load.roller", ".parts.dyno\" = \"roller-420\""},
    {"load.brake", ".parts.dyno\" = \"brake-600\""},
    {"load.locked", ".parts.dyno\" = \"locked-4500\""},
    {"sensor.lag", ".parts.element\" = \"closed-element\""},
    {"sensor.lag_flow", ".parts.element\" = \"open-element-flow\""},
};

/// The shipped rig, or for a role that only the rig of a whole day has, that one.
const std::string& rig_with(std::string_view role) {
    static const std::string day_file = (scenarios() / "rigs" / "hillclimb-v6-day.toml").string();
    return role == "bay" ? day_file : rig_file;
}
std::vector<std::string> components_of(std::string_view role) {
    std::vector<std::string> names;
    const Study study = read_study(rig_with(role), registry());
    for (const auto& c : study.variants.front().rig.components)
        if (role == c.type->role) names.push_back(c.name);
    return names;
}
std::vector<std::string> roles() {
    std::set<std::string> all;
    for (const auto* type : registry().types()) all.insert(type->role);
    return {all.begin(), all.end()};
}

TEST(SwapLines, EveryRegisteredModelHasItsLine) {
    std::map<std::string, int> models;
    for (const auto* type : registry().types()) {
        EXPECT_TRUE(change_for.contains(type->name))
            << type->name << " has no swap case: add a part that names it, and its line";
        EXPECT_FALSE(components_of(type->role).empty())
            << "no shipped rig has a component of the role " << type->role;
        ++models[type->role];
    }
    for (const auto& [role, count] : models) EXPECT_GE(count, 2) << role << " has nothing to swap to";
    EXPECT_EQ(change_for.size(), registry().types().size()) << "a line names a model that is no more";
}

class Swaps : public testing::TestWithParam<std::string> {};

/// One variant for each model in each component of the role; each has one change.
std::vector<VariantText> swaps_of(const std::string& role) {
    std::vector<VariantText> variants;
    for (const auto& component : components_of(role))
        for (const auto* type : registry().types())
            if (type->role == role) {
                std::string model = type->name;
                std::replace(model.begin(), model.end(), '.', '-');
                variants.push_back({component + "-" + model, {"\"" + component + change_for.at(type->name)}});
            }
    return variants;
}

TEST_P(Swaps, RunByOneLineOfChange) {
    const Study study = study_of(swaps_of(GetParam()), rig_with(GetParam()));
    const auto results = run_study(study, 2);
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        ASSERT_EQ(v.changes.size(), 1u) << v.name;
        expect_finite(results[k], v.name);
        expect_closed_books(results[k], v.name);
        EXPECT_EQ(results[k].pull.reached_stop_speed, v.name.find("load-locked") == v.name.npos) << v.name;
        EXPECT_GT(figure(results[k], "crank_power"), 100e3) << v.name;
    }
}

// The line really swaps: the component has the model that the variant is named after.
TEST_P(Swaps, PutTheOtherModelIn) {
    const auto texts = swaps_of(GetParam());
    const Study study = study_of(texts, rig_with(GetParam()));
    for (const auto& v : study.variants) {
        const auto component = v.changes.front().path.substr(0, v.changes.front().path.find('.'));
        const auto at = std::find_if(v.rig.components.begin(), v.rig.components.end(),
                                     [&](const ComponentSpec& c) { return c.name == component; });
        ASSERT_NE(at, v.rig.components.end());
        std::string model = at->type->name;
        std::replace(model.begin(), model.end(), '.', '-');
        EXPECT_EQ(v.name, component + "-" + model);
    }
}

/// Every part of a folder in place of the rig's own, by one line of change; by the table's spark and, `follows_limit`,
/// with spark at the limit that follows from it.
std::vector<VariantText> parts_swapped(const std::string& folder, const std::string& key, bool follows_limit) {
    std::vector<VariantText> variants;
    for (const auto& file : files("parts/" + folder)) {
        const auto name = fs::path(file).stem().string();
        const auto line = '"' + key + "\" = \"" + name + '"';
        variants.push_back({name, {line}});
        if (follows_limit && name != "no-knock")
            variants.push_back({name + "-at-limit", {line, R"("common.spark_mode" = "at_limit")"}});
    }
    return variants;
}
void expect_power(const std::vector<VariantText>& variants) {
    ASSERT_GE(variants.size(), 6u);
    const Study study = study_of(variants);
    const auto results = run_study(study, 2);
    for (std::size_t k = 0; k < results.size(); ++k) {
        expect_finite(results[k], study.variants[k].name);
        EXPECT_GT(figure(results[k], "crank_power"), 150e3) << study.variants[k].name;
    }
}
TEST(SwapLines, EveryFuelRunsByItsTableAndAtItsLimit) {
    expect_power(parts_swapped("fuels", "common.parts.fuel", true));
}
TEST(SwapLines, EveryKnockModelRunsAsFirstAndAsSecondOpinion) {
    expect_power(parts_swapped("knock", "knock.parts.rules", true));
    expect_power(parts_swapped("knock", "knock_rules.parts.rules", false));
}

INSTANTIATE_TEST_SUITE_P(Role, Swaps, testing::ValuesIn(roles()), [](const auto& role) { return role.param; });

}  // namespace swaps_tests

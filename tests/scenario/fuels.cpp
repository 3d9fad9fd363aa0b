/// The shipped fuel parts against the fuel data of the media layer: one source of truth.
#include <pullcast/media/fuel.hpp>

#include "shipped.hpp"

namespace fuels_tests {

using namespace pullcast;

/// The parts in scenarios/parts/fuels, by name.
std::vector<std::string> fuel_parts() {
    std::vector<std::string> names;
    for (const auto& file : shipped::files("parts/fuels")) names.push_back(shipped::fs::path(file).stem().string());
    std::sort(names.begin(), names.end());
    return names;
}

/// The shipped rig with each of them, read as any study is.
Study with_each_fuel() {
    std::vector<shipped::VariantText> variants;
    for (const auto& name : fuel_parts()) variants.push_back({name, {"\"common.parts.fuel\" = \"" + name + "\""}});
    return shipped::study_of(variants);
}

TEST(FuelParts, EveryClassOfTheMediaHasItsPart) {
    std::vector<std::string> classes;
    for (const auto& f : media::fuels) classes.emplace_back(f.name);
    std::sort(classes.begin(), classes.end());
    EXPECT_EQ(fuel_parts(), classes);
}

TEST(FuelParts, HoldTheNumbersOfTheMedia) {
    const Study study = with_each_fuel();
    ASSERT_EQ(study.variants.size(), media::fuels.size());
    for (const auto& variant : study.variants) {
        const auto fuel = std::find_if(media::fuels.begin(), media::fuels.end(),
                                       [&](const media::Fuel& f) { return f.name == variant.name; });
        ASSERT_NE(fuel, media::fuels.end()) << variant.name;
        const std::pair<const char*, double> expected[] = {{"fuel_ron", fuel->ron},
                                                           {"fuel_mon", fuel->mon},
                                                           {"fuel_afr", fuel->stoichiometric_afr},
                                                           {"fuel_lhv", fuel->lhv},
                                                           {"fuel_latent_heat", fuel->latent_heat},
                                                           {"fuel_hydrogen", fuel->hydrogen},
                                                           {"fuel_oxygen", fuel->oxygen},
                                                           {"fuel_vapour_density", fuel->vapour_density}};
        for (const auto& [key, value] : expected) {
            const auto at = variant.common.find(key);
            ASSERT_NE(at, variant.common.end()) << variant.name << " lacks " << key;
            EXPECT_NEAR(at->second, value, 1e-3 * value) << variant.name << " " << key;
        }
    }
}

// What the models check of a fuel holds for each that is shipped.
TEST(FuelParts, AreAcceptedByTheModels) {
    for (const auto& variant : with_each_fuel().variants) EXPECT_NO_THROW(Network{variant.rig}) << variant.name;
}

// A rig whose models need less than a fuel's part offers.
TEST(FuelParts, MayOfferMoreThanTheModelsTake) {
    const Study study = shipped::study_of({{"plain", {R"("knock.model" = "knock.none")"}}});
    EXPECT_EQ(study.variants[0].common.count("fuel_hydrogen"), 1u);
}

}  // namespace fuels_tests

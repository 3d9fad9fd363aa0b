#include <fake_rig.hpp>

namespace {

using namespace fake;

class StudyReader : public Folder {
protected:
    static Study load(const std::string& study, const Files& more = {}) {
        Files files{{"rigs/demo.toml", good_rig},
                    {"parts/core-a.toml", core_a},
                    {"parts/core-b.toml", "name = \"Core B\"\nprice = \"610 EUR\"\n[set]\nwidth = \"400 mm\"\n"},
                    {"parts/duct.toml", "name = \"Plain duct\"\nmodel = \"cooler.duct\"\n[set]\nwidth = \"70 mm\"\n"},
                    {"studies/s.toml", "rig = \"../rigs/demo.toml\"\n" + study}};
        for (const auto& [path, text] : more) files[path] = text;
        write(files);
        return read("studies/s.toml");
    }
    static const ComponentSpec& cooler(const Variant& v) { return v.rig.components.at(4); }
    static double width(const Variant& v) { return std::get<double>(cooler(v).parameters.at("width")); }
};

TEST_F(StudyReader, ReadsVariantsInTheOrderOfTheFile) {
    const auto s = load(R"(title = "Cores"
question = "same pulley"
note = "demo"
base = "as-is"
[conditions]
"ambient.temperature" = "31 degC"
[variant.larger]
title = "Larger core"
[variant.larger.set]
"cooler.parts.core" = "core-b"
[variant.as-is]
)");
    EXPECT_EQ(s.title, "Cores");
    EXPECT_EQ(s.question, "same pulley");
    EXPECT_EQ(s.note, "demo");
    EXPECT_EQ(s.base, "as-is");
    EXPECT_EQ(s.file, "studies/s.toml");
    EXPECT_TRUE(s.notes.empty());
    ASSERT_EQ(s.variants.size(), 2u);
    EXPECT_EQ(s.variants[0].title, "Larger core");
    EXPECT_EQ(s.variants[1].title, "as-is");
    EXPECT_DOUBLE_EQ(width(s.variants[0]), 0.4);
    EXPECT_DOUBLE_EQ(width(s.variants[1]), 0.3);
    EXPECT_EQ(s.variants[0].parts.at(0).price->amount, 610);
    for (const auto& v : s.variants)
        EXPECT_DOUBLE_EQ(std::get<double>(v.rig.components[0].parameters.at("temperature")), 304.15);
    ASSERT_EQ(s.variants[0].changes.size(), 2u);
    EXPECT_TRUE(s.variants[0].changes[0].everywhere);
    EXPECT_EQ(s.variants[0].changes[0].before, "");
    EXPECT_EQ(s.variants[0].changes[1].path, "cooler.parts.core");
    EXPECT_EQ(s.variants[0].changes[1].before, "core-a");
    EXPECT_EQ(s.variants[0].changes[1].after, "core-b");
    EXPECT_FALSE(s.variants[0].changes[1].everywhere);
}

TEST_F(StudyReader, TakesNestedTablesForPaths) {
    const auto s = load(
        "[variant.a.set]\ncooler.rows = 3\n[variant.a.set.cooler.parts]\ncore = \"core-b\"\n[variant.b.set.common]\n"
        "glycol = \"40 %\"\n");
    EXPECT_EQ(std::get<std::int32_t>(cooler(s.variants[0]).parameters.at("rows")), 3);
    EXPECT_DOUBLE_EQ(width(s.variants[0]), 0.4);
    EXPECT_EQ(s.variants[0].changes.size(), 2u);
    EXPECT_DOUBLE_EQ(std::get<double>(cooler(s.variants[1]).parameters.at("glycol")), 0.4);
    EXPECT_EQ(s.base, "a");
}

TEST_F(StudyReader, VariantsWinOverConditionsAndPartsOverEarlierLayers) {
    const std::string own = std::string(good_rig) + "width = \"320 mm\"\n";
    const auto s = load("[conditions]\n\"cooler.rows\" = 3\n[variant.as-is]\n[variant.a.set]\n\"cooler.rows\" = 5\n"
                        "\"cooler.parts.core\" = \"core-b\"\n[variant.b.set]\n\"cooler.parts.core\" = \"core-b\"\n"
                        "\"cooler.width\" = \"330 mm\"\n", {{"rigs/demo.toml", own}});
    EXPECT_DOUBLE_EQ(width(s.variants[0]), 0.32);  // the rig's own key wins over the rig's part
    EXPECT_DOUBLE_EQ(width(s.variants[1]), 0.4);   // the part that the variant fits wins over the rig
    EXPECT_DOUBLE_EQ(width(s.variants[2]), 0.33);  // the variant's own key wins over its part
    EXPECT_EQ(std::get<std::int32_t>(cooler(s.variants[0]).parameters.at("rows")), 3);
    EXPECT_EQ(std::get<std::int32_t>(cooler(s.variants[1]).parameters.at("rows")), 5);
}

TEST_F(StudyReader, SwapsAModelInOneLine) {
    const auto s = load(
        "[variant.duct.set]\n\"cooler.model\" = \"cooler.duct\"\n[variant.part.set]\n\"cooler.parts.core\" = "
        "\"duct\"\n",
        {{"rigs/demo.toml",
          [] {
              std::string text = good_rig;  // the model comes from the part
              return text.replace(text.find("model = \"cooler.finned\"\n"), 24, "");
          }()},
         {"parts/core-a.toml", std::string("model = \"cooler.finned\"\n") + core_a}});
    for (const auto& v : s.variants) {
        EXPECT_STREQ(cooler(v).type->name, "cooler.duct");
        EXPECT_EQ(cooler(v).connections.size(), 2u);            // the optional end of the other model is left out
        EXPECT_EQ(cooler(v).parameters.count("fin_pitch"), 0u);  // as is what only the other model knows of the part
    }
    EXPECT_DOUBLE_EQ(width(s.variants[0]), 0.3);
    EXPECT_DOUBLE_EQ(width(s.variants[1]), 0.07);
    EXPECT_EQ(s.variants[1].parts.at(0).name, "Plain duct");
}

TEST_F(StudyReader, LeavesOutAPartOfWhichTheModelTakesNothing) {
    const auto s = load("[variant.a.set]\n\"cooler.model\" = \"cooler.duct\"\n\"cooler.width\" = \"70 mm\"\n",
                        {{"parts/core-a.toml", "name = \"Core A\"\n[set]\nfin_pitch = \"2 mm\"\n"},
                         {"rigs/demo.toml", std::string(good_rig) + "width = \"300 mm\"\n"}});
    EXPECT_TRUE(s.variants[0].parts.empty());
    EXPECT_EQ(s.notes.at(0),
              "rigs/demo.toml:23:18: warning: part 'Core A' is left out: cooler.duct takes nothing of it\n"
              "   23 | parts = { core = \"core-a\" }\n      |                  ^^^^^^^^\n");
}

TEST_F(StudyReader, ProcedureOfTheStudyWinsOverTheRigs) {
    const auto s = load(
        "[procedure]\nlongest = \"30 s\"\n[variant.a]\n",
        {{"rigs/demo.toml", std::string(good_rig) + "[procedure]\nlongest = \"20 s\"\nstop_speed = \"3000 rpm\"\n"}});
    EXPECT_DOUBLE_EQ(s.procedure.longest, 30);
    EXPECT_DOUBLE_EQ(s.procedure.stop_speed, 100 * 3.14159265358979323846);
    EXPECT_DOUBLE_EQ(s.procedure.tolerance, 1e-6);
}

TEST_F(StudyReader, RunsARigFileAlone) {
    load("[variant.a]\n");
    const auto s = read("rigs/demo.toml");
    EXPECT_EQ(s.title, "Demo rig");
    EXPECT_EQ(s.base, "as-is");
    ASSERT_EQ(s.variants.size(), 1u);
    EXPECT_EQ(s.variants[0].name, "as-is");
    EXPECT_TRUE(s.variants[0].changes.empty());
}

}  // namespace

#include <fake_rig.hpp>
#include <pullcast/scenario/content_hash.hpp>

namespace study_reader_tests {

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

TEST_F(StudyReader, ConditionsAndVariantsChangeTheProcedure) {
    const auto s = load(
        "[procedure]\nlongest = \"30 s\"\n[conditions]\n\"procedure.settle\" = \"60 s\"\n[variant.a]\n"
        "[variant.b.set]\n\"procedure.settle\" = \"5 s\"\n[variant.c.set.procedure]\nstop_speed = \"3000 rpm\"\n",
        {{"rigs/demo.toml", std::string(good_rig) + "[procedure]\nsettle = \"3 s\"\n"}});
    EXPECT_EQ(s.procedure.settle, 3);
    EXPECT_EQ(s.variants[0].procedure.settle, 60);
    EXPECT_EQ(s.variants[0].procedure.longest, 30);
    EXPECT_EQ(s.variants[1].procedure.settle, 5);
    EXPECT_EQ(s.variants[2].procedure.settle, 60);
    EXPECT_DOUBLE_EQ(s.variants[2].procedure.stop_speed, 100 * 3.14159265358979323846);
    const auto& changes = s.variants[1].changes;
    ASSERT_EQ(changes.size(), 2u);
    EXPECT_EQ(changes[0].path, "procedure.settle");
    EXPECT_EQ(changes[0].before, "3 s");
    EXPECT_TRUE(changes[0].everywhere);
    EXPECT_EQ(changes[1].before, "60 s");
    EXPECT_EQ(changes[1].after, "5 s");
}

TEST_F(StudyReader, VariantIsBuiltOnAnother) {
    const auto s = load(R"([variant.third]
like = "second"
[variant.third.set]
"cooler.parts.core" = "core-b"
[variant.second]
like = "first"
[variant.second.set]
"cooler.rows" = 5
"cooler.width" = "350 mm"
[variant.first]
title = "First"
[variant.first.set]
"cooler.rows" = 3
"ambient.temperature" = "31 degC"
[variant.same]
like = "first"
[variant.back]
like = "second"
[variant.back.set]
"cooler.parts.core" = "core-a"
)",
                        {{"rigs/demo.toml", std::string(good_rig) + "rows = 2\n"}});
    const auto rows = [&](std::size_t k) {
        return std::get<std::int32_t>(cooler(s.variants[k]).parameters.at("rows"));
    };
    EXPECT_EQ(s.base, "third");
    EXPECT_EQ(rows(0), 5);
    EXPECT_EQ(rows(1), 5);
    EXPECT_EQ(rows(2), 3);
    EXPECT_EQ(rows(3), 3);
    EXPECT_DOUBLE_EQ(width(s.variants[0]), 0.4);  // its part wins over the key of what it is like
    EXPECT_DOUBLE_EQ(width(s.variants[1]), 0.35);
    EXPECT_DOUBLE_EQ(width(s.variants[4]), 0.3);
    for (const auto& v : s.variants)
        EXPECT_DOUBLE_EQ(std::get<double>(v.rig.components[0].parameters.at("temperature")), 304.15);
    EXPECT_EQ(s.variants[1].title, "second");  // a title is its own
    const auto& changes = s.variants[1].changes;
    ASSERT_EQ(changes.size(), 3u);
    EXPECT_EQ(changes[0].path, "cooler.rows");
    EXPECT_EQ(changes[0].before, "2");  // of the rig
    EXPECT_EQ(changes[0].after, "5");
}

TEST_F(StudyReader, ChangeBackIsNone) {
    const auto s = load(
        "[variant.a.set]\n\"cooler.parts.core\" = \"core-b\"\n[variant.b]\nlike = \"a\"\n"
        "[variant.b.set]\n\"cooler.parts.core\" = \"core-a\"\n");
    EXPECT_TRUE(s.variants[1].changes.empty());
    EXPECT_DOUBLE_EQ(width(s.variants[1]), 0.3);
}

class StudyText : public StudyReader {
protected:
    static Source text(const std::string& text, const std::string& name = "studies/unsaved.toml") {
        return std::make_shared<const SourceFile>(SourceFile{name, text});
    }
    static std::string errors_of(const Source& text, const std::string& only) {
        try {
            read_study(text, registry(), only);
        } catch (const ScenarioError& e) {
            return e.what();
        }
        return "";
    }
};

TEST_F(StudyText, StandsWhereItsNameSays) {
    load("[variant.a]\n");
    const auto s = read_study(text("rig = \"../rigs/demo.toml\"\n[variant.b]\n"), registry());
    EXPECT_EQ(s.file, "studies/unsaved.toml");
    EXPECT_EQ(s.source->text, "rig = \"../rigs/demo.toml\"\n[variant.b]\n");
    EXPECT_EQ(s.variants[0].name, "b");
    const auto rig = read_study(text(std::string(good_rig) + "rows = 7\n", "./rigs/demo.toml"), registry());
    EXPECT_EQ(std::get<std::int32_t>(cooler(rig.variants[0]).parameters.at("rows")), 7);  // not those of the file
}

TEST_F(StudyText, OnlyOneVariantIsBound) {
    load("[variant.a]\n");
    const auto study = text(
        "base = \"b\"\nrig = \"../rigs/demo.toml\"\n[variant.a]\nlike = \"c\"\n[variant.b.set]\n"
        "\"cooler.parts.core\" = \"no-such\"\n[variant.c.set]\n\"cooler.rows\" = 4\n"
        "[knob.x]\nsets = \"cooler.rows\"\nfrom = 1\nto = 9\n");
    const auto s = read_study(study, registry(), "a");
    ASSERT_EQ(s.variants.size(), 1u);
    EXPECT_EQ(s.variants[0].name, "a");
    EXPECT_EQ(s.base, "a");
    EXPECT_EQ(std::get<std::int32_t>(cooler(s.variants[0]).parameters.at("rows")), 4);
    EXPECT_TRUE(s.knobs.empty());
    EXPECT_NE(errors_of(study, "b"), "");
    EXPECT_EQ(errors_of(study, "other"), "studies/unsaved.toml: error: no variant \"other\"\n      one of: a, b, c\n");
    EXPECT_EQ(errors_of(text(good_rig, "rigs/demo.toml"), "b"),
              "rigs/demo-study.toml: error: no variant \"b\"\n      one of: as-is\n");
}

// Expected digests: xxhsum -H2 (Debian's xxhash 0.8.1) of the same bytes.
TEST(ContentHash, IsXxh3OfLengthsAndContents) {
    const auto file = [](const char* text) { return std::make_shared<const SourceFile>(SourceFile{"any", text}); };
    EXPECT_EQ(content_hash({}), "99aa06d3014798d86001c324468d497f");
    EXPECT_EQ(content_hash({file("abc"), file("d")}), "5f3e34bd99fd0f42ac9a99d2d57d48b8");
}

TEST_F(StudyText, HashIsOfContentsWhereverTheyStand) {
    const std::string study = "[variant.a]\n[variant.b.set]\n\"cooler.parts.core\" = \"core-b\"\n";
    const auto here = load(study).hash;
    EXPECT_EQ(here.size(), 32u);
    EXPECT_EQ(load(study).hash, here);
    std::filesystem::create_directory("moved");
    for (const char* folder : {"rigs", "parts", "studies"})
        std::filesystem::rename(folder, "moved/" + std::string(folder));
    EXPECT_EQ(read("moved/studies/s.toml").hash, here);
    EXPECT_EQ(read(std::filesystem::absolute("moved/studies/s.toml").string()).hash, here);
    std::filesystem::current_path("moved/studies");
    EXPECT_EQ(read("s.toml").hash, here);
    std::filesystem::current_path("../..");
}

TEST_F(StudyText, HashTellsEveryFileThatIsRead) {
    const std::string study = "[variant.a]\n[variant.b.set]\n\"cooler.parts.core\" = \"core-b\"\n";
    const std::string rig = [] {
        std::string text = good_rig;
        const auto at = text.find("[component.blower.efficiency]"), end = text.find("[component.cooler]");
        return text.replace(at, end - at, "[component.blower.efficiency]\nfile = \"map.csv\"\n");
    }();
    const std::string map =
        "speed [rpm], pressure_ratio, efficiency [%]\n4000, 1, 50\n4000, 2, 60\n"
        "9000, 1, 52\n9000, 2, 61\n";
    const Files files{{"rigs/demo.toml", rig}, {"rigs/map.csv", map}, {"parts/unused.toml", "name = \"x\"\n"}};
    const auto hash_with = [&](const std::string& path, const std::string& content) {
        auto other = files;
        other[path] = content;
        return load(study, other).hash;
    };
    std::set<std::string> all{load(study, files).hash};
    all.insert(hash_with("rigs/map.csv", map + "# read in May\n"));
    all.insert(hash_with("rigs/demo.toml", rig + "rows = 3\n"));
    all.insert(hash_with("parts/core-a.toml", std::string(core_a) + "\n"));
    all.insert(hash_with("parts/core-b.toml", "name = \"Core B\"\n[set]\nwidth = \"401 mm\"\n"));
    EXPECT_EQ(all.size(), 5u);
    EXPECT_EQ(hash_with("parts/unused.toml", "name = \"y\"\n"), load(study, files).hash);
}

}  // namespace study_reader_tests

#include <fake_rig.hpp>
#include <random>

namespace rig_reader_tests {

using namespace fake;

class RigReader : public Folder {
protected:
    static Variant load(const Files& more = {}, const std::string& file = "rigs/demo.toml") {
        Files files{{"rigs/demo.toml", good_rig}, {"parts/core-a.toml", core_a}};
        for (const auto& [path, text] : more) files[path] = text;
        write(files);
        return read(file).variants.at(0);
    }
    static const ComponentSpec& component_of(const Variant& v, const std::string& name) {
        for (const auto& c : v.rig.components)
            if (c.name == name) return c;
        throw std::out_of_range(name);
    }
    static double number(const Variant& v, const std::string& component, const std::string& key) {
        return std::get<double>(component_of(v, component).parameters.at(key));
    }
    static std::string with(std::string text, const std::string& from, const std::string& to) {
        return text.replace(text.find(from), from.size(), to);
    }
};

TEST_F(RigReader, ReadsValuesInSiAndConnectionsByFullName) {
    const auto v = load();
    ASSERT_EQ(v.rig.components.size(), 5u);
    EXPECT_EQ(v.rig.components[0].name, "ambient");
    EXPECT_DOUBLE_EQ(number(v, "manifold", "volume"), 0.003);
    EXPECT_EQ(component_of(v, "ambient").parameters.count("temperature"), 0u);  // its preset is the compiler's
    EXPECT_EQ(component_of(v, "cooler").connections.at("from"), "duct.gas");
    EXPECT_EQ(component_of(v, "cooler").connections.at("surroundings"), "ambient.surroundings");
    EXPECT_EQ(component_of(v, "blower").connections.at("from"), "ambient.air");
}

TEST_F(RigReader, SharesCommonValues) {
    const auto v = load();
    EXPECT_DOUBLE_EQ(number(v, "cooler", "glycol"), 0.5);
    EXPECT_DOUBLE_EQ(number(v, "duct", "start_temperature"), 298.15);
    EXPECT_EQ(v.common, (std::map<std::string, double>{{"glycol", 0.5}, {"start_temperature", 298.15}}));
    const auto own = load(
        {{"rigs/demo.toml", with(good_rig, "volume = \"4 L\"", "volume = \"4 L\"\nstart_temperature = \"40 degC\"")}});
    EXPECT_DOUBLE_EQ(number(own, "duct", "start_temperature"), 313.15);
    EXPECT_DOUBLE_EQ(number(own, "manifold", "start_temperature"), 298.15);
}

TEST_F(RigReader, FitsPartsAndLetsTheRigsOwnKeyWin) {
    const auto v = load();
    EXPECT_DOUBLE_EQ(number(v, "cooler", "width"), 0.3);
    ASSERT_EQ(v.parts.size(), 1u);
    EXPECT_EQ(v.parts[0].slot, "core");
    EXPECT_EQ(v.parts[0].component, "cooler");
    EXPECT_EQ(v.parts[0].name, "Core A");
    EXPECT_EQ(v.parts[0].file, "parts/core-a.toml");
    EXPECT_EQ(v.parts[0].price->amount, 420);
    EXPECT_EQ(v.parts[0].price->currency, "EUR");
    const auto own = load({{"rigs/demo.toml", std::string(good_rig) + "width = \"320 mm\"\n"}});
    EXPECT_DOUBLE_EQ(number(own, "cooler", "width"), 0.32);
}

TEST_F(RigReader, TakesPartsByPathFromTheFileThatNamesThem) {
    const auto v =
        load({{"rigs/demo.toml", with(good_rig, "core = \"core-a\"", "core = \"mine/core.toml\"")},
              {"rigs/mine/core.toml", "name = \"Mine\"\nmodel = \"cooler.finned\"\n[set]\nwidth = \"280 mm\"\n"}});
    EXPECT_EQ(v.parts[0].file, "rigs/mine/core.toml");
    EXPECT_FALSE(v.parts[0].price);
}

TEST_F(RigReader, ReadsTablesInlineAndFromFiles) {
    const auto inline_rig = load();
    const auto& map =
        *std::get<std::shared_ptr<const MapData>>(component_of(inline_rig, "blower").parameters.at("efficiency"));
    EXPECT_EQ(map.y, (std::vector<double>{1, 2, 3}));
    EXPECT_DOUBLE_EQ(map.x[0], 4000 * 2 * 3.14159265358979323846 / 60);
    EXPECT_DOUBLE_EQ(map.view()(map.x[1], 2.0), 0.64);
    const auto at = std::string(good_rig).find("[component.blower.efficiency]"),
               end = std::string(good_rig).find("[component.cooler]");
    const auto text = std::string(good_rig).substr(0, at) + "efficiency = { file = \"b.csv\" }\n" +
                      "leakage = { \"pressure_rise [kPa]\" = [0, 100], \"leakage [g/s]\" = [0, 4] }\n" +
                      std::string(good_rig).substr(end);
    const auto v = load(
        {{"rigs/demo.toml", text},
         {"rigs/b.csv", "speed [rpm],pressure_ratio,efficiency [%]\n4000,1,50\n4000,2,60\n12000,1,52\n12000,2,64\n"}});
    const auto& from_file =
        *std::get<std::shared_ptr<const MapData>>(component_of(v, "blower").parameters.at("efficiency"));
    EXPECT_DOUBLE_EQ(from_file.view()(from_file.x[1], 2.0), 0.64);
    const auto& curve = *std::get<std::shared_ptr<const CurveData>>(component_of(v, "blower").parameters.at("leakage"));
    EXPECT_DOUBLE_EQ(curve.view()(5e4), 0.002);
}

TEST_F(RigReader, ExtendsKeyByKey) {
    const auto v = load({{"rigs/big.toml",
                          "extends = \"demo.toml\"\ntitle = \"Big\"\n[component.manifold]\nvolume = \"5 L\"\n"
                          "[component.cooler]\nrows = 4\nfin = \"offset strip\"\n[component.plenum]\n"
                          "model = \"gas.volume\"\nvolume = \"1 L\"\n"}},
                        "rigs/big.toml");
    EXPECT_EQ(v.title, "Big");
    EXPECT_EQ(v.rig.components.size(), 6u);
    EXPECT_DOUBLE_EQ(number(v, "manifold", "volume"), 0.005);
    EXPECT_DOUBLE_EQ(number(v, "duct", "volume"), 0.004);
    EXPECT_DOUBLE_EQ(number(v, "cooler", "width"), 0.3);
    EXPECT_EQ(std::get<std::int32_t>(component_of(v, "cooler").parameters.at("rows")), 4);
    EXPECT_EQ(std::get<std::int32_t>(component_of(v, "cooler").parameters.at("fin")), 1);
}

TEST_F(RigReader, PlacesWhatTheCompilerFinds) {
    const auto v = load();
    const auto told = locate(RigError({{"manifold", "volume", "too large for the duct", "try 2 L"},
                                       {"duct", "rows", "stands at the component", ""},
                                       {"", "", "no place", ""}}), v);
    EXPECT_STREQ(told.what(),
                 "error: no place\n"
                 "rigs/demo.toml:7:12: error: duct.rows: stands at the component\n"
                 "    7 | [component.duct]\n      |            ^^^^\n"
                 "rigs/demo.toml:12:10: error: manifold.volume: too large for the duct\n"
                 "   12 | volume = \"3 L\"\n      |          ^^^^^ try 2 L\n");
}

TEST_F(RigReader, WarnsOfASharedValueThatWaitsForAnotherModel) {
    load({{"rigs/demo.toml", with(good_rig, "cooler.finned", "cooler.duct")}});
    const auto notes = read("rigs/demo.toml").notes;
    ASSERT_EQ(notes.size(), 1u);
    EXPECT_EQ(notes[0], "rigs/demo.toml:3:1: warning: common.glycol = \"50 %\" is used by no component of this rig\n"
                        "    3 | glycol = \"50 %\"\n      | ^^^^^^\n");
}

/// Seeded mutations of good files: every one loads or is refused with errors, and nothing else happens.
TEST_F(RigReader, SurvivesMutatedFiles) {
    load({{"studies/s.toml", "rig = \"../rigs/demo.toml\"\n[conditions]\n\"ambient.temperature\" = \"31 degC\"\n"
                             "[variant.a.set]\n\"cooler.model\" = \"cooler.duct\"\n"}});
    std::mt19937 random(20261125);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    const std::string marks = "[]{}=\"'.,#\\\n\t &$\x01\xC3\xFF-+e019";
    int refused = 0;
    for (int i = 0; i < 2500; ++i) {
        const char* file = i % 3 == 0 ? "rigs/demo.toml" : i % 3 == 1 ? "parts/core-a.toml" : "studies/s.toml";
        std::ifstream in(file, std::ios::binary);
        const std::string good{std::istreambuf_iterator<char>(in), {}};
        std::string text = good;
        for (std::size_t n = 1 + below(4); n--;) {
            const auto at = below(text.size());
            switch (below(4)) {
                case 0: text[at] = marks[below(marks.size())]; break;
                case 1: text.insert(at, 1, marks[below(marks.size())]); break;
                case 2: text.erase(at, 1 + below(5)); break;
                default: text.insert(at, text.substr(below(text.size()), below(20)));
            }
            if (text.empty()) text = "\n";
        }
        write({{file, text}});
        const auto told = errors("studies/s.toml");
        refused += !told.empty();
        EXPECT_TRUE(told.empty() || told.find("error: ") != told.npos) << text;
        write({{file, good}});
    }
    EXPECT_GT(refused, 1250);
    EXPECT_LT(refused, 2500);
}

}  // namespace rig_reader_tests

#include <fake_rig.hpp>
#include <functional>

namespace knobs_tests {

using namespace fake;

const char* const core_b = "name = \"Core B\"\n[set]\nwidth = \"400 mm\"\n";

class Knobs : public Folder {
protected:
    static Study load(const std::string& study, const std::string& rig = good_rig) {
        write({{"rigs/demo.toml", rig},
               {"parts/core-a.toml", core_a},
               {"parts/core-b.toml", core_b},
               {"studies/s.toml", "rig = \"../rigs/demo.toml\"\n" + study}});
        return read("studies/s.toml");
    }
    /// The good rig with one more line of its cooler.
    static std::string cooler_with(const std::string& line) { return std::string(good_rig) + line + "\n"; }
    static double number(const Knob& k, const char* variant) { return std::get<double>(k.start.at(variant)); }
    static std::string choice(const Knob& k, const char* variant) { return std::get<std::string>(k.start.at(variant)); }
    static std::string appended(const Study& s, const TurnedStudy& t) {
        EXPECT_EQ(t.text->name, s.source->name);
        EXPECT_EQ(t.text->text.substr(0, s.source->text.size()), s.source->text);
        return t.text->text.substr(s.source->text.size());
    }
    static std::string what_fails(const std::function<void()>& f) {
        try {
            f();
        } catch (const ScenarioError& e) {
            return e.what();
        }
        return "";
    }
};

const char* const core_knob =
    "[knob.core]\ntitle = \"charge cooler\"\nnote = \"in the lid\"\nsets = \"cooler.parts.core\"\n"
    "choices = [\"core-a\", \"core-b\"]\n";
const char* const ambient_knob =
    "[knob.ambient]\nsets = \"ambient.temperature\"\nfrom = \"5 degC\"\nto = \"40 degC\"\nstep = \"1 degC\"\n";

TEST_F(Knobs, PartsAreShownByNameAndPrice) {
    const auto s = load("[variant.a]\n[variant.b.set]\n\"cooler.parts.core\" = \"core-b\"\n" + std::string(core_knob));
    ASSERT_EQ(s.knobs.size(), 1u);
    const auto& k = s.knobs[0];
    EXPECT_EQ(k.name, "core");
    EXPECT_EQ(k.title, "charge cooler");
    EXPECT_EQ(k.note, "in the lid");
    EXPECT_EQ(k.sets, std::vector<std::string>{"cooler.parts.core"});
    EXPECT_EQ(k.place.line, 5u);
    ASSERT_EQ(k.choices.size(), 2u);
    EXPECT_EQ(k.choices[0].value, "core-a");
    EXPECT_EQ(k.choices[0].label, "Core A (420 EUR)");
    EXPECT_EQ(k.choices[1].label, "Core B");
    EXPECT_EQ(choice(k, "a"), "core-a");
    EXPECT_EQ(choice(k, "b"), "core-b");
}

TEST_F(Knobs, PartThatIsNoChoiceIsNoStart) {
    const auto s = load(
        "[variant.a]\n[knob.core]\nsets = \"cooler.parts.core\"\nchoices = [\"core-b\"]\n"
        "[knob.slot]\nsets = \"manifold.parts.body\"\nchoices = [\"body\"]\n[variant.b.set]\n"
        "\"cooler.parts.core\" = \"../parts/core-b.toml\"\n",
        [] {
            write({{"parts/body.toml", "name = \"Body\"\n[set]\nvolume = \"3 L\"\n"}});
            std::string rig = good_rig;
            return rig.replace(rig.find("volume = \"3 L\""), 14, "volume = \"2 L\"");
        }());
    EXPECT_EQ(s.knobs[0].start.count("a"), 0u);
    EXPECT_EQ(choice(s.knobs[0], "b"), "core-b");  // the same file, named by its path
    EXPECT_TRUE(s.knobs[1].start.empty());         // a slot that no variant fills
}

TEST_F(Knobs, RangeIsInSiWithTheUnitThatPicksItsDisplay) {
    const auto s = load("[variant.a]\n" + std::string(ambient_knob));
    const auto& k = s.knobs.at(0);
    EXPECT_EQ(k.title, "ambient");
    EXPECT_EQ(k.note, "air temperature");  // the parameter's doc
    EXPECT_TRUE(k.choices.empty());
    EXPECT_EQ(k.unit, "K");
    EXPECT_EQ(k.quantity, "temperature");
    EXPECT_DOUBLE_EQ(k.from, 278.15);
    EXPECT_DOUBLE_EQ(k.to, 313.15);
    EXPECT_DOUBLE_EQ(k.step, 1);  // a difference
    EXPECT_FALSE(k.whole);
}

TEST_F(Knobs, StepIsAFiftiethOfTheRangeIfLeftOut) {
    const auto s = load(
        "[variant.a]\n[knob.v]\nsets = \"manifold.volume\"\nfrom = \"2 L\"\nto = \"7 L\"\n"
        "[knob.rows]\nsets = \"cooler.rows\"\nfrom = 1\nto = 6\n");
    EXPECT_DOUBLE_EQ(s.knobs[0].step, 1e-4);
    EXPECT_EQ(s.knobs[1].step, 1);
    EXPECT_TRUE(s.knobs[1].whole);
    EXPECT_EQ(number(s.knobs[1], "a"), 2);  // the parameter's preset
}

TEST_F(Knobs, StartIsWhatEachVariantRunsWith) {
    const auto s = load(R"([variant.preset]
[variant.own.set]
"ambient.temperature" = "31 degC"
"manifold.start_temperature" = "40 degC"
"common.glycol" = "30 %"
"procedure.settle" = "9 s"
"cooler.fin" = "offset strip"
[variant.duct.set]
"cooler.model" = "cooler.duct"
[knob.ambient]
sets = "ambient.temperature"
from = "5 degC"
to = "40 degC"
[knob.charge]
sets = "manifold.start_temperature"
from = "5 degC"
to = "40 degC"
[knob.glycol]
sets = "common.glycol"
from = "0 %"
to = "60 %"
[knob.wait]
sets = "procedure.settle"
from = "1 s"
to = "60 s"
[knob.fin]
sets = "cooler.fin"
choices = ["louver", "offset strip"]
[knob.cooler]
sets = "cooler.model"
choices = ["cooler.finned", "cooler.duct"]
[knob.pitch]
sets = "cooler.fin_pitch"
from = "1 mm"
to = "4 mm"
)");
    const auto& k = s.knobs;
    EXPECT_DOUBLE_EQ(number(k[0], "preset"), 293.15);
    EXPECT_DOUBLE_EQ(number(k[0], "own"), 304.15);
    EXPECT_DOUBLE_EQ(number(k[1], "preset"), 298.15);  // from [common]
    EXPECT_DOUBLE_EQ(number(k[1], "own"), 313.15);
    EXPECT_DOUBLE_EQ(number(k[2], "preset"), 0.5);
    EXPECT_DOUBLE_EQ(number(k[2], "own"), 0.3);
    EXPECT_EQ(number(k[3], "preset"), 2);
    EXPECT_EQ(number(k[3], "own"), 9);
    EXPECT_EQ(choice(k[4], "preset"), "louver");
    EXPECT_EQ(choice(k[4], "own"), "offset strip");
    EXPECT_EQ(k[4].start.count("duct"), 0u);  // another model, which has no fins
    EXPECT_EQ(choice(k[5], "own"), "cooler.finned");
    EXPECT_EQ(choice(k[5], "duct"), "cooler.duct");
    EXPECT_DOUBLE_EQ(number(k[6], "own"), 0.002);  // from its part
    EXPECT_EQ(k[6].start.count("duct"), 0u);
}

TEST_F(Knobs, OneKnobMayTurnSeveralPaths) {
    const auto s = load(
        "[variant.a]\n[knob.start]\nsets = [\"duct.start_temperature\", \"ambient.temperature\"]\n"
        "from = \"0 degC\"\nto = \"30 degC\"\n");
    EXPECT_EQ(s.knobs[0].sets.size(), 2u);
    EXPECT_EQ(s.knobs[0].quantity, "start_temperature");
    EXPECT_DOUBLE_EQ(number(s.knobs[0], "a"), 298.15);  // of the first
    EXPECT_EQ(appended(s, with_variant(s, "a", {{"start", "10 degC"}})),
              "\n[variant.live]\ntitle = \"as turned\"\nlike = \"a\"\n[variant.live.set]\n"
              "\"duct.start_temperature\" = \"10 degC\"\n\"ambient.temperature\" = \"10 degC\"\n");
}

TEST_F(Knobs, TurnedStudyReadsLikeAnyOther) {
    const auto s = load(
        "base = \"a\"\n[variant.a]\n[variant.b.set]\n\"cooler.rows\" = 5\n\"ambient.temperature\" = "
        "\"9 degC\"\n" +
        std::string(core_knob) + ambient_knob);
    const auto t = with_variant(s, "b", {{"core", "core-b"}, {"ambient", "88 degF"}});
    EXPECT_EQ(t.variant, "live");
    const auto one = read_study(t.text, registry(), t.variant);
    ASSERT_EQ(one.variants.size(), 1u);
    EXPECT_EQ(one.base, "live");
    const auto& v = one.variants[0];
    EXPECT_EQ(v.name, "live");
    EXPECT_EQ(v.title, "as turned");
    EXPECT_EQ(std::get<std::int32_t>(v.rig.components[4].parameters.at("rows")), 5);
    EXPECT_DOUBLE_EQ(std::get<double>(v.rig.components[4].parameters.at("width")), 0.4);
    EXPECT_NEAR(std::get<double>(v.rig.components[0].parameters.at("temperature")), 304.2611, 1e-4);
    ASSERT_EQ(v.changes.size(), 3u);
    EXPECT_EQ(v.changes[1].path, "ambient.temperature");
    EXPECT_EQ(v.changes[1].before, "");  // of the rig, not of the variant that it is like
    EXPECT_EQ(v.changes[1].after, "88 degF");
    const auto all = read_study(t.text, registry());
    EXPECT_EQ(all.variants.size(), 3u);
    EXPECT_EQ(all.base, "a");
    EXPECT_EQ(choice(all.knobs[0], "live"), "core-b");
}

TEST_F(Knobs, NameOfTheTurnedVariantIsFree) {
    const auto s = load("[variant.live]\n[variant.live-2]\n" + std::string(ambient_knob));
    EXPECT_EQ(with_variant(s, "live", {}).variant, "live-3");
    EXPECT_EQ(appended(s, with_variant(s, "live", {})), "\n[variant.live-3]\ntitle = \"as turned\"\nlike = \"live\"\n");
}

TEST_F(Knobs, WholeNumbersAreWrittenBare) {
    const auto s =
        load("[variant.a]\n[knob.rows]\nsets = \"cooler.rows\"\nfrom = 1\nto = 6");  // no line break at the end
    const auto line = [&](const char* value) {
        const auto text = appended(s, with_variant(s, "a", {{"rows", value}}));
        return text.substr(text.find("\"cooler.rows\""));
    };
    EXPECT_EQ(line("4"), "\"cooler.rows\" = 4\n");
    EXPECT_EQ(line("4.5"), "\"cooler.rows\" = \"4.5\"\n");
    EXPECT_NE(what_fails([&] { line("99999999999999999999"); }).find("is beyond its range"), std::string::npos);
    EXPECT_EQ(line(""), "\"cooler.rows\" = \"\"\n");
    const auto t = with_variant(s, "a", {{"rows", "4"}});
    const auto one = read_study(t.text, registry(), t.variant);
    EXPECT_EQ(std::get<std::int32_t>(one.variants[0].rig.components[4].parameters.at("rows")), 4);
}

// A text of a value cannot end its string, its line or its table.
TEST_F(Knobs, ValuesAreEscaped) {
    const auto s = load("[variant.'odd \" name']\n" + std::string(ambient_knob));
    const auto t = with_variant(s, "odd \" name", {{"ambient", "1\"\n[x]\\\t\x7f °C"}});
    EXPECT_EQ(appended(s, t),
              "\n[variant.live]\ntitle = \"as turned\"\nlike = \"odd \\\" name\"\n[variant.live.set]\n"
              "\"ambient.temperature\" = \"1\\\"\\u000A[x]\\\\\\u0009\\u007F °C\"\n");
    const auto told = what_fails([&] { read_study(t.text, registry(), t.variant); });
    EXPECT_NE(told.find("error: ambient.temperature = "), told.npos) << told;
    EXPECT_EQ(told.find("error:"), told.rfind("error:")) << told;  // no other
}

TEST_F(Knobs, BadNumberIsToldWithItsLineAndItsKnob) {
    const auto s = load("[variant.a]\n" + std::string(core_knob) + ambient_knob);
    const auto t = with_variant(s, "a", {{"ambient", "31 kg"}, {"core", "core-b"}});
    try {
        read_study(t.text, registry(), t.variant);
        FAIL() << "it must not load";
    } catch (const ScenarioError& e) {
        EXPECT_STREQ(
            e.what(),
            R"(studies/s.toml:18:29: error: ambient.temperature = "31 kg": '31 kg' is a mass, 'temperature' wants a temperature (K)
   18 | "ambient.temperature" = "31 kg"
      |                             ^^ for example "31 degC"
)");
        EXPECT_EQ(knob_at(s, e.diagnostics().at(0).place), "ambient");
    }
    EXPECT_EQ(knob_at(s, {t.text, 19, 1, 1}), "core");
    EXPECT_EQ(knob_at(s, {t.text, 16, 1, 1}), "");  // like = "a"
    EXPECT_EQ(knob_at(s, {t.text, 0, 0, 0}), "");
    EXPECT_EQ(knob_at(s, {}), "");
}

TEST_F(Knobs, NumbersBeyondTheRangeAreRefused) {
    const auto s = load("[variant.a]\n" + std::string(ambient_knob));
    for (const char* inside : {"5 degC", "40 degC", "104 degF", "313.15 K"})
        EXPECT_NE(with_variant(s, "a", {{"ambient", inside}}).text, nullptr) << inside;
    for (const char* outside : {"4.9 degC", "104.2 degF", "-300 degC"})
        EXPECT_EQ(what_fails([&] {
                      with_variant(s, "a", {{"ambient", outside}});
                  }),
                  std::string("studies/s.toml:3:7: error: knob 'ambient' = \"") + outside +
                      "\" is beyond its range\n    3 | [knob.ambient]\n      |       ^^^^^^^ from 5 to 40 degC\n");
}

TEST_F(Knobs, OnlyDeclaredChoicesGetIntoTheText) {
    const auto s = load("[variant.a]\n" + std::string(core_knob));
    EXPECT_EQ(what_fails([&] {
                  with_variant(s, "a", {{"core", "../../secret.toml"}});
              }),
              R"(studies/s.toml:3:7: error: knob 'core' has no choice "../../secret.toml"
    3 | [knob.core]
      |       ^^^^ one of: core-a, core-b
)");
    EXPECT_EQ(what_fails([&] {
                  with_variant(s, "a", {{"cores", "core-a"}});
              }),
              "studies/s.toml: error: no knob \"cores\"\n      did you mean 'core'?\n");
    EXPECT_EQ(what_fails([&] { with_variant(s, "other", {}); }),
              "studies/s.toml: error: no variant \"other\"\n      one of: a\n");
    try {
        with_variant(s, "a", {{"core", "core-c"}});
        FAIL() << "it must not be taken";
    } catch (const ScenarioError& e) {
        EXPECT_EQ(knob_at(s, e.diagnostics().at(0).place), "core");
    }
    const auto without = load("[variant.a]\n");
    EXPECT_EQ(what_fails([&] {
                  with_variant(without, "a", {{"core", "core-a"}});
              }),
              "studies/s.toml: error: no knob \"core\": the study has none\n      [knob.NAME] declares one\n");
}

TEST_F(Knobs, RigAloneBecomesASmallStudy) {
    load("[variant.a]\n");
    const auto s = read("rigs/demo.toml");
    EXPECT_EQ(s.source->name, "rigs/demo-study.toml");
    EXPECT_EQ(s.source->text, "title = \"Demo rig\"\nrig = \"demo.toml\"\n\n[variant.as-is]\ntitle = \"Demo rig\"\n");
    const auto t = with_variant(s, "as-is", {});
    const auto all = read_study(t.text, registry());
    EXPECT_EQ(all.title, "Demo rig");
    ASSERT_EQ(all.variants.size(), 2u);
    for (const auto& v : all.variants)
        EXPECT_EQ(v.rig.components[4].parameters, s.variants[0].rig.components[4].parameters);
}

TEST_F(Knobs, WarningsOfTriedValuesAreNotOfTheStudy) {
    const auto s = load(
        "[variant.a]\n[knob.cooler]\nsets = \"cooler.model\"\nchoices = [\"cooler.finned\", "
        "\"cooler.duct\"]\n",
        [] {
            std::string rig = cooler_with("width = \"300 mm\"");
            write({{"parts/pitch.toml", "name = \"Pitch\"\n[set]\nfin_pitch = \"1 mm\"\n"}});
            return rig.replace(rig.find("\"core-a\""), 8, "\"pitch\"");
        }());
    EXPECT_TRUE(s.notes.empty()) << s.notes.at(0);  // the duct would leave the part out
    EXPECT_EQ(s.knobs[0].choices.size(), 2u);
}

}  // namespace knobs_tests

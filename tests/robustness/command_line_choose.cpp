// What 'choose' prints, writes, keeps and refuses.
#include <nlohmann/json.hpp>

#include "small_sweep.hpp"

namespace command_line_choose_tests {

using namespace command_line;
using Json = nlohmann::json;

const std::string see_help = "\nsee 'pullcast --help'\n";

TEST_F(Chooses, OneCommandEndsInResults) {
    const auto ended = run({"choose", "s.toml", "--threads", "2"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(ended.out.starts_with("Which pulley?\n")) << ended.out;
    EXPECT_NE(ended.out.find("Cautions"), 0u);
    EXPECT_NE(ended.err.find("20 of 20 runs, "), std::string::npos) << ended.err;
    EXPECT_NE(ended.err.find("results: results/s-choose\n"), std::string::npos) << ended.err;
    EXPECT_EQ(names(), "results s.toml");
    EXPECT_EQ(kept("results/s-choose.runs"), runs);
    const auto all = Json::parse(read("results/s-choose/choice.json"));
    EXPECT_EQ(all["schema"], "pullcast.choice");
    EXPECT_EQ(all["schema_version"], 1);
    const auto runs_csv = read("results/s-choose/runs.csv"), combinations = read("results/s-choose/combinations.csv");
    EXPECT_EQ(std::count(runs_csv.begin(), runs_csv.end(), '\n'), 21);
    EXPECT_EQ(std::count(combinations.begin(), combinations.end(), '\n'), 6);
}

TEST_F(Chooses, JsonIsWhatTheFolderHolds) {
    const auto ended = choose({"--json"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(ended.out, read("c/choice.json"));
}

TEST_F(Chooses, ResultsThatAreThereAreReplacedOnlyWhenAskedAndNothingIsRunForThat) {
    ASSERT_EQ(choose().code, 0);
    const auto json = read("c/choice.json"), store = read("c.runs");
    const auto refused = choose();
    EXPECT_EQ(refused.code, 7);
    EXPECT_EQ(refused.err, "error: c: is there already; give another folder by --out, or --force to replace it\n");
    const auto ended = choose({"--force"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(ended.err.starts_with("c.runs: 20 runs are there already\n")) << ended.err;
    EXPECT_EQ(ended.err.find(" of 20 runs"), std::string::npos) << ended.err;
    EXPECT_EQ(read("c/choice.json"), json);
    EXPECT_EQ(read("c.runs"), store);
}

TEST_F(Chooses, AFolderThatIsNoResultsIsNeverReplaced) {
    write("c/mine.txt", "x");
    const auto ended = choose({"--force"});
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(read("c/mine.txt"), "x");
    EXPECT_EQ(names(), "c s.toml");  // nothing was run first
}

TEST_F(Chooses, RunsStandBesideAFolderWithASlash) {
    ASSERT_EQ(choose({}, "deep/c/").code, 0);
    EXPECT_EQ(kept("deep/c.runs"), runs);
    EXPECT_TRUE(fs::exists(folder / "deep/c/choice.json"));
}

TEST_F(Chooses, ChangedWishesNeedNoNewRun) {
    write("s.toml", tables + "[choose]\nfigures = [\"boost_redline\"]\n" + power + budget);
    ASSERT_EQ(choose().code, 0);
    const auto json = read("c/choice.json"), store = read("c.runs");
    write("s.toml", "question = \"And by boost?\"\n" + tables +
                        "[wish.boost]\ntitle = \"boost\"\nfigure = \"boost_redline\"\nprefer = \"less\"\n" + power);
    const auto ended = choose({"--force"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(read("c.runs"), store);
    const auto before = Json::parse(json), after = Json::parse(read("c/choice.json"));
    EXPECT_EQ(before["wishes"][0]["name"], "power");
    EXPECT_EQ(after["wishes"][0]["name"], "boost");
    EXPECT_NE(before["shortlist"], after["shortlist"]);
}

TEST_F(Chooses, RunsOfAnotherStudyAreRefusedAndDroppedOnlyWhenAsked) {
    ASSERT_EQ(choose().code, 0);
    const auto store = read("c.runs");
    write("s.toml", tables + "[conditions]\n\"common.start_temperature\" = \"40 degC\"\n" + power + budget);
    const auto refused = choose({"--force"});
    EXPECT_EQ(refused.code, 7);
    EXPECT_TRUE(
        refused.err.starts_with("error: c.runs: holds other runs than these; give another file, or begin anew:\n"
                                "  hash of what the runs depend on: "))
        << refused.err;
    EXPECT_EQ(read("c.runs"), store);
    const auto ended = choose({"--force", "--anew"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_EQ(kept("c.runs"), runs);
    EXPECT_NE(read("c.runs"), store);
}

TEST_F(Chooses, EstimatingRunsAFewAndKeepsNothing) {
    const auto ended = choose({"--estimate"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(ended.out.starts_with("20 runs; 20 of them took ") ||
                ended.out.find(" of them took ") != std::string::npos)
        << ended.out;
    EXPECT_NE(ended.out.find("\nall on one thread: "), std::string::npos);
    EXPECT_NE(ended.out.find("; a million: "), std::string::npos);
    EXPECT_EQ(names(), "s.toml");
}

TEST_F(Chooses, WhatMattersIsComputedFromRunsOfItsOwnThatAreKeptToo) {
    write("s.toml", tables + R"([knob.charge]
sets = "common.start_temperature"
from = "20 degC"
to = "50 degC"
[meet.charge]
[choose]
met = 2
sensitivity = 4
)" + power);
    ASSERT_EQ(choose().code, 0);
    EXPECT_EQ(kept("c.sensitivity.runs"), 16u);
    const auto json = read("c/choice.json"), store = read("c.sensitivity.runs");
    const auto ended = choose({"--force"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_NE(ended.err.find("c.sensitivity.runs: 16 runs are there already\n"), std::string::npos) << ended.err;
    EXPECT_EQ(read("c/choice.json"), json);
    EXPECT_EQ(read("c.sensitivity.runs"), store);
    EXPECT_TRUE(Json::parse(json)["sensitivity"].contains("shares")) << Json::parse(json)["sensitivity"];
}

TEST_F(Chooses, ACombinationThatFailsIsToldAndTheOthersAreRanked) {
    write_nan_study([&](const std::string& f, const std::string& text) { write(f, text); }, "");
    write("s.toml", R"(rig = "rigs/box.toml"
[variant.car]
[knob.model]
title = "filter's model"
sets = "filter.model"
choices = ["gas.restriction", "test.makes_nan"]
[buy.model]
[knob.volume]
sets = "box.volume"
from = "2 L"
to = "4 L"
[buy.volume]
count = 2
[wish.charge]
figure = "charge_redline"
prefer = "less"
)");
    const auto ended = choose({"--plugin", "bad/makes_nan.so"});
    EXPECT_EQ(ended.code, 4) << ended.err << ended.out;
    const auto all = Json::parse(read("c/choice.json"));
    std::string failed;
    for (const auto& c : all["combinations"])
        failed += c.contains("failure") ? fmt::format("{}\n", c["bought"]["model"].get<std::string>()) : "";
    EXPECT_EQ(failed, "test.makes_nan\ntest.makes_nan\n");
    EXPECT_NE(ended.out.find("could not be run"), std::string::npos) << ended.out;
}

TEST_F(Chooses, ARigAloneOffersNoChoice) {
    const auto ended = run({"choose", "scenarios/rigs/hillclimb-v6.toml"});
    EXPECT_EQ(ended.code, 3);
    EXPECT_NE(ended.err.find("error: nothing to choose from\n"), std::string::npos) << ended.err;
    EXPECT_EQ(names(), "s.toml");
}

TEST_F(Chooses, WithoutAStudyItSaysWhatIsMissing) {
    const auto ended = run({"choose"});
    EXPECT_EQ(ended.code, 2);
    EXPECT_EQ(ended.err, "error: 'choose' needs a study or rig file" + see_help);
}

}  // namespace command_line_choose_tests

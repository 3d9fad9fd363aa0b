// What turned knobs answer: the numbers of the exported study, the command line's words for bad values, and the newest
// request of each page.
#include <future>
#include <map>
#include <pullcast/study/figures.hpp>
#include <thread>

#include "live_page.hpp"

namespace live_server_runs_tests {

using namespace live;
using namespace std::chrono_literals;
using LiveServerRuns = Page;
using Knobs = std::map<std::string, std::string>;

TEST_F(LiveServerRuns, AReplyIsWhatTheContractSays) {
    const auto a = ask(run(7, {{"pulley", "pulley-80"}}));
    EXPECT_EQ(a.header("content-type"), "application/json");
    const auto reply = Json::parse(a.body);
    EXPECT_EQ(reply["sequence"], 7);
    EXPECT_EQ(reply["variant"]["name"], "live");
    EXPECT_EQ(reply["variant"]["base"], false);
    EXPECT_TRUE(reply["variant"]["failure"].is_null());
    EXPECT_EQ(reply["rigs"].size(), 1u);
    EXPECT_EQ(reply["variant"]["rig"], 0);
    EXPECT_GT(reply["variant"]["time"].size(), 50u);
    EXPECT_GT(reply["simulated_ms"], 0);
    EXPECT_EQ(reply["headline"], reply["variant"]["headline"]);
    EXPECT_NE(reply["headline"]["metric"], "");
}

// The variant of the study that the knob imitates has the same numbers, to the last bit.
TEST_F(LiveServerRuns, AKnobTurnedToAVariantGivesThatVariantsFigures) {
    const auto reply = Json::parse(ask(run(1, {{"pulley", "pulley-80"}})).body);
    const auto study = pullcast::read_study(folder.study, registry());
    const auto results = pullcast::run_study(study, 1);
    const auto all = pullcast::figures();
    for (std::size_t k = 0; k < all.size(); ++k) {
        const auto& figure = reply["variant"]["figures"][all[k].key];
        if (std::isnan(results[1].figures[k])) EXPECT_TRUE(figure.is_null()) << all[k].key;
        else EXPECT_EQ(figure.get<double>(), results[1].figures[k]) << all[k].key;
    }
    EXPECT_NE(results[0].figures, results[1].figures);
}

TEST_F(LiveServerRuns, TheExportedStudyGivesTheSameFigures) {
    const Knobs knobs{{"pulley", "pulley-86"}, {"weather", "33.5 degC"}};
    const auto reply = Json::parse(ask(run(1, knobs)).body);
    const auto exported = ask(post("/study", wish(0, knobs)));
    EXPECT_EQ(exported.status, 200);
    EXPECT_EQ(exported.header("content-type"), "text/plain; charset=utf-8");
    std::ofstream(folder.path / "exported.toml") << exported.body;
    const auto study = pullcast::read_study(folder.path / "exported.toml", registry());
    ASSERT_EQ(study.variants.size(), 3u);
    EXPECT_EQ(study.variants[2].name, "live");
    const auto results = pullcast::run_study(study, 2);
    const auto all = pullcast::figures();
    std::size_t compared = 0;
    for (std::size_t k = 0; k < all.size(); ++k) {
        if (std::isnan(results[2].figures[k])) continue;
        EXPECT_EQ(reply["variant"]["figures"][all[k].key].get<double>(), results[2].figures[k]) << all[k].key;
        ++compared;
    }
    EXPECT_GT(compared, 10u);
}

TEST_F(LiveServerRuns, TheReportHoldsBaseAndTurnedVariant) {
    const auto a = ask(post("/report", wish(0, {{"pulley", "pulley-80"}})));
    ASSERT_EQ(a.status, 200);
    EXPECT_EQ(a.header("content-type"), "text/html; charset=utf-8");
    const auto page = document_of(a.body);
    EXPECT_EQ(page["mode"], "report");
    ASSERT_EQ(page["variants"].size(), 2u);
    EXPECT_EQ(page["variants"][0]["name"], "as-is");
    EXPECT_EQ(page["variants"][0]["base"], true);
    EXPECT_EQ(page["variants"][1]["name"], "live");
    EXPECT_TRUE(page["live"].is_null()) << "a saved file holds no token";
    EXPECT_EQ(a.body.find(token), a.body.npos);
}

TEST_F(LiveServerRuns, ThePageHoldsTheKnobs) {
    const auto page = document_of(ask(open_page()).body);
    EXPECT_EQ(page["mode"], "live");
    EXPECT_EQ(page["live"]["token"], token);
    EXPECT_EQ(page["live"]["start"], "as-is");
    const auto& knobs = page["live"]["knobs"];
    ASSERT_EQ(knobs.size(), 4u);
    EXPECT_EQ(knobs[0]["title"], "ambient temperature");
    EXPECT_EQ(knobs[0]["from"], 278.15);
    EXPECT_EQ(knobs[0]["write"], (Json{{"metric", "degC"}, {"us", "degF"}}));
    EXPECT_TRUE(knobs[0]["choices"].is_null());
    EXPECT_EQ(knobs[1]["choices"][1]["value"], "pulley-86");
    EXPECT_EQ(knobs[1]["start"], (Json{{"as-is", "pulley-92"}, {"small", "pulley-80"}}));
    for (const auto& k : knobs)
        for (const char* unit : {"unit", "step_unit"})
            EXPECT_TRUE(!k["choices"].is_null() || page["units"].contains(k[unit].get<std::string>())) << k[unit];
}

TEST_F(LiveServerRuns, WhatIsNoRequestIsTold) {
    EXPECT_EQ(refused(post("/run", "{\"client\": ")), "400 the request is not JSON (character 12)");
    EXPECT_EQ(refused(post("/run", std::string(60000, '['))), "400 the request is nested deeper than 2 levels");
    EXPECT_EQ(refused(post("/study", "[]")), "400 the request must be an object");
    EXPECT_EQ(refused(post("/report", R"({"client": 5})")), "400 'client' must be a text");
}

/// What `pullcast check` would print of a study of that text, without the name of its file.
std::string told_by_the_command_line(const std::string& study, const fs::path& folder) {
    const auto file = folder / "exported.toml";
    std::ofstream(file) << study;
    try {
        read_study(file, registry());
    } catch (const pullcast::ScenarioError& e) {
        auto text = pullcast::render(e.diagnostics());
        for (std::size_t at; (at = text.find("exported.toml")) != text.npos;) text.replace(at, 13, "turned.toml");
        return text;
    }
    return "no mistakes found";
}

TEST_F(LiveServerRuns, ABadValueIsToldAsTheCommandLineTellsIt) {
    const auto good = ask(post("/study", wish(0, {{"weather", "31 degC"}}))).body;
    for (const std::string bad : {"31 bananas", "warm", "", "31"}) {
        auto study = good;
        study.replace(study.rfind("31 degC"), 7, bad);
        const auto a =
            ask(run(static_cast<std::uint64_t>(1 + bad.size()), {{"weather", bad}}, "c" + std::to_string(bad.size())));
        EXPECT_EQ(a.status, 422) << bad;
        const auto reply = Json::parse(a.body);
        const std::string text = reply["text"];
        EXPECT_EQ(text, told_by_the_command_line(study, folder.path)) << bad;
        EXPECT_EQ(reply["error"], text.substr(0, text.find('\n')));
        EXPECT_EQ(reply["knob"], "weather") << bad;
    }
}

TEST_F(LiveServerRuns, UnknownNamesAndChoicesAreToldAndNeverRead) {
    const auto told = [&](const char* path, const std::string& body) {
        const auto a = ask(post(path, body));
        EXPECT_EQ(a.status, 422) << body;
        return Json::parse(a.body);
    };
    for (const char* path : {"/run", "/study", "/report"}) {
        static std::uint64_t k = 0;
        std::string error = told(path, wish(++k, {{"wether", "31 degC"}}))["error"];
        EXPECT_NE(error.find("no knob \"wether\""), error.npos) << error;
        error = told(path, wish(++k, {}, "a", "as-was"))["error"];
        EXPECT_NE(error.find("no variant \"as-was\""), error.npos) << error;
        for (const char* choice : {"../../secret", "/etc/passwd", "pulley-74", "pulley-80\"\n[variant.x]", ""}) {
            const auto reply = told(path, wish(++k, {{"pulley", choice}}));
            error = reply["error"];
            EXPECT_NE(error.find("knob 'pulley' has no choice"), error.npos) << error;
            EXPECT_EQ(reply["knob"], "pulley");
        }
    }
}

// A text that would end its string in the study and begin a table of its own stays a text.
TEST_F(LiveServerRuns, AValueCannotAddToTheStudy) {
    for (const std::string bad : {"31 degC\"\n[variant.more]\n#", "31 degC\\", "31 degC\" #", "31\ndegC"}) {
        const auto a = ask(post("/study", wish(0, {{"weather", bad}})));
        EXPECT_EQ(a.status, 422) << bad;
        EXPECT_EQ(Json::parse(a.body)["knob"], "weather") << bad;
    }
}

TEST_F(LiveServerRuns, ALaterRequestEndsTheEarlierOne) {
    Line first(port);
    first.say(endless_run(1).text());
    std::this_thread::sleep_for(300ms);
    const auto begin = std::chrono::steady_clock::now();
    EXPECT_EQ(ask(run(2)).status, 200);
    const auto a = first.hear();
    EXPECT_EQ(a.status, 409);
    EXPECT_EQ(error(a), "superseded by a later request of the same page");
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 5s);
}

TEST_F(LiveServerRuns, AnEarlierOrEqualSequenceIsRefusedAtOnce) {
    EXPECT_EQ(ask(run(5)).status, 200);
    EXPECT_EQ(refused(run(5)), "409 superseded by a later request of the same page");
    EXPECT_EQ(refused(run(4)), "409 superseded by a later request of the same page");
    EXPECT_EQ(ask(run(6)).status, 200);
}

TEST_F(LiveServerRuns, TwoPagesDoNotDisturbEachOther) {
    const auto drag = [&](const std::string& client, double from) {
        Line line(port);
        for (std::uint64_t k = 1; k <= 15; ++k) {
            const auto value = std::to_string(from + static_cast<double>(k)) + " degC";
            line.say(run(k, {{"weather", value}}, client).text());
            const auto a = line.hear();
            if (a.status != 200 || Json::parse(a.body)["sequence"] != k) return false;
        }
        return true;
    };
    auto one = std::async(std::launch::async, drag, "one", 5.0),
         two = std::async(std::launch::async, drag, "two", 20.0);
    EXPECT_TRUE(one.get());
    EXPECT_TRUE(two.get());
}

TEST_F(LiveServerRuns, OfTwoHundredQuickRequestsTheLastIsAnswered) {
    constexpr std::uint64_t count = 200;
    constexpr std::size_t lines = 6;  // what browsers open
    std::atomic<std::uint64_t> next = 1;
    std::mutex mutex;
    std::map<int, int> statuses;
    std::uint64_t drawn = 0;
    Json last;
    {
        std::vector<std::jthread> all;
        for (std::size_t k = 0; k < lines; ++k)
            all.emplace_back([&] {
                Line line(port);
                for (std::uint64_t s; (s = next++) <= count;) {
                    line.say(run(s, {{"weather", std::to_string(10 + 0.1 * static_cast<double>(s)) + " degC"}}).text());
                    const auto a = line.hear();
                    const std::lock_guard lock(mutex);
                    ++statuses[a.status];
                    if (a.status != 200) continue;
                    auto reply = Json::parse(a.body);
                    if (reply["sequence"] > drawn) drawn = reply["sequence"], last = std::move(reply);
                }
            });
    }
    EXPECT_EQ(drawn, count);
    EXPECT_EQ(statuses[200] + statuses[409], static_cast<int>(count)) << "others than 200 and 409";
    const auto alone = Json::parse(ask(run(1, {{"weather", "30 degC"}}, "alone")).body);
    EXPECT_EQ(last["variant"]["figures"], alone["variant"]["figures"]);
}

}  // namespace live_server_runs_tests

// A study with a session on the live page: nothing is run or sent before it is asked for, a run's answers are those of
// the command line, and several lessons stand behind one address.
#include <future>
#include <live_course.hpp>
#include <pullcast/study/questions.hpp>

#include "live_page.hpp"

namespace live_server_days_tests {

using namespace live;

/// With `dyno` locked and `longest` at an hour, a day takes minutes.
const std::string day_study = R"(title = "two pulls"
note = "To see the second one."
[variant.slim]
[variant.deep]
[variant.deep.set]
"cooler.parts.core" = "deep-core"
[session]
steps = ["pull", "wait", "pull"]
[step.pull]
kind = "pull"
[step.wait]
kind = "held"
lasts = "20 s"
[step.wait.set]
"front.face_velocity" = "3 m/s"
[predict.second]
question = "How much hotter does the second pull end?"
figure = "intake_redline"
pull = "last"
minus = { pull = 1 }
alike_within = "1 K"
[predict.deep]
question = "What power has the deep core?"
figure = "crank_power"
variant = "deep"
[knob.wait]
sets = "step.wait.lasts"
from = "5 s"
to = "5 min"
[knob.wind]
sets = "step.wait.set.front.face_velocity"
from = "0 m/s"
to = "10 m/s"
[knob.pump]
sets = "pump.parts.unit"
choices = ["small-pump", "large-pump"]
[knob.dyno]
sets = "load.model"
choices = ["load.roller", "load.locked"]
[knob.longest]
sets = "procedure.longest"
from = "20 s"
to = "3600 s"
)";

std::string with_rig(const std::string& text) {
    return "rig = \"" PULLCAST_SOURCE "/scenarios/rigs/hillclimb-v6.toml\"\n" + text;
}

/// Folders with a lesson each, gone at the end.
struct CourseFolder {
    fs::path path;
    explicit CourseFolder(const std::vector<std::string>& names) {
        std::string name = (fs::temp_directory_path() / "pullcast-course-XXXXXX").string();
        if (!mkdtemp(name.data())) throw std::runtime_error("no temporary folder");
        path = name;
        for (const auto& n : names) write(n, with_rig(day_study));
    }
    ~CourseFolder() { fs::remove_all(path); }
    void write(const std::string& name, const std::string& text) const {
        fs::create_directories(path / name);
        std::ofstream(lesson(name)) << text;
    }
    fs::path lesson(const std::string& name) const { return path / name / "lesson.toml"; }
};

std::string pump_of(const pullcast::Variant& v) {
    for (const auto& p : v.parts)
        if (p.component == "pump") return fs::path(p.file).filename().string();
    return "";
}

std::vector<pullcast::Answer> answers_of(const pullcast::Study& study) {
    std::vector<pullcast::Answer> all;
    const auto results = pullcast::run_sessions(study, 2);
    for (const auto& q : study.questions) all.push_back(answer_to(q, study, results));
    return all;
}
std::vector<pullcast::Answer> answers_of(const fs::path& study) {
    return answers_of(pullcast::read_study(study, registry()));
}

void expect_same(const Json& reply, const std::vector<pullcast::Answer>& answers) {
    ASSERT_EQ(reply["answers"].size(), answers.size());
    for (std::size_t k = 0; k < answers.size(); ++k)
        EXPECT_EQ(reply["answers"][k]["value"].get<double>(), answers[k].value) << k;
}

class LiveServerDays : public Served {
protected:
    CourseFolder folder{{"day"}};
    pullcast::LiveDay day{registry(), folder.lesson("day"), {.threads = 2}};
    pullcast::LiveServer server{day};

    LiveServerDays() { start(server); }
    Request turn(std::uint64_t sequence, const std::map<std::string, std::string>& knobs = {}) const {
        return post("/run", wish(sequence, knobs, "a", "slim"));
    }
    std::string exported(const std::map<std::string, std::string>& knobs) const {
        return ask(post("/study", wish(0, knobs, "a", "slim"))).body;
    }
};

TEST_F(LiveServerDays, ThePageHoldsTheQuestionsAndNothingOfARun) {
    const auto page = document_of(ask(open_page()).body);
    EXPECT_EQ(page["mode"], "lesson");
    ASSERT_EQ(page["questions"].size(), 2u);
    EXPECT_EQ(page["questions"][0]["text"], "How much hotter does the second pull end?");
    EXPECT_EQ(page["questions"][0]["unit"], "dK|temperature");
    EXPECT_EQ(page["questions"][0]["alike_within"], 1.0);
    EXPECT_TRUE(page["questions"][1]["alike_within"].is_null());
    std::vector<std::string> members;
    for (const auto& [key, value] : page.items()) members.push_back(key);
    const std::vector<std::string> planned = {"schema", "schema_version", "mode",     "program", "study", "system",
                                              "length", "given",          "variants", "steps",   "turns", "questions",
                                              "links",  "load_notes",     "cautions", "live",    "units"};
    EXPECT_EQ(members, planned);
    for (const auto& v : page["variants"])
        for (const char* member : {"figures", "curves", "headline", "words", "pulls", "warnings"})
            EXPECT_FALSE(v.contains(member)) << member;
    EXPECT_EQ(page["steps"][1]["lasts"], 20.0);
    EXPECT_EQ(page["steps"][1]["settings"][0]["value"], "3 m/s");
    EXPECT_EQ(page["live"]["knobs"][0]["start"]["slim"], 20.0);
    EXPECT_EQ(page["live"]["knobs"][1]["start"]["slim"], 3.0);
}

TEST_F(LiveServerDays, ARunAnswersAsTheCommandLineDoes) {
    const auto a = ask(turn(3));
    ASSERT_EQ(a.status, 200) << a.body;
    const auto reply = Json::parse(a.body);
    EXPECT_EQ(reply["sequence"], 3);
    EXPECT_GT(reply["simulated_ms"], 0);
    EXPECT_EQ(reply["day"]["mode"], "day");
    ASSERT_EQ(reply["day"]["variants"].size(), 2u);
    EXPECT_EQ(reply["day"]["variants"][1]["pulls"].size(), 2u);
    expect_same(reply, answers_of(folder.lesson("day")));
}

// What is turned is what the file would say in that place.
TEST_F(LiveServerDays, ATurnedStepIsThatStepWithAnotherLengthAndSetting) {
    auto text = with_rig(day_study);
    text.replace(text.find("lasts = \"20 s\""), 14, "lasts = \"90 s\"");
    text.replace(text.find("3 m/s"), 5, "0 m/s");
    folder.write("by-hand", text);
    const auto by_hand = answers_of(folder.lesson("by-hand"));
    const auto reply = Json::parse(ask(turn(1, {{"wait", "90 s"}, {"wind", "0 m/s"}})).body);
    expect_same(reply, by_hand);
    EXPECT_NE(by_hand[0].value, answers_of(folder.lesson("day"))[0].value);
}

TEST_F(LiveServerDays, TheExportedStudyGivesTheSameAnswersAndCanBeTurnedAgain) {
    const std::map<std::string, std::string> knobs{{"pump", "large-pump"}, {"wait", "1 min"}};
    folder.write("exported", exported(knobs));
    expect_same(Json::parse(ask(turn(1, knobs)).body), answers_of(folder.lesson("exported")));
    const auto study = pullcast::read_study(folder.lesson("exported"), registry());
    EXPECT_EQ(study.session->steps[1].longest, 60);
    const auto again = pullcast::read_study(pullcast::with_turned(study, {{"wait", "30 s"}}), registry());
    EXPECT_EQ(again.session->steps[1].longest, 30);
    for (const auto& v : again.session->steps[0].variants) EXPECT_EQ(pump_of(v), "large-pump.toml") << v.name;
    EXPECT_EQ(exported({}), with_rig(day_study)) << "nothing turned, nothing added";
}

TEST_F(LiveServerDays, TheReportIsTheDaysPageWithoutTheToken) {
    const auto a = ask(post("/report", wish(0, {{"wait", "30 s"}}, "a", "slim")));
    ASSERT_EQ(a.status, 200);
    EXPECT_EQ(document_of(a.body)["mode"], "day");
    EXPECT_EQ(a.body.find(token), a.body.npos);
}

TEST_F(LiveServerDays, ABadValueIsToldAsTheCommandLineTellsIt) {
    const auto good = exported({{"wait", "1 min"}});
    std::uint64_t sequence = 0;
    for (const std::string bad : {"1 bananas", "long", "", "-1 min", "1 kPa"}) {
        auto text = good;
        text.replace(text.rfind("1 min"), 5, bad);
        folder.write("wrong", text);
        std::string told;
        try {
            pullcast::read_study(folder.lesson("wrong"), registry());
        } catch (const pullcast::ScenarioError& e) {
            told = pullcast::render(e.diagnostics());
        }
        for (std::size_t at; (at = told.find("/wrong/")) != told.npos;) told.replace(at, 7, "/day/");
        const auto a = ask(turn(++sequence, {{"wait", bad}}));
        EXPECT_EQ(a.status, 422) << bad;
        const auto reply = Json::parse(a.body);
        EXPECT_EQ(reply["knob"], "wait") << bad;
        if (bad == "-1 min") EXPECT_NE(reply["error"].get<std::string>().find("beyond its range"), std::string::npos);
        else EXPECT_EQ(reply["text"], told) << bad;
    }
}

TEST_F(LiveServerDays, WhatIsNotDeclaredIsRefused) {
    EXPECT_NE(refused(turn(1, {{"colour", "red"}})).find("no knob \"colour\""), std::string::npos);
    EXPECT_NE(refused(turn(2, {{"pump", "/etc/passwd"}})).find("knob 'pump' has no choice"), std::string::npos);
    EXPECT_EQ(refused(post("/run", wish(3, {}, "a", "deep"))), "400 'start' must be the study's base");
}

TEST_F(LiveServerDays, ANewerRunOfTheSamePageEndsTheOneBefore) {
    const auto endless = turn(1, {{"dyno", "load.locked"}, {"longest", "3600 s"}});
    auto first = std::async(std::launch::async, [&] { return ask(endless).status; });
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    EXPECT_EQ(ask(turn(2)).status, 200);
    EXPECT_EQ(first.get(), 409);
}

TEST_F(LiveServerDays, TheServersEndIsTheRunsEnd) {
    const auto endless = turn(1, {{"dyno", "load.locked"}, {"longest", "3600 s"}});
    auto running = std::async(std::launch::async, [&] { return ask(endless).status; });
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    server.stop();
    const auto status = running.get();
    EXPECT_TRUE(status == 503 || status == 0) << status;
}

class LiveServerCourse : public Served {
protected:
    CourseFolder folder{{"10-last", "2-middle", "1-first"}};
    pullcast::LiveCourse course{registry(), folder.path, {.threads = 2}};
    pullcast::LiveServer server{course, {}, course.lessons()};

    LiveServerCourse() { start(server); }
    Request post_to(const std::string& path) const { return post(path, wish(1, {}, "a", "slim")); }
};

TEST_F(LiveServerCourse, ListsItsLessonsInOrderAndLinksThem) {
    const auto list = document_of(ask(open_page()).body);
    EXPECT_EQ(list["mode"], "contents");
    ASSERT_EQ(list["lessons"].size(), 3u);
    EXPECT_EQ(list["lessons"][2]["address"], "3/");
    for (const auto& [at, name] : {std::pair("/1/", "1-first"), {"/2/", "2-middle"}, {"/3/", "10-last"}}) {
        const auto lesson = document_of(ask(open_page(at)).body);
        EXPECT_EQ(lesson["mode"], "lesson");
        EXPECT_EQ(lesson["study"]["file"], folder.lesson(name).string());
    }
    const auto links = document_of(ask(open_page("/2/")).body)["links"];
    ASSERT_EQ(links.size(), 3u);
    EXPECT_EQ(links[0]["address"], "../");
    EXPECT_EQ(links[1]["address"], "../1/");
    EXPECT_EQ(links[2]["address"], "../3/");
}

TEST_F(LiveServerCourse, EachLessonAnswersForItself) {
    for (const char* at : {"/1/", "/3/"}) {
        const auto a = ask(post_to(at + std::string("run")));
        ASSERT_EQ(a.status, 200) << a.body;
        EXPECT_EQ(Json::parse(a.body)["day"]["mode"], "day");
    }
    EXPECT_EQ(refused(post_to("/run")), "400 there is nothing to run on this page");
}

TEST_F(LiveServerCourse, OtherAddressesAndTokensAreRefused) {
    for (const char* at : {"/4/", "/0/", "/1", "/01/", "/1//", "/1/../2/", "//1/"})
        EXPECT_EQ(ask(open_page(at)).status, 404) << at;
    EXPECT_EQ(refused(post_to("/4/run")), "404 there is nothing at this address");
    EXPECT_EQ(ask({"GET", "/1/", "", {{"Host", host()}}}).status, 403);
    auto foreign = post_to("/1/run");
    foreign.headers["Origin"] = "http://elsewhere.example";
    EXPECT_EQ(refused(foreign), "403 another page may not ask this");
    EXPECT_EQ(refused({"GET", "/1/run?token=" + token, "", {{"Host", host()}}}), "405 only POST is answered here");
}

TEST(LiveCourseFolder, SaysWhatIsMissingOrWrong) {
    const auto told = [](const fs::path& folder) -> std::string {
        try {
            pullcast::LiveCourse(registry(), folder, {});
        } catch (const pullcast::ScenarioError& e) {
            return e.what();
        }
        return "nothing";
    };
    const CourseFolder none{{}};
    EXPECT_EQ(told(none.path), none.path.string() +
                                   ": error: has no lessons\n      a lesson is a folder with a lesson.toml, which is a "
                                   "study with a session\n");
    const CourseFolder wrong{{"1-good"}};
    wrong.write("2-single", with_rig("[variant.a]\n"));
    EXPECT_NE(told(wrong.path).find("2-single/lesson.toml: error: no session"), std::string::npos);
    wrong.write("2-single", with_rig(day_study + "[predict.odd]\nquestion = \"?\"\nfigure = \"charge_redlin\"\n"));
    EXPECT_NE(told(wrong.path).find("no figure \"charge_redlin\""), std::string::npos);
    EXPECT_NE(told(wrong.path).find("did you mean 'charge_redline'?"), std::string::npos);
}

}  // namespace live_server_days_tests

// Sessions: steps that follow each other with their states carried over.
#include <pullcast/solve/rig_system.hpp>
#include <pullcast/study/session_words.hpp>

#include "shipped.hpp"

namespace session_tests {

using namespace shipped;

Study session_of(const std::string& text) {
    return read_study(
        std::make_shared<const SourceFile>(SourceFile{(scenarios() / "studies" / "made.toml").string(),
                                                      "rig = \"" + rig_file + "\"\n[variant.car]\n" + text}),
        registry());
}

const std::string pull_and_wait = R"(
[session]
steps = ["pull", "wait", "pull"]
[step.pull]
kind = "pull"
[step.wait]
kind = "held"
lasts = "2 min"
[step.wait.set]
"front.face_velocity" = "6 m/s"
)";

double figure_of(const SessionPart& pull, std::string_view key) {
    for (std::size_t k = 0; k < figures().size(); ++k)
        if (key == figures()[k].key) return pull.figures[k];
    return std::nan("");
}

SessionResult run(const Study& study) {
    auto result = run_sessions(study, 1)[0];
    EXPECT_EQ(result.failure, "");
    return result;
}

TEST(Session, FirstPullIsThatOfAStudyBitForBit) {
    const auto study = session_of(pull_and_wait);
    const auto alone = run_study(study, 1)[0];
    const auto day = run(study);
    ASSERT_EQ(day.parts[0].pull.values.size(), alone.pull.values.size());
    for (std::size_t k = 0; k < alone.pull.values.size(); ++k) {
        const double a = day.parts[0].pull.values[k], b = alone.pull.values[k];
        ASSERT_TRUE(a == b || (std::isnan(a) && std::isnan(b))) << k;
    }
}

// A day that begins with the states at a step's end goes on as the whole day did: nothing else is carried over.
TEST(Session, GoesOnTheSameFromAnyBoundaryOfItsSteps) {
    const auto study = session_of(pull_and_wait);
    const auto day = run(study);
    for (std::size_t k = 1; k < day.parts.size(); ++k) {
        const auto& step = study.session->steps[day.parts[k].step];
        auto plan = pull_plan(step.variants[0].procedure);
        plan.longest = step.longest, plan.output_step = step.report_step;
        const bool pull = step.kind == SessionStep::Kind::pull;
        if (!pull) plan.settle = 0, plan.stop_speed = 0, plan.longest_step = 30, plan.review = false;
        const Network network(step.variants[0].rig);  // compiled anew
        auto x = day.parts[k - 1].after;
        const auto again = run_pull(network, plan, stop_rule(network, plan.stop_speed), x);
        EXPECT_EQ(x, day.parts[k].after) << k;
        EXPECT_EQ(again.time, day.parts[k].pull.time) << k;
    }
}

TEST(Session, ClockRunsThroughAndEveryRowNamesItsStep) {
    const auto study = session_of(pull_and_wait);
    const auto day = run(study);
    ASSERT_EQ(day.parts.size(), 3u);
    const double settle = study.variants[0].procedure.settle;
    EXPECT_EQ(day.parts[0].begin, settle);
    EXPECT_EQ(day.parts[1].begin, day.parts[0].end());
    EXPECT_NEAR(day.parts[1].end() - day.parts[1].begin, 120, 1e-9);
    EXPECT_EQ(day.parts[2].begin, day.parts[1].end() + settle);
    const auto csv = session_csv(study, day, UnitSystem::metric);
    std::istringstream lines(csv);
    std::string line;
    std::size_t rows = 0, points = 0;
    for (const auto& p : day.parts) points += p.pull.points();
    double last = -1;
    std::getline(lines, line);
    EXPECT_TRUE(line.starts_with("time [s],step,part,ambient.")) << line;
    for (; std::getline(lines, line); ++rows) {
        const double t = std::stod(line);
        EXPECT_GE(t, last);
        last = t;
        EXPECT_NE(line.find(line.find(",pull,") != line.npos ? ",pull," : ",wait,"), line.npos);
    }
    EXPECT_EQ(rows, points);
}

// Two of the three parts are pulls, whose books close as those of a study do; the day's are their sum.
TEST(Session, BooksCloseOverTheWholeDay) {
    const auto day = run(session_of(pull_and_wait));
    const auto books = ledger_of(day);
    EXPECT_LT(std::fabs(books.energy.relative()), 1e-6);
    EXPECT_LT(std::fabs(books.gas.relative()), 1e-12);
    EXPECT_LT(std::fabs(books.water.relative()), 1e-9);
    EXPECT_LT(std::fabs(books.coolant.relative()), 1e-12);
    double in = 0;
    for (const auto& p : day.parts) {
        EXPECT_NEAR(p.changed_by_hand, 0, 1e-3);
        in += p.pull.energy.into;
    }
    EXPECT_EQ(books.energy.into, in);
}

TEST(Session, HeatOfAPullAddsUp) {
    const auto day = run(session_of(pull_and_wait));
    const auto h = heat_of(day.parts[0]);
    ASSERT_TRUE(h);
    EXPECT_GT(h->compression, 1e5);
    EXPECT_NEAR(h->stored() + h->left(), h->in(), 1e-9 * h->in());
    EXPECT_GT(h->core, 0);
    EXPECT_GT(h->cylinders, 0);
}

TEST(Session, StepEndsWhereWhatItWaitsForIsReached) {
    const auto study = session_of(R"(
[session]
steps = ["pull", "cool", "cool"]
[step.pull]
kind = "pull"
[step.cool]
kind = "held"
lasts = "20 min"
until = { channel = "reservoir.coolant.T", below = "26.5 degC" }
)");
    const auto day = run(study);
    const auto& cool = day.parts[1];
    EXPECT_TRUE(cool.ended_early);
    EXPECT_LT(cool.pull.time.back(), 1200);
    const PullView view(*cool.network, cool.pull);
    EXPECT_NEAR(cool.pull.at(cool.pull.points() - 1, *view.find("reservoir.coolant.T")), 273.15 + 26.5, 1e-4);
    EXPECT_TRUE(day.parts[2].ended_early);  // it is there already
    EXPECT_LT(day.parts[2].pull.time.back(), 0.01);
}

TEST(Session, RepeatsUntilItsConditionHolds) {
    const auto study = session_of(R"(
[session]
steps = [{ repeat = ["pull", "wait"], times = 5, until = { channel = "reservoir.coolant.T", above = "32 degC" } }]
[step.pull]
kind = "pull"
[step.wait]
kind = "held"
lasts = "20 s"
[step.wait.set]
"front.face_velocity" = "0 m/s"
)");
    const auto day = run(study);
    ASSERT_GE(day.parts.size(), 4u);
    ASSERT_LT(day.parts.size(), 10u);
    const auto reservoir = [&](std::size_t part) {
        const PullView view(*day.parts[part].network, day.parts[part].pull);
        return day.parts[part].pull.at(day.parts[part].pull.points() - 1, *view.find("reservoir.coolant.T"));
    };
    EXPECT_GE(reservoir(day.parts.size() - 1), 273.15 + 32);
    EXPECT_LT(reservoir(day.parts.size() - 3), 273.15 + 32);
}

TEST(Session, StepCannotChangeAModel) {
    try {
        session_of(pull_and_wait + "\"cooler.model\" = \"cooler.duct\"\n");
        ADD_FAILURE() << "accepted";
    } catch (const ScenarioError& e) {
        EXPECT_NE(std::string(e.what()).find("[step.wait] changes the model of 'cooler': states would not carry over"),
                  std::string::npos)
            << e.what();
    }
}

// Without a fan and with little time between them, each pull starts and ends hotter: common practice, no source.
TEST(Session, PullAfterPullIsHotterWithoutCooling) {
    const auto day = run(session_of(R"(
[session]
steps = ["pull", { repeat = ["wait", "pull"], times = 2 }]
[step.pull]
kind = "pull"
[step.wait]
kind = "held"
lasts = "30 s"
[step.wait.set]
"front.face_velocity" = "0 m/s"
)"));
    double last = 0;
    for (const std::size_t p : {0u, 2u, 4u}) {
        const double end = figure_of(day.parts[p], "intake_redline");
        EXPECT_GT(end, last + 0.3) << p;
        last = end;
    }
}

TEST(Session, DoesNotDependOnTheNumberOfThreads) {
    const auto study =
        read_study(std::make_shared<const SourceFile>(SourceFile{(scenarios() / "studies" / "made.toml").string(),
                                                                 "rig = \"" + rig_file +
                                                                     "\"\n[variant.a]\n[variant.b]\n[variant.b.set]\n"
                                                                     "\"cooler.parts.core\" = \"deep-core\"\n" +
                                                                     pull_and_wait}),
                   registry());
    const auto one = run_sessions(study, 1), two = run_sessions(study, 2);
    for (std::size_t v = 0; v < one.size(); ++v)
        for (std::size_t p = 0; p < one[v].parts.size(); ++p) EXPECT_EQ(one[v].parts[p].after, two[v].parts[p].after);
}

}  // namespace session_tests

// Sweeps: their runs are those of studies that say the same, to the bit, however they came about.
#include <fmt/format.h>

#include <bit>
#include <chrono>
#include <pullcast/choose/sweep_run.hpp>
#include <pullcast/study/session_run.hpp>
#include <set>
#include <thread>

#include "shipped.hpp"

namespace choose_tests {

using namespace shipped;
using namespace pullcast::choose;

Study study_from(const std::string& text) {
    return read_study(std::make_shared<const SourceFile>(SourceFile{(scenarios() / "studies" / "made.toml").string(),
                                                                    "rig = \"" + rig_file + "\"\n" + text}),
                      registry());
}

const std::vector<std::string> pulleys{"pulley-92", "pulley-80"}, cores{"slim-core", "deep-core", "air-to-air-core"},
    weathers{"pass-cool", "coast-spring", "valley-hot"};

std::string quoted(const std::vector<std::string>& all) { return fmt::format("[\"{}\"]", fmt::join(all, "\", \"")); }

const std::string short_pull = "[procedure]\ntolerance = 1e-4\noutput_step = \"100 ms\"\n";
const std::string knobs = "[knob.pulley]\nsets = \"drive.parts.pulley\"\nchoices = " + quoted(pulleys) +
                          "\n[knob.core]\nsets = \"cooler.parts.core\"\nchoices = " + quoted(cores) +
                          "\n[knob.weather]\nsets = \"ambient.parts.weather\"\nchoices = " + quoted(weathers) +
                          "\n[knob.charge]\nsets = [\"common.start_temperature\"]\nfrom = \"290 K\"\nto = \"330 K\"\n";
/// The car has the first pulley and the first core: six combinations with it, each in three weathers at 310 K.
const std::string sweep = "[buy.pulley]\n[buy.core]\n[meet.weather]\n[meet.charge]\ncount = 1\n";
const std::string wishes =
    "[wish.power]\nfigure = \"crank_power\"\nprefer = \"more\"\n"
    "[wish.intake]\nfigure = \"intake_redline\"\nat_most = \"90 degC\"\n";
const std::string knock = "[wish.margin]\nfigure = \"knock_margin\"\nat_least = \"0 deg\"\n";

struct Sweep {
    explicit Sweep(const std::string& tables) : study(study_from("[variant.car]\n" + tables)) {
        Diagnostics d;
        choices = read_sweep_choices(study, d);
        d.throw_if_failed();
        plan = plan_sweep(study, choices, registry());
    }
    Run run(std::size_t k) {
        if (!runner) runner = std::make_unique<Runner>(study, choices, registry());
        return runner->run(k, plan.combination_of(k), plan.condition_of(k));
    }

    Study study;
    SweepChoices choices;
    SweepPlan plan;
    std::unique_ptr<Runner> runner;
};

/// The lines of a variant that is this run, from the plan's order: pulley, core, weather; the last turns fastest.
std::string settings(std::size_t run) {
    const auto combination = run / weathers.size();
    std::string text;
    if (combination > 0)  // the first is the car as it stands, which is also pulley 0 with core 0
        text = fmt::format("\"drive.parts.pulley\" = \"{}\"\n\"cooler.parts.core\" = \"{}\"\n",
                           pulleys[combination / cores.size()], cores[combination % cores.size()]);
    return text + fmt::format("\"ambient.parts.weather\" = \"{}\"\n\"common.start_temperature\" = \"310 K\"\n",
                              weathers[run % weathers.size()]);
}

void expect_same_bits(double a, double b, const std::string& what) {
    EXPECT_TRUE(std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) || (std::isnan(a) && std::isnan(b)))
        << what << ": " << a << " and " << b;
}

TEST(Choose, EveryRunIsThatOfAStudyThatSaysTheSame) {
    Sweep s(short_pull + knobs + sweep + wishes + knock);
    ASSERT_EQ(s.plan.combinations.size(), 6u);
    ASSERT_EQ(s.plan.runs(), 18u);
    std::string text = short_pull;
    for (std::size_t k = 0; k < s.plan.runs(); ++k) text += fmt::format("[variant.v{}.set]\n", k) + settings(k);
    const auto study = study_from(text);
    const auto results = run_study(study, 2);
    std::set<double> powers;
    for (std::size_t k = 0; k < s.plan.runs(); ++k) {
        const auto run = s.run(k);
        EXPECT_EQ(run.index, k);
        ASSERT_EQ(run.failure, "");
        ASSERT_EQ(results[k].failure, "");
        ASSERT_EQ(run.values.size(), s.choices.columns.size());
        for (std::size_t c = 0; c < run.values.size(); ++c)
            expect_same_bits(run.values[c], figure(results[k], s.choices.columns[c].figure->key),
                             fmt::format("run {} {}", k, s.choices.columns[c].name()));
        powers.insert(run.values[0]);
    }
    EXPECT_EQ(powers.size(), 18u);  // they do differ
}

TEST(Choose, LookingAtKnockDoesNotMoveOtherFigures) {
    Sweep with(short_pull + knobs + sweep + wishes + knock), without(short_pull + knobs + sweep + wishes);
    for (const std::size_t k : {0, 17})
        for (std::size_t c = 0; c < 2; ++c)
            expect_same_bits(with.run(k).values[c], without.run(k).values[c], with.choices.columns[c].name());
}

using Runs = std::map<std::size_t, Run>;

class Stored : public testing::Test {
protected:
    Stored() : file(fs::temp_directory_path() / fmt::format("pullcast-choose-{}.runs", getpid())) { fs::remove(file); }
    ~Stored() override { fs::remove(file); }

    Runs run(Sweep& s, unsigned threads, const Shard& shard = {}, const std::atomic<bool>* interrupt = nullptr) {
        RunStore store(file, head_of(s.plan, s.choices, shard));
        run_sweep(s.study, s.choices, s.plan, registry(), store, shard, threads, interrupt, {});
        return store.runs();
    }
    Runs anew(Sweep& s, unsigned threads) {
        fs::remove(file);
        return run(s, threads);
    }
    std::size_t lines() const {
        std::ifstream in(file);
        std::size_t n = 0;
        for (std::string line; std::getline(in, line);) n += !in.eof();
        return n;
    }

    fs::path file;
};

TEST_F(Stored, TheBitsAreTheSameForAnyNumberOfThreads) {
    Sweep s(short_pull + knobs + sweep + wishes);
    const auto one = anew(s, 1);
    ASSERT_EQ(one.size(), 18u);
    for (std::size_t k = 18; k-- > 0;) EXPECT_EQ(s.run(k), one.at(k));  // nor does the order matter
    EXPECT_EQ(anew(s, 2), one);
    EXPECT_EQ(anew(s, 5), one);
}

TEST_F(Stored, TheBitsAreTheSameAfterAnInterruption) {
    Sweep s(short_pull + knobs + sweep + wishes);
    const auto whole = anew(s, 1);
    fs::remove(file);
    std::atomic<bool> interrupt = false;
    std::jthread watch([&] {
        while (lines() < 4) std::this_thread::sleep_for(std::chrono::milliseconds(1));
        interrupt = true;
    });
    EXPECT_THROW(run(s, 2, {}, &interrupt), Interrupted);
    watch.join();
    const auto kept = read_store(file).runs;
    EXPECT_GE(kept.size(), 3u);
    EXPECT_LT(kept.size(), 18u);
    for (const auto& [index, run] : kept) EXPECT_EQ(run, whole.at(index));
    EXPECT_EQ(run(s, 2), whole);
    EXPECT_EQ(lines(), 19u);  // nothing was run twice
}

TEST_F(Stored, ShardsRunTheirOwnRunsAndNoOthers) {
    Sweep s(short_pull + knobs + sweep + wishes);
    const Shard shard{2, 5};
    const auto runs = run(s, 2, shard);
    std::vector<std::size_t> indices;
    for (const auto& [index, run] : runs) {
        indices.push_back(index);
        EXPECT_EQ(run, s.run(index));
    }
    EXPECT_EQ(indices, (std::vector<std::size_t>{1, 6, 11, 16}));
}

TEST_F(Stored, ProgressCountsWhatWasThereBefore) {
    Sweep s(short_pull + knobs + "[buy.pulley]\n[meet.weather]\n" + wishes);
    const Shard shard{1, 2};
    ASSERT_EQ(run(s, 1, shard).size(), 3u);
    {
        std::ifstream in(file);
        std::string head, first;
        std::getline(in, head), std::getline(in, first);
        in.close();
        std::ofstream(file) << head << "\n" << first << "\n";  // one of them is there
    }
    std::vector<Progress> told;
    RunStore store(file, head_of(s.plan, s.choices, shard));
    run_sweep(s.study, s.choices, s.plan, registry(), store, shard, 1, nullptr,
              [&](const Progress& p) { told.push_back(p); });
    ASSERT_FALSE(told.empty());
    EXPECT_EQ(told.back().done, 3u);
    EXPECT_EQ(told.back().all, 3u);
    EXPECT_EQ(told.back().fresh, 2u);
    EXPECT_GT(told.back().seconds, 0);
}

// Another fin and another core each go with the car; a core that is known by its rating alone has no fins.
TEST_F(Stored, ACombinationThatCannotBeRunIsToldAndStopsNothing) {
    Sweep s(short_pull +
            "[knob.core]\nsets = \"cooler.parts.core\"\nchoices = [\"slim-core\", \"rated-core\"]\n"
            "[knob.fins]\nsets = \"cooler.fin_pitch\"\nfrom = \"1.5 mm\"\nto = \"2 mm\"\n"
            "[knob.pulley]\nsets = \"drive.parts.pulley\"\nchoices = [\"pulley-92\", \"pulley-80\"]\n"
            "[buy.fins]\ncount = 2\n[buy.core]\n[buy.pulley]\n" +
            wishes);
    const auto one = anew(s, 1);
    ASSERT_EQ(one.size(), 9u);
    for (const auto& [index, run] : one) {
        const auto& bought = s.plan.combination_of(index).values;
        const bool fails = !bought.empty() && bought[1] == 1;
        EXPECT_EQ(run.failure.empty(), !fails) << index << " " << run.failure;
        EXPECT_EQ(run.values.size(), fails ? 0u : 2u) << index;
    }
    EXPECT_EQ(one.at(3).failure, "unknown key 'cooler.fin_pitch' in what is tried");
    EXPECT_EQ(anew(s, 3), one);
}

// ---- sessions
const std::string session =
    "[session]\nsteps = [\"wait\", { repeat = [\"pull\", \"wait\"], times = 3 }]\n"
    "[step.pull]\nkind = \"pull\"\n[step.wait]\nkind = \"held\"\nlasts = \"20 s\"\n"
    "[step.wait.set]\n\"front.face_velocity\" = \"6 m/s\"\n";  // above what is met
const std::string fan = "[knob.fan]\nsets = \"front.face_velocity\"\nfrom = \"2 m/s\"\nto = \"4 m/s\"\n";
const std::string second_pull =
    "[wish.intake]\nfigure = \"intake_redline\"\npull = 2\nprefer = \"less\"\n"
    "[wish.first]\nfigure = \"intake_redline\"\npull = 1\nat_most = \"99 degC\"\n"
    "[wish.margin]\nfigure = \"knock_margin\"\npull = 2\nat_least = \"0 deg\"\n";

TEST(Choose, APullOfASessionIsThatOfTheWholeDay) {
    Sweep s(short_pull + session + knobs + fan + "[buy.core]\n[meet.weather]\n[meet.fan]\ncount = 1\n" + second_pull);
    ASSERT_EQ(s.plan.runs(), 9u);
    const auto study = study_from(short_pull + session +
                                  "[variant.a.set]\n\"ambient.parts.weather\" = \"pass-cool\"\n"
                                  "\"front.face_velocity\" = \"3 m/s\"\n"
                                  "[variant.b.set]\n\"cooler.parts.core\" = \"deep-core\"\n"
                                  "\"ambient.parts.weather\" = \"valley-hot\"\n"
                                  "\"front.face_velocity\" = \"3 m/s\"\n");
    const auto results = run_sessions(study, 2);
    const std::size_t runs[] = {0, 5};  // as it stands in the first weather; the second core in the third
    for (std::size_t v = 0; v < 2; ++v) {
        ASSERT_EQ(results[v].failure, "");
        const auto pulls = pulls_of(study, results[v]);
        ASSERT_EQ(pulls.size(), 3u);
        const auto run = s.run(runs[v]);
        ASSERT_EQ(run.failure, "");
        ASSERT_EQ(run.values.size(), 3u);
        for (std::size_t c = 0; c < 3; ++c) {
            const auto& column = s.choices.columns[c];
            const auto k = static_cast<std::size_t>(column.figure - figures().data());
            expect_same_bits(run.values[c], pulls[column.pull - 1]->figures[k], column.name());
        }
        EXPECT_NE(run.values[0], run.values[1]);  // first and second pull differ
    }
}

TEST(Choose, APullThatAnEarlyEndLeavesOutIsNoFigure) {
    const std::string early =
        "[session]\nsteps = [\"pull\", { repeat = [\"wait\"], times = 2, until = { channel = \"sensor.reading\", "
        "below = \"500 degC\" } }, \"pull\"]\n[step.pull]\nkind = \"pull\"\n"
        "[step.wait]\nkind = \"held\"\nlasts = \"5 s\"\n";
    Sweep s(short_pull + early + knobs + "[buy.core]\n" + second_pull);
    const auto run = s.run(0);
    ASSERT_EQ(run.failure, "");
    EXPECT_TRUE(std::isfinite(run.values[1]));  // the second pull is there whenever the waiting ends
}

}  // namespace choose_tests

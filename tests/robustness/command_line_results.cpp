// The results folder is there whole or not at all, whatever happens to the program or to its output.
#include "command_line.hpp"

namespace command_line_results_tests {

using namespace command_line;

class Results : public CommandLine {
protected:
    Results() { write("small.toml", small_rig); }
};

TEST_F(Results, AreNamedAfterTheStudy) {
    const auto ended = run({"run", "small.toml"});
    EXPECT_EQ(ended.err, written_to("results/small"));
    EXPECT_EQ(ended.code, 0);
    for (const char* file : {"as-is.csv", "notes.txt", "summary.json"})
        EXPECT_GT(read(fs::path("results/small") / file).size(), 100u);
    EXPECT_EQ(names(), "results small.toml");
}

TEST_F(Results, ThereAlreadyAreKept) {
    write("mine/summary.json", "precious");
    const auto ended = run({"run", "small.toml", "--out", "mine"});
    EXPECT_EQ(ended.err, "error: mine: is there already; give another folder by --out, or --force to replace it\n");
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(read("mine/summary.json"), "precious");
}

TEST_F(Results, ForceReplacesResults) {
    write("mine/summary.json", "old");
    write("mine/old.csv", "old");
    const auto ended = run({"run", "small.toml", "--out", "mine/", "--force"});
    EXPECT_EQ(ended.err, written_to("mine/"));
    EXPECT_EQ(ended.code, 0);
    EXPECT_NE(read("mine/summary.json"), "old");
    EXPECT_FALSE(fs::exists(folder / "mine/old.csv"));
    EXPECT_EQ(names(), "mine small.toml");
}

TEST_F(Results, ForceReplacesNothingElse) {
    write("photos/car.jpg", "precious");
    for (const auto& [out, shown] : {std::pair{"photos", "photos"}, {"small.toml", "small.toml"}, {".", "."}}) {
        const auto ended = run({"run", "small.toml", "--out", out, "--force"});
        EXPECT_EQ(ended.err, std::string("error: ") + shown +
                                 ": is no results folder (no summary.json in it), so --force does not replace it\n");
        EXPECT_EQ(ended.code, 7);
    }
    EXPECT_EQ(read("photos/car.jpg"), "precious");
    EXPECT_EQ(read("small.toml"), small_rig);
}

TEST_F(Results, BelowAFile) {
    const auto ended = run({"run", "small.toml", "--out", "small.toml/results"});
    EXPECT_EQ(ended.err,
              "error: small.toml/results: cannot be made: " + (folder / "small.toml").string() + " is not a folder\n");
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(names(), "small.toml");
}

// Root may write anywhere but to /proc, and learns it only when it tries: the numbers are printed all the same.
TEST_F(Results, WhereNobodyMayWrite) {
    const bool root = geteuid() == 0;
    const auto ended = run({"run", "small.toml", "--out", "/proc/results"});
    EXPECT_EQ(ended.err, root ? "error: /proc/results: cannot be written: No such file or directory\n"
                              : "error: /proc/results: cannot be made: /proc cannot be written to\n");
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.out.find("pull time") != std::string::npos, root);
}

TEST_F(Results, OutputThatIsFull) {
    const auto ended = run_into("/dev/full", {"models"});
    EXPECT_EQ(ended.err, "error: standard output: No space left on device\n");
    EXPECT_EQ(ended.code, 7);
}

TEST_F(Results, OutputThatNobodyReads) {
    for (const auto& args : {std::vector<std::string>{"models"}, {"run", "small.toml", "--out", "mine"}}) {
        const auto ended = run_into(nullptr, args);
        EXPECT_EQ(ended.err, "");
        EXPECT_EQ(ended.signal, SIGPIPE);
    }
    EXPECT_GT(read("mine/summary.json").size(), 100u);
}

TEST_F(Results, CtrlC) {
    write("long.toml", long_study);
    for (const int signal : {SIGINT, SIGTERM}) {
        const pid_t child = start({"run", "long.toml", "--threads", "2"});
        ASSERT_TRUE(listens(child));
        kill(child, signal);
        const auto ended = wait(child);
        EXPECT_TRUE(ended.err.ends_with("error: interrupted; nothing was written\n")) << ended.err;
        EXPECT_EQ(ended.code, 130);
        EXPECT_EQ(ended.out, "");
        EXPECT_EQ(names(), "long.toml small.toml");
    }
}

TEST_F(Results, KilledWhileRunning) {
    write("long.toml", long_study);
    write("results/long/summary.json", "old");
    const pid_t child = start({"run", "long.toml", "--force"});
    ASSERT_TRUE(listens(child));
    kill(child, SIGKILL);
    EXPECT_EQ(wait(child).signal, SIGKILL);
    EXPECT_EQ(read("results/long/summary.json"), "old");
}

// What a process that was killed while writing leaves is hidden, and gone after the next run; one that still writes is
// not disturbed, nor is another folder's.
TEST_F(Results, LeftoversAreClearedAway) {
    const pid_t dead = fork();
    if (dead == 0) _exit(0);
    waitpid(dead, nullptr, 0);
    const auto leftover = ".mine.new-" + std::to_string(dead), others = ".yours.new-" + std::to_string(dead);
    const auto alive = ".mine.new-" + std::to_string(getpid());
    for (const auto& name : {leftover, others, alive}) write(name + "/as-is.csv", "half a line");
    EXPECT_EQ(run({"run", "small.toml", "--out", "mine"}).code, 0);
    EXPECT_FALSE(fs::exists(folder / leftover));
    EXPECT_TRUE(fs::exists(folder / others / "as-is.csv"));
    EXPECT_TRUE(fs::exists(folder / alive / "as-is.csv"));
}

// The same bits for any number of variants at a time.
TEST_F(Results, DoNotDependOnThreads) {
    for (const char* threads : {"1", "2", "4"})
        ASSERT_EQ(run({"run", "scenarios/studies/pulley-or-core.toml", "--out", threads, "--threads", threads}).code,
                  0);
    std::size_t files = 0;
    for (const auto& e : fs::directory_iterator(folder / "1")) {
        const auto name = e.path().filename();
        EXPECT_TRUE(read("1" / name) == read("2" / name)) << name;
        EXPECT_TRUE(read("1" / name) == read("4" / name)) << name;
        EXPECT_GT(read("1" / name).size(), 1000u) << name;
        ++files;
    }
    EXPECT_EQ(files, 7u);
}

}  // namespace command_line_results_tests

// Runs of 'choose' in shards, interrupted, killed and short of disk: what is kept, and what they make together.
#include <sys/resource.h>

#include <boost/crc.hpp>
#include <random>

#include "small_sweep.hpp"

namespace command_line_shards_tests {

using namespace command_line;

const std::string see_help = "\nsee 'pullcast --help'\n";

class Shards : public Chooses {};

TEST_F(Shards, ShardsPutTogetherAreByteForByteOneRun) {
    const auto whole = undisturbed();
    for (const char* shard : {"3/3", "1/3", "2/3"}) {
        const auto ended = choose({"--shard", shard});
        ASSERT_EQ(ended.code, 0) << ended.err;
        EXPECT_EQ(ended.out, "");
    }
    EXPECT_EQ(names(), "c.1-of-3.runs c.2-of-3.runs c.3-of-3.runs s.toml undisturbed undisturbed.runs");
    EXPECT_EQ(kept("c.2-of-3.runs"), 7u);
    const auto ended = choose({"--merge", "c.3-of-3.runs", "c.1-of-3.runs", "c.2-of-3.runs"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(read("c/choice.json") == whole);
    EXPECT_EQ(read("c/runs.csv"), read("undisturbed/runs.csv"));
    EXPECT_EQ(read("c/combinations.csv"), read("undisturbed/combinations.csv"));
    EXPECT_EQ(kept("c.runs"), runs);
    EXPECT_TRUE(choose({"--force"}).err.starts_with("c.runs: 20 runs are there already\n"));
}

TEST_F(Shards, OneShardOfOneIsAShardToo) {
    ASSERT_EQ(choose({"--shard", "1/1"}).code, 0);
    EXPECT_EQ(names(), "c.1-of-1.runs s.toml");
    EXPECT_EQ(choose({"--merge", "c.1-of-1.runs"}).code, 0);
}

TEST_F(Shards, MissingShardsAreNamed) {
    ASSERT_EQ(choose({"--shard", "1/3"}).code, 0);
    ASSERT_EQ(signalled(SIGINT, 2, "c.3-of-3.runs", {"--shard", "3/3"}).code, 130);
    const auto third = kept("c.3-of-3.runs");
    ASSERT_LT(third, 6u);
    const auto ended = choose({"--merge", "c.1-of-3.runs", "c.3-of-3.runs"});
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.err, fmt::format("error: runs that no file has: {} of 20, the first is run 1\n"
                                     "  of shard 2/3 (no file): 7, the first is run 1\n"
                                     "  of shard 3/3 (c.3-of-3.runs): {}, the first is run {}\n"
                                     "  start those again; they go on where they stopped\n",
                                     13 - third, 6 - third, 2 + 3 * third));
    EXPECT_FALSE(fs::exists(folder / "c"));
    EXPECT_FALSE(fs::exists(folder / "c.runs"));
}

TEST_F(Shards, AShardOfAnotherStudyIsRefused) {
    ASSERT_EQ(choose({"--shard", "1/2"}).code, 0);
    const auto study = read("s.toml");
    write("s.toml", study + "[conditions]\n\"common.start_temperature\" = \"40 degC\"\n");
    ASSERT_EQ(choose({"--shard", "2/2"}).code, 0);
    const auto mixed = choose({"--merge", "c.1-of-2.runs", "c.2-of-2.runs"});
    EXPECT_EQ(mixed.code, 7);
    EXPECT_TRUE(
        mixed.err.starts_with("error: c.1-of-2.runs and c.2-of-2.runs do not belong together:\n"
                              "  hash of what the runs depend on: "))
        << mixed.err;
    ASSERT_EQ(choose({"--shard", "1/2", "--anew"}).code, 0);
    write("s.toml", study);
    const auto other = choose({"--merge", "c.1-of-2.runs", "c.2-of-2.runs"});
    EXPECT_EQ(other.code, 7);
    EXPECT_EQ(other.err, "error: c.1-of-2.runs: these runs are of another study, or of other parts of it\n");
}

/// The text with another first digit in the value of run 0, and a checksum that fits it or the old one.
std::string altered(std::string text, bool fitting) {
    const auto begin = text.find('\n') + 1, end = text.find('\n', begin), sum = text.rfind(' ', end) + 1;
    text[begin + 2] = text[begin + 2] == '1' ? '2' : '1';
    boost::crc_32_type crc;
    crc.process_bytes(&text[begin], sum - 1 - begin);
    return fitting ? text.replace(sum, end - sum, fmt::format("{:08x}", crc.checksum())) : text;
}

TEST_F(Shards, ShardsThatTellARunDifferentlyAreRefused) {
    ASSERT_EQ(choose({"--shard", "1/2"}).code, 0);
    ASSERT_EQ(choose({"--shard", "2/2"}).code, 0);
    const auto first = read("c.1-of-2.runs");
    ASSERT_EQ(first.substr(first.find('\n') + 1, 2), "0 ");
    EXPECT_EQ(choose({"--merge", "c.1-of-2.runs", "c.2-of-2.runs", "c.1-of-2.runs"}).code, 0);  // alike is no conflict
    write("other.runs", altered(first, true));
    const auto ended = choose({"--force", "--merge", "c.1-of-2.runs", "other.runs", "c.2-of-2.runs"});
    EXPECT_EQ(ended.code, 7);
    EXPECT_TRUE(ended.err.starts_with("error: c.1-of-2.runs and other.runs tell run 0 differently:\n  0 "))
        << ended.err;
}

TEST_F(Shards, ALineThatDoesNotFitItsChecksumIsARunThatIsMissing) {
    ASSERT_EQ(choose({"--shard", "1/2"}).code, 0);
    ASSERT_EQ(choose({"--shard", "2/2"}).code, 0);
    write("altered.runs", altered(read("c.1-of-2.runs"), false));
    const auto ended = choose({"--merge", "altered.runs", "c.2-of-2.runs"});
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.err,
              "error: runs that no file has: 1 of 20, the first is run 0\n"
              "  of shard 1/2 (altered.runs): 1, the first is run 0\n"
              "  start those again; they go on where they stopped\n");
}

TEST_F(Shards, MergingNeverReplacesRunsOfAnotherStudy) {
    ASSERT_EQ(choose().code, 0);
    const auto store = read("c.runs"), study = read("s.toml");
    write("s.toml", study + "[conditions]\n\"common.start_temperature\" = \"40 degC\"\n");
    ASSERT_EQ(choose({"--shard", "1/1"}).code, 0);
    const auto refused = choose({"--force", "--merge", "c.1-of-1.runs"});
    EXPECT_EQ(refused.code, 7);
    EXPECT_NE(refused.err.find("c.runs: holds other runs than these"), std::string::npos) << refused.err;
    EXPECT_EQ(read("c.runs"), store);
    EXPECT_EQ(choose({"--force", "--anew", "--merge", "c.1-of-1.runs"}).code, 0);
    EXPECT_EQ(kept("c.runs"), runs);
    EXPECT_NE(read("c.runs"), store);
}

TEST_F(Shards, WrongShardsAreRefused) {
    const auto told = [&](const std::string& shard) {
        const auto ended = choose({"--shard", shard});
        EXPECT_EQ(ended.code, 2) << shard;
        return ended.err;
    };
    EXPECT_EQ(told("2"), "error: --shard '2': must be I/N, the I-th of N shards, such as 2/8" + see_help);
    EXPECT_EQ(told("0/3"), "error: --shard '0': must be a whole number from 1 to 3" + see_help);
    EXPECT_EQ(told("4/3"), "error: --shard '4': must be a whole number from 1 to 3" + see_help);
    EXPECT_EQ(told("1/x"), "error: --shard 'x': must be a whole number from 1 to 100000" + see_help);
    EXPECT_EQ(told("1/2/3"), "error: --shard '2/3': must be a whole number from 1 to 100000" + see_help);
    const auto both = choose({"--shard", "1/2", "--merge", "c.1-of-2.runs"});
    EXPECT_EQ(both.code, 2);
    EXPECT_EQ(both.err, "error: --shard and --merge exclude each other" + see_help);
    EXPECT_EQ(names(), "s.toml");
}

// ---- interruptions
TEST_F(Shards, InterruptedItKeepsItsRunsAndSaysHowToGoOn) {
    const auto whole = undisturbed();
    const auto ended = signalled(SIGINT, 3, "c.runs");
    ASSERT_EQ(ended.code, 130) << ended.err;
    const auto some = kept("c.runs");
    EXPECT_GE(some, 3u);
    ASSERT_LT(some, runs);
    EXPECT_NE(ended.err.find(fmt::format("\n{} of 20 runs are kept in c.runs; the same command goes on from there\n"
                                         "error: interrupted\n",
                                         some)),
              std::string::npos)
        << ended.err;
    EXPECT_EQ(names(), "c.runs s.toml undisturbed undisturbed.runs");
    const auto again = choose();
    ASSERT_EQ(again.code, 0) << again.err;
    EXPECT_TRUE(again.err.starts_with(fmt::format("c.runs: {} runs are there already\n", some))) << again.err;
    EXPECT_TRUE(read("c/choice.json") == whole);
    EXPECT_EQ(kept("c.runs"), runs);
}

TEST_F(Shards, OfAShardItTellsTheRunsOfThatShard) {
    const auto ended = signalled(SIGTERM, 1, "c.3-of-3.runs", {"--shard", "3/3"});
    ASSERT_EQ(ended.code, 130) << ended.err;
    EXPECT_NE(ended.err.find(" of 6 runs are kept in c.3-of-3.runs; "), std::string::npos) << ended.err;
}

TEST_F(Shards, KilledAgainAndAgainTheResultIsTheSameToTheByte) {
    const auto whole = undisturbed();
    std::mt19937 random(5);
    std::size_t last = 0;
    for (int k = 0; k < 5; ++k) {
        const auto ended = signalled(SIGKILL, last + 1 + random() % 3, "c.runs");
        ASSERT_EQ(ended.signal, SIGKILL) << "it had ended already: " << ended.err;
        if (k % 2) fs::resize_file(folder / "c.runs", fs::file_size(folder / "c.runs") - 1 - random() % 20);
        last = kept("c.runs");
    }
    const auto ended = choose();
    ASSERT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(read("c/choice.json") == whole);
    EXPECT_EQ(read("c/runs.csv"), read("undisturbed/runs.csv"));
}

TEST_F(Shards, AFullDiskKeepsWhatWasWritten) {
    const auto whole = undisturbed();
    rlimit before{};
    ASSERT_EQ(getrlimit(RLIMIT_FSIZE, &before), 0);
    const rlimit little{450, before.rlim_max};  // as if the disk were full: writing fails beyond
    std::signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &little);
    const pid_t child = start(args());
    setrlimit(RLIMIT_FSIZE, &before);
    std::signal(SIGXFSZ, SIG_DFL);
    const auto full = wait(child);
    EXPECT_EQ(full.code, 7);
    EXPECT_NE(
        full.err.find("error: c.runs: cannot be written; what stands there in whole lines is kept: File too large\n"),
        std::string::npos)
        << full.err;
    const auto some = kept("c.runs");
    EXPECT_GT(some, 3u);
    EXPECT_LT(some, runs);
    const auto again = choose();
    ASSERT_EQ(again.code, 0) << again.err;
    EXPECT_TRUE(
        again.err.starts_with(fmt::format("c.runs: 1 torn or damaged line left aside; these runs are made "
                                          "again\nc.runs: {} runs are there already\n",
                                          some)))
        << again.err;
    EXPECT_TRUE(read("c/choice.json") == whole);
}

TEST_F(Shards, TwoAtATimeAreRefused) {
    const pid_t child = start(args());
    using namespace std::chrono_literals;
    for (int k = 0; k < 60000 && kept("c.runs") < 1; ++k) std::this_thread::sleep_for(1ms);
    const auto err = streams / "err";
    fs::rename(err, streams / "first");
    const auto second = choose();
    kill(child, SIGKILL);
    wait(child);
    EXPECT_EQ(second.code, 7);
    EXPECT_EQ(second.err, "error: c.runs: is being written by another process; wait for it, or give another file\n");
}

}  // namespace command_line_shards_tests

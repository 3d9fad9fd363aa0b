/// The store of many runs: every double comes back, and what does not belong together is told in full.
#include <sys/stat.h>

#include <bit>
#include <cmath>
#include <random>

#include "run_store_files.hpp"

namespace run_store_tests {

// CRCs: zlib's crc32 of the text before the last blank.
TEST_F(RunStoreFiles, TheFileIsAsItsFormatSays) {
    EXPECT_EQ(text_of(file),
              "pullcast-runs 1 5eed0123 8 1/1 power rise 703ea96f\n"
              "0 301.25 0.1 6c83459f\n"
              "1 nan -0 90132952\n"
              "2 ! the belt slips  at 0.8 s  b39d4706\n"
              "3 inf -inf a30f998d\n"
              "4 5e-324 1.7976931348623157e+308 4f3dcca9\n"
              "5 ! ! efb377fe\n"
              "6 -2.5e-310 1.0000000000000002 e3cf38cb\n"
              "7 1e+22 0.3333333333333333 13a7a2e0\n");
}

TEST_F(RunStoreFiles, EveryDoubleAndFailureComesBackBitForBit) {
    fill(file, head, eight);
    for (const auto& found : {RunStore(file, head).runs(), read_store(file).runs}) {
        ASSERT_EQ(found.size(), 8u);
        EXPECT_EQ(wrong(found, eight), 0u);
        EXPECT_TRUE(std::isnan(found.at(1).values[0]));
        EXPECT_TRUE(std::signbit(found.at(1).values[1]));
    }
    EXPECT_EQ(read_store(file).head, head);
    EXPECT_EQ(read_store(file).damaged_lines, 0u);
}

TEST_F(RunStoreFiles, RandomBitPatternsComeBack) {
    std::mt19937_64 random(7);
    StoreHead wide{"h", 500, {}, {}};
    for (int k = 0; k < 20; ++k) wide.columns.push_back(fmt::format("c{}", k));
    Runs all;
    for (std::size_t run = 0; run < wide.runs; ++run) {
        all[run].index = run;
        for (int k = 0; k < 20; ++k) all[run].values.push_back(std::bit_cast<double>(random()));
    }
    fill(file, wide, all);
    EXPECT_EQ(read_store(file).runs, all);
}

TEST_F(RunStoreFiles, RunsAreEqualByBitsButEveryNanIsTheSame) {
    const auto run = [](double v) { return Result{0, {v}, {}}; };
    EXPECT_EQ(run(nan), run(-nan));
    EXPECT_NE(run(0.0), run(-0.0));
    EXPECT_NE(run(nan), run(0));
    EXPECT_NE(run(1), (Result{1, {1.0}, {}}));
    EXPECT_NE(run(1), (Result{0, {1.0, 2.0}, {}}));
    EXPECT_NE((Result{0, {}, "a"}), (Result{0, {}, "b"}));
}

TEST_F(RunStoreFiles, NansOfEitherSignAreWrittenAlike) {
    fill(file, head, {{0, {0, {nan, 1}, {}}}});
    fill(folder / "other.runs", head, {{0, {0, {-nan, 1}, {}}}});
    EXPECT_EQ(content(file), content(folder / "other.runs"));
}

TEST_F(RunStoreFiles, LineBreaksOfAFailureBecomeBlanks) {
    RunStore store(file, head);
    store.append({3, {}, "no solution\nat 0.2 s\r\n18 2 3"});
    EXPECT_EQ(store.runs().at(3).failure, "no solution at 0.2 s  18 2 3");
    EXPECT_EQ(read_store(file).runs, store.runs());
    EXPECT_EQ(read_store(file).damaged_lines, 0u);
    write_store(folder / "other.runs", head, {{3, {3, {}, "no solution\nat 0.2 s\r\n18 2 3"}}});
    EXPECT_EQ(content(folder / "other.runs"), content(file));
}

TEST_F(RunStoreFiles, OneColumnOrNoneAreColumnsToo) {
    const StoreHead none{"h", 2, {}, {}};
    fill(file, none, {{0, {0, {}, {}}}, {1, {1, {}, "failed"}}});
    EXPECT_EQ(read_store(file).head, none);
    EXPECT_EQ(read_store(file).runs.at(0), (Result{0, {}, {}}));
    EXPECT_EQ(read_store(file).runs.at(1).failure, "failed");
}

TEST_F(RunStoreFiles, RunsAreFoundInAnyOrderAndTwiceIfAlike) {
    text_of(file);
    std::vector<std::size_t> order{5, 1, 7, 0, 3, 2, 6, 4};
    {
        RunStore store(folder / "other.runs", head);
        for (const auto k : order) store.append(eight.at(k));
    }
    EXPECT_NE(content(folder / "other.runs"), content(file));
    EXPECT_EQ(read_store(folder / "other.runs").runs, eight);
    const auto good = content(file);
    write(file, good + good.substr(good.find('\n') + 1));
    EXPECT_EQ(RunStore(file, head).runs(), eight);
}

TEST_F(RunStoreFiles, WhatIsThereAlreadyIsNotWrittenAgainAndNeverDifferently) {
    const auto good = text_of(file);
    RunStore store(file, head);
    store.append(eight.at(1));
    EXPECT_EQ(content(file), good);
    EXPECT_EQ(told([&] {
                  store.append({4, {5e-324, 7}, {}});
              }),
              "day.runs: run 4 came out differently before:\n  4 5e-324 1.7976931348623157e+308\n  4 5e-324 7");
    EXPECT_EQ(content(file), good);
}

TEST_F(RunStoreFiles, TwoGoodLinesThatDifferAreRefused) {
    const auto good = text_of(file);
    {
        fill(folder / "other.runs", head, {{0, {0, {301.25, 0.2}, {}}}});
        const auto other = content(folder / "other.runs");
        write(file, good + other.substr(other.find('\n') + 1));
    }
    const std::string expected = "day.runs:10: run 0 is there twice, and differently:\n  0 301.25 0.1\n  0 301.25 0.2";
    EXPECT_EQ(told([&] { read_store(file); }), expected);
    EXPECT_EQ(told([&] { RunStore(file, head); }), expected);
}

TEST_F(RunStoreFiles, GoodLinesThatAreNoRunsOfThisStoreAreRefused) {
    auto other = head;
    const auto lines_of = [&](const Result& run) {
        fs::remove(folder / "other.runs");
        RunStore(folder / "other.runs", other).append(run);
        const auto text = content(folder / "other.runs");
        return text.substr(text.find('\n') + 1);
    };
    const auto one = with_shard(1, 2);
    fill(file, one, {});
    const auto begun = content(file);
    const auto refusal = [&](const Result& run) {
        write(file, begun + lines_of(run));
        return told([&] { RunStore(file, one); });
    };
    EXPECT_EQ(refusal({1, {2, 3}, {}}), "day.runs:2: run 1 is not in shard 1/2: 1 2 3");
    other.runs = 10;
    EXPECT_EQ(refusal({8, {2, 3}, {}}), "day.runs:2: run 8 is beyond the last of 8: 8 2 3");
    other.columns = {"power"};
    EXPECT_EQ(refusal({2, {2.5}, {}}), "day.runs:2: run 2 has 1 values where 2 belong: 2 2.5");
    write(file, begun + begun);
    EXPECT_EQ(told([&] { RunStore(file, one); }),
              "day.runs:2: is not the line of a run: pullcast-runs 1 5eed0123 8 1/2 power rise");
}

TEST_F(RunStoreFiles, HeadsThatDifferAreToldMemberByMember) {
    fill(file, head, eight);
    const auto good = content(file);
    const auto refusal = [&](auto change) {
        auto wanted = head;
        change(wanted);
        const auto text = told([&] { RunStore(file, wanted); });
        EXPECT_EQ(content(file), good);
        return text;
    };
    const std::string start = "day.runs: holds other runs than these; give another file, or begin anew:";
    EXPECT_EQ(refusal([](StoreHead& h) { h.hash = "c0ffee"; }),
              start + "\n  hash of what the runs depend on: 5eed0123 there, c0ffee wanted");
    EXPECT_EQ(refusal([](StoreHead& h) { h.runs = 9; }), start + "\n  number of runs: 8 there, 9 wanted");
    EXPECT_EQ(refusal([](StoreHead& h) { h.shard = {2, 3}; }), start + "\n  shard: 1/1 there, 2/3 wanted");
    EXPECT_EQ(refusal([](StoreHead& h) {
                  h.columns = {"rise", "price", "mass"};
              }),
              start + "\n  columns only there: power\n  columns only wanted: price mass");
    EXPECT_EQ(refusal([](StoreHead& h) {
                  h.columns = {"rise", "power"};
              }),
              start + "\n  order of the columns: power rise there, rise power wanted");
    EXPECT_EQ(refusal([](StoreHead& h) { h.columns.pop_back(), h.runs = 1; }),
              start + "\n  number of runs: 8 there, 1 wanted\n  columns only there: rise");
}

TEST_F(RunStoreFiles, AnewDropsAnyStoreButNothingElse) {
    const auto other = StoreHead{"c0ffee", 3, {2, 3}, {"price"}};
    const auto begun = [&] {
        fill(folder / "fresh.runs", other, {});
        return content(folder / "fresh.runs");
    }();
    const auto good = text_of(file);
    for (const auto& there : {good, std::string(), good.substr(0, 30), good.substr(0, 5),
                              "pullcast-runs 2 something else\nmore\n" + good}) {
        write(file, there);
        RunStore store(file, other, true);
        EXPECT_TRUE(store.runs().empty());
        EXPECT_EQ(store.damaged_lines(), 0u);
        EXPECT_EQ(content(file), begun);
        store.append({1, {3.5}, {}});
        EXPECT_EQ(read_store(file).runs.size(), 1u);
    }
    for (const std::string there : {"notes of a day\n", "notes", "\n", "pull\n", "Pullcast-runs 1 a 1 1/1\n"}) {
        write(file, there);
        EXPECT_EQ(told([&] { RunStore(file, other, true); }), "day.runs: is no store of runs; it is left as it is");
        EXPECT_EQ(told([&] { RunStore(file, other); }), "day.runs: is no store of runs; it is left as it is");
        EXPECT_EQ(told([&] { write_store(file, other, {}); }), "day.runs: is no store of runs; it is left as it is");
        EXPECT_EQ(content(file), there);
    }
}

TEST_F(RunStoreFiles, AnotherVersionIsRefused) {
    const std::string there = "pullcast-runs 2 5eed0123 8 1/1 power bf64a1b7\n";
    write(file, there);
    EXPECT_EQ(told([&] { RunStore(file, head); }),
              "day.runs:1: is a store of version 2, and this program reads version 1; give another file");
    EXPECT_EQ(content(file), there);
}

TEST_F(RunStoreFiles, AFirstLineThatFitsItsChecksumAndSaysNothingIsRefused) {
    for (const std::string there :
         {"pullcast-runs 34cffb70", "pullcast-runs 1 80d350ca", "pullcast-runs 1 a 8 47047827",
          "pullcast-runs 1 a 8 1 01983a08", "pullcast-runs 1 a 8 1/1/1 9da9afa9", "pullcast-runs 1 a x 1/1 543d20c3",
          "pullcast-runs 1 a 8 0/1 0d0c12bd", "pullcast-runs 1 a 8 3/2 power 2dd99cd2",
          "pullcast-runs 1 a 8 1/1  power ef31c67b", "pullcast-runs 1 a 8 1/1 power power ee43dbe2"}) {
        write(file, there + "\n");
        const auto expected = "day.runs:1: is not the first line of a store: " + there.substr(0, there.rfind(' '));
        EXPECT_EQ(told([&] { RunStore(file, head); }), expected);
        EXPECT_EQ(content(file), there + "\n");
    }
}

TEST_F(RunStoreFiles, WhatCannotBeOpenedSaysWhy) {
    EXPECT_EQ(told([&] { RunStore(folder / "none/day.runs", head); }),
              "none/day.runs: cannot be opened: No such file or directory");
    EXPECT_EQ(told([&] { read_store(file); }), "day.runs: cannot be opened: No such file or directory");
    EXPECT_EQ(told([&] { read_store(folder); }), folder.string() + ": is no ordinary file");
    EXPECT_EQ(told([&] { RunStore("/dev/full", head); }), "/dev/full: is no ordinary file");
    EXPECT_EQ(told([&] { RunStore("/dev/full", head, true); }), "/dev/full: is no ordinary file");
    ASSERT_EQ(mkfifo((folder / "pipe").c_str(), 0600), 0);
    EXPECT_EQ(told([&] { read_store(folder / "pipe"); }), "pipe: is no ordinary file");
    write(file, "");
    EXPECT_EQ(told([&] { read_store(file); }), "day.runs: is empty; no run was begun in it");
    EXPECT_EQ(told([&] { write_store(folder / "none/day.runs", head, {}); }),
              "none/.day.runs.new-" + std::to_string(getpid()) + ": cannot be opened: No such file or directory");
}

TEST_F(RunStoreFiles, WhatNoLineCanHoldIsAnInvalidArgumentAndWritesNothing) {
    const auto refusal = [&](const StoreHead& h) {
        const auto text = told<std::invalid_argument>([&] { RunStore(file, h); });
        EXPECT_EQ(told<std::invalid_argument>([&] { write_store(file, h, {}); }), text);
        EXPECT_FALSE(fs::exists(file));
        return text;
    };
    EXPECT_EQ(refusal({"", 1, {}, {}}), "store of runs: the hash must be one word, not ''");
    EXPECT_EQ(refusal({"a b", 1, {}, {}}), "store of runs: the hash must be one word, not 'a b'");
    EXPECT_EQ(refusal({"a", 1, {0, 1}, {}}), "store of runs: there is no shard 0/1");
    EXPECT_EQ(refusal({"a", 1, {3, 2}, {}}), "store of runs: there is no shard 3/2");
    EXPECT_EQ(refusal({"a", 1, {}, {"b\nc"}}), "store of runs: a column must be one word, not 'b\nc'");
    EXPECT_EQ(refusal({"a", 1, {}, {""}}), "store of runs: a column must be one word, not ''");
    EXPECT_EQ(refusal({"a", 1, {}, {"b", "b"}}), "store of runs: column b stands there twice");

    const auto two = with_shard(2, 2);
    RunStore store(file, two);
    const auto begun = content(file);
    const auto refused = [&](const Result& run) {
        const auto text = told<std::invalid_argument>([&] { store.append(run); });
        EXPECT_EQ(told<std::invalid_argument>([&] { write_store(folder / "o.runs", two, {{run.index, run}}); }), text);
        EXPECT_EQ(content(file), begun);
        return text;
    };
    EXPECT_EQ(refused({9, {1, 2}, {}}), "store of runs: run 9 is beyond the last of 8");
    EXPECT_EQ(refused({2, {1, 2}, {}}), "store of runs: run 2 is not in shard 2/2");
    EXPECT_EQ(refused({1, {1}, {}}), "store of runs: run 1 has 1 values where 2 belong");
    EXPECT_EQ(refused({1, {1, 2}, "failed"}), "store of runs: run 1 has 2 values where 0 belong");
}

TEST_F(RunStoreFiles, WriteStoreGivesTheSameBytesHoweverTheRunsCameAbout) {
    write_store(file, head, eight);
    const auto bytes = content(file);
    EXPECT_EQ(bytes, text_of(folder / "in-order.runs"));
    std::mt19937 random(3);
    std::vector<std::size_t> order{0, 1, 2, 3, 4, 5, 6, 7};
    for (int k = 0; k < 20; ++k) {
        std::shuffle(order.begin(), order.end(), random);
        fs::remove(folder / "o.runs");
        {
            RunStore store(folder / "o.runs", head);
            for (const auto run : order) store.append(eight.at(run));
        }
        write_store(file, head, read_store(folder / "o.runs").runs);
        EXPECT_EQ(content(file), bytes);
    }
    EXPECT_EQ(std::distance(fs::directory_iterator(folder), {}), 3);  // nothing is left aside
}

}  // namespace run_store_tests

/// Shards of many runs as one: in any order, with every gap and conflict named.
#include "run_store_files.hpp"

namespace run_store_tests {

class MergedRuns : public RunStoreFiles {
protected:
    /// Files 1.runs, 2.runs, ... of as many shards, without some runs.
    std::vector<fs::path> shards(std::size_t of, const std::vector<std::size_t>& without = {}) const {
        auto runs = eight;
        for (const auto k : without) runs.erase(k);
        std::vector<fs::path> files;
        for (std::size_t n = 1; n <= of; ++n) {
            files.push_back(folder / fmt::format("{}.runs", n));
            fs::remove(files.back());
            fill(files.back(), with_shard(n, of), runs);
        }
        return files;
    }
};

TEST_F(MergedRuns, ShardsMakeTheWholeInAnyOrderOfFiles) {
    for (std::size_t of = 1; of <= 10; ++of) {  // with ten, two have no run
        auto files = shards(of);
        for (int k = 0; k < 2; ++k) {
            const auto all = merge_stores(files);
            EXPECT_EQ(all.head, head);
            EXPECT_EQ(all.runs, eight);
            EXPECT_EQ(all.damaged_lines, 0u);
            std::reverse(files.begin(), files.end());
        }
    }
}

TEST_F(MergedRuns, EqualRunsOfTwoFilesAreFineHoweverTheFilesAreCut) {
    auto files = shards(3);
    fill(file, head, {eight.begin(), std::next(eight.begin(), 4)});
    files.push_back(file);
    files.push_back(files.front());
    EXPECT_EQ(merge_stores(files).runs, eight);
}

TEST_F(MergedRuns, DamagedLinesAreCountedOverAllFiles) {
    auto files = shards(2);
    for (const auto& f : files) write(f, content(f) + "torn");
    write(files[0], content(files[0]) + "\nand broken\n");
    EXPECT_EQ(merge_stores(files).damaged_lines, 3u);
}

TEST_F(MergedRuns, GapsAreCountedByShard) {
    auto files = shards(3, {4, 7, 2});
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "runs that no file has: 3 of 8, the first is run 2\n"
              "  of shard 2/3 (2.runs): 2, the first is run 4\n"
              "  of shard 3/3 (3.runs): 1, the first is run 2\n"
              "  start those again; they go on where they stopped");
    files.erase(files.begin());
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "runs that no file has: 6 of 8, the first is run 0\n"
              "  of shard 1/3 (no file): 3, the first is run 0\n"
              "  of shard 2/3 (2.runs): 2, the first is run 4\n"
              "  of shard 3/3 (3.runs): 1, the first is run 2\n"
              "  start those again; they go on where they stopped");
    fill(file, with_shard(1, 2), {{0, eight.at(0)}});
    files.push_back(file);
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "runs that no file has: 5 of 8, the first is run 2\n"
              "  start those again; they go on where they stopped");
    EXPECT_EQ(told([&] { merge_stores({}); }), "no file to merge");
}

TEST_F(MergedRuns, ConflictsNameBothFilesAndBothLines) {
    auto files = shards(2);
    fill(file, with_shard(2, 4), {{5, {5, {}, "no solution"}}});
    files.push_back(file);
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "2.runs and day.runs tell run 5 differently:\n  5 ! !\n  5 ! no solution");
}

TEST_F(MergedRuns, StoresOfOtherRunsAreRefused) {
    auto files = shards(2);
    auto other = with_shard(2, 2);
    other.hash = "c0ffee", other.runs = 9, other.columns = {"rise", "power"};
    fs::remove(files[1]);
    fill(files[1], other, {});
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "1.runs and 2.runs do not belong together:\n"
              "  hash of what the runs depend on: 5eed0123 in 1.runs, c0ffee in 2.runs\n"
              "  number of runs: 8 in 1.runs, 9 in 2.runs\n"
              "  order of the columns: power rise in 1.runs, rise power in 2.runs");
    other = with_shard(2, 2), other.columns = {"power", "price"};
    fs::remove(files[1]);
    fill(files[1], other, {});
    EXPECT_EQ(told([&] { merge_stores(files); }),
              "1.runs and 2.runs do not belong together:\n"
              "  columns only in 1.runs: rise\n"
              "  columns only in 2.runs: price");
}

}  // namespace run_store_tests

/// What can happen to a file of runs: flipped bits, a torn end, a full disk, two processes, many threads.
#include <sys/resource.h>

#include <csignal>
#include <thread>

#include "run_store_files.hpp"

namespace run_store_tests {

TEST_F(RunStoreFiles, EverySingleFlippedBitIsFoundAndCostsNoOtherLineThanItsOwnAndTheNext) {
    const auto good = text_of(file);
    const auto first = good.find('\n') + 1;
    for (std::size_t k = first; k < good.size(); ++k)
        for (int bit = 0; bit < 8; ++bit) {
            auto bad = good;
            bad[k] = static_cast<char>(bad[k] ^ (1 << bit));
            write(file, bad);
            const auto found = read_store(file);
            const bool last_break = k + 1 == good.size();  // what follows the flipped break is a line of its own
            EXPECT_GE(found.damaged_lines, 1u) << "byte " << k << ", bit " << bit;
            EXPECT_LE(found.damaged_lines, 2u) << "byte " << k << ", bit " << bit;
            EXPECT_EQ(found.runs.size(), good[k] == '\n' && !last_break ? 6u : 7u) << "byte " << k << ", bit " << bit;
            EXPECT_EQ(wrong(found.runs, eight), 0u) << "byte " << k << ", bit " << bit;
        }
}

TEST_F(RunStoreFiles, EverySingleFlippedBitOfTheFirstLineIsRefusedAndNothingIsOverwritten) {
    const auto good = text_of(file);
    for (std::size_t k = 0; k < good.find('\n') + 1; ++k)
        for (int bit = 0; bit < 8; ++bit) {
            auto bad = good;
            bad[k] = static_cast<char>(bad[k] ^ (1 << bit));
            write(file, bad);
            EXPECT_THROW(RunStore(file, head), StoreError) << "byte " << k << ", bit " << bit;
            EXPECT_THROW(read_store(file), StoreError) << "byte " << k << ", bit " << bit;
            ASSERT_EQ(content(file), bad);
        }
}

TEST_F(RunStoreFiles, CutAtAnyByteItLosesTheTornLineOnlyAndGoesOn) {
    const auto good = text_of(file);
    for (std::size_t length = 0; length <= good.size(); ++length) {
        write(file, good.substr(0, length));
        const auto whole = std::count(good.begin(), good.begin() + static_cast<std::ptrdiff_t>(length), '\n');
        const bool ends_whole = length == 0 || good[length - 1] == '\n' || (whole > 0 && good[length] == '\n');
        const auto runs = whole == 0 ? 0 : whole - 1 + (good[length - 1] != '\n' && ends_whole);
        {
            RunStore store(file, head);
            ASSERT_EQ(store.runs().size(), static_cast<std::size_t>(runs)) << length;
            ASSERT_EQ(wrong(store.runs(), eight), 0u) << length;
            ASSERT_EQ(store.damaged_lines(), whole == 0 || ends_whole ? 0u : 1u) << length;
            for (const auto& [index, run] : eight) store.append(run);
            ASSERT_EQ(store.runs(), eight) << length;
        }
        const auto again = read_store(file);
        ASSERT_EQ(again.runs, eight) << length;
        ASSERT_EQ(again.damaged_lines, whole == 0 || ends_whole ? 0u : 1u) << length;
    }
}

TEST_F(RunStoreFiles, OpeningAloneLeavesATornFileAsItIs) {
    const auto torn = text_of(file).substr(0, content(file).size() - 5);
    write(file, torn);
    EXPECT_EQ(RunStore(file, head).damaged_lines(), 1u);
    EXPECT_EQ(content(file), torn);
}

TEST_F(RunStoreFiles, DamageInTheMiddleIsPassedOver) {
    const auto good = text_of(file);
    const auto third = good.find("\n2 ! ") + 1;
    write(file, good.substr(0, third) + std::string(20, '\0') + "\n\n" + good.substr(third));
    EXPECT_EQ(read_store(file).damaged_lines, 2u);
    EXPECT_EQ(read_store(file).runs, eight);
}

TEST_F(RunStoreFiles, AFileThatAnotherProcessWritesIsLockedUntilThatEnds) {
    const std::string busy = "day.runs: is being written by another process; wait for it, or give another file";
    {
        RunStore store(file, head);
        store.append(eight.at(0));
        const auto there = content(file);
        for (const bool anew : {false, true})
            EXPECT_EQ(in_child([&] { return told([&] { RunStore(file, head, anew); }) == busy ? 0 : 1; }), 0);
        EXPECT_EQ(in_child([&] { return told([&] { write_store(file, head, {}); }) == busy ? 0 : 1; }), 0);
        EXPECT_EQ(in_child([&] { return read_store(file).runs.size() == 1 ? 0 : 1; }), 0);
        EXPECT_EQ(content(file), there);
    }
    EXPECT_EQ(in_child([&] { return RunStore(file, head).runs().size() == 1 ? 0 : 1; }), 0);
    EXPECT_EQ(RunStore(file, head).runs().size(), 1u);
}

TEST_F(RunStoreFiles, ManyThreadsAppendWholeLinesAndEachRunOnce) {
    const StoreHead many{"h", 2000, {}, {"a", "b"}};
    Runs all;
    for (std::size_t k = 0; k < many.runs; ++k) all[k] = {k, {0.1 * static_cast<double>(k), nan}, {}};
    RunStore store(file, many);
    std::vector<std::jthread> threads;
    for (int t = 0; t < 4; ++t)
        threads.emplace_back([&] {
            for (const auto& [index, run] : all) store.append(run);
        });
    threads.clear();
    store.flush_to_disk();
    EXPECT_EQ(store.runs(), all);
    EXPECT_EQ(read_store(file).runs, all);
    EXPECT_EQ(read_store(file).damaged_lines, 0u);
    const auto text = content(file);
    EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 2001);
}

// A full disk, by a limit on the size of files: a write beyond it is cut short, and the next one fails.
TEST_F(RunStoreFiles, AFullDiskIsToldKeepsWhatIsThereAndAppendingGoesOnWhenThereIsRoom) {
    const auto good = text_of(file);
    const auto limit_to = [](std::size_t bytes) {
        signal(SIGXFSZ, SIG_IGN);
        rlimit limit;
        getrlimit(RLIMIT_FSIZE, &limit);
        limit.rlim_cur = bytes;
        setrlimit(RLIMIT_FSIZE, &limit);
    };
    const std::string full = "day.runs: cannot be written; what stands there in whole lines is kept: File too large";
    for (std::size_t size = good.find('\n') + 1; size < good.size(); ++size) {
        fs::remove(file);
        ASSERT_EQ(in_child([&] {
                      RunStore store(file, head);
                      limit_to(size);
                      std::size_t failures = 0;
                      for (const auto& [index, run] : eight) try {
                              store.append(run);
                          } catch (const StoreError& e) {
                              if (e.what() != folder.string() + "/" + full) return 1;
                              ++failures;
                          }
                      if (failures + store.runs().size() != 8 || failures == 0) return 2;
                      if (wrong(store.runs(), read_store(file).runs) > 0) return 3;
                      limit_to(good.size() * 4);
                      for (const auto& [index, run] : eight) store.append(run);
                      return store.runs() == eight ? 0 : 4;
                  }),
                  0)
            << size;
        ASSERT_EQ(read_store(file).runs, eight) << size;
        ASSERT_LE(read_store(file).damaged_lines, 1u) << size;
    }
}

TEST_F(RunStoreFiles, AFullDiskWhileTheFirstLineIsWrittenLeavesAnEmptyStore) {
    const auto length = text_of(folder / "other.runs").find('\n') + 1;
    for (std::size_t size = 0; size < length; ++size) {
        ASSERT_EQ(in_child([&] {
                      signal(SIGXFSZ, SIG_IGN);
                      const rlimit limit{size, size};
                      setrlimit(RLIMIT_FSIZE, &limit);
                      try {
                          RunStore store(file, head);
                      } catch (const StoreError&) {
                          return 0;
                      }
                      return 1;
                  }),
                  0);
        ASSERT_EQ(content(file).size(), size);
    }
    EXPECT_TRUE(RunStore(file, head).runs().empty());
    EXPECT_EQ(content(file).size(), length);
}

TEST_F(RunStoreFiles, AFullDiskLeavesTheOldFileOfWriteStore) {
    const auto good = text_of(file);
    auto fewer = eight;
    fewer.erase(7);
    EXPECT_EQ(in_child([&] {
                  signal(SIGXFSZ, SIG_IGN);
                  const rlimit limit{100, 100};
                  setrlimit(RLIMIT_FSIZE, &limit);
                  const auto text = told([&] { write_store(file, head, fewer); });
                  return text.ends_with("cannot be written; what stands there in whole lines is kept: File too large")
                             ? 0
                             : 1;
              }),
              0);
    EXPECT_EQ(content(file), good);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder), {}), 1);
}

}  // namespace run_store_tests

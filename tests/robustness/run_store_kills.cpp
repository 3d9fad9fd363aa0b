/// Processes that store runs are killed a hundred times, at random, and their files torn at random as by a loss of
/// power: no run that was stored and not torn is lost, none is altered, and the shards make the undisturbed file, byte
/// by byte.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <bit>
#include <chrono>
#include <csignal>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <pullcast/choose/run_store.hpp>
#include <random>
#include <sstream>
#include <thread>

namespace run_store_kills_tests {

using namespace pullcast::choose;
namespace fs = std::filesystem;

constexpr std::size_t runs = 2000, kills = 100, columns = 40;
constexpr std::size_t runs_a_life = runs / kills;  // so that nothing is complete before the last kill

StoreHead head(const Shard& shard = {}) {
    StoreHead h{"5eed", runs, shard, {}};
    for (std::size_t k = 0; k < columns; ++k)
        h.columns.push_back(fmt::format("c{}", k));  // lines of 900 bytes, some across pages
    return h;
}

/// Any bits that a double can have; every ninth run fails.
Run run_of(std::size_t index) {
    std::mt19937_64 random(index);
    if (index % 9 == 4) return {index, {}, fmt::format("no solution at {} s\nfor {:x}", index, random())};
    Run run{index, {}, {}};
    for (std::size_t k = 0; k < columns; ++k) run.values.push_back(std::bit_cast<double>(random()));
    return run;
}
const std::vector<Run>& computed() {
    static const auto all = [] {
        std::vector<Run> some;
        for (std::size_t run = 0; run < runs; ++run) some.push_back(run_of(run));
        return some;
    }();
    return all;
}
/// As a store gives it back.
Run stored(std::size_t index) {
    auto run = computed()[index];
    std::replace(run.failure.begin(), run.failure.end(), '\n', ' ');
    return run;
}

std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// What a child has told its parent, in memory that both see.
struct Told {
    std::size_t appended[runs_a_life];
    std::atomic<std::size_t> count;
    static_assert(std::atomic<std::size_t>::is_always_lock_free);
};

void append_missing(RunStore& store, const Shard& shard, std::size_t most, std::uint64_t seed, Told* told) {
    std::vector<std::size_t> missing;
    for (std::size_t run = 0; run < runs; ++run)
        if (shard.has(run) && !store.runs().contains(run)) missing.push_back(run);
    std::shuffle(missing.begin(), missing.end(), std::mt19937_64(seed));
    missing.resize(std::min(missing.size(), most));
    for (const auto run : missing) {
        store.append(computed()[run]);
        if (!told) continue;
        told->appended[told->count] = run;
        ++told->count;
    }
}

/// One life: goes on where the file stops, in an order of its own, then waits to be killed.
void live(const fs::path& file, const Shard& shard, std::uint64_t seed, Told& told) {
    RunStore store(file, head(shard));
    append_missing(store, shard, runs_a_life, seed, &told);
    while (true) pause();
}

class Killed : public testing::Test {
protected:
    void SetUp() override {
        folder = fs::temp_directory_path() / fmt::format("pullcast-kills-{}", getpid());
        fs::remove_all(folder);
        fs::create_directories(folder);
        void* shared = mmap(nullptr, sizeof(Told), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
        ASSERT_NE(shared, MAP_FAILED);
        told = new (shared) Told{};
    }
    void TearDown() override {
        if (told) munmap(told, sizeof(Told));
        fs::remove_all(folder);
    }

    fs::path file(const Shard& shard) const { return folder / fmt::format("{}.runs", shard.number); }

    /// Starts a life and ends it once so many runs are stored; for none, at some time while it starts.
    void kill_after(std::size_t count, const Shard& shard) {
        told->count = 0;
        const auto seed = random();
        const pid_t child = fork();
        if (child == 0) try {
                live(file(shard), shard, seed, *told);
            } catch (...) {
                _exit(1);
            }
        if (count == 0) std::this_thread::sleep_for(std::chrono::microseconds(seed % 1500));
        int status = 0;
        pid_t ended = 0;
        while (told->count < count && ended == 0) ended = waitpid(child, &status, WNOHANG);
        if (ended == 0) {
            kill(child, SIGKILL);
            waitpid(child, &status, 0);
        }
        ASSERT_TRUE(WIFSIGNALED(status)) << "the child ended by itself";
    }

    /// All that stands there is right, and so many of those runs that the child was told to be stored stand there.
    void check(const Shard& shard, std::size_t stored_at_least) const {
        if (content(file(shard)).find('\n') == std::string::npos) {
            ASSERT_EQ(stored_at_least, 0u);
            return;
        }
        const auto store = read_store(file(shard));
        for (const auto& [index, run] : store.runs) ASSERT_EQ(run, stored(index)) << index;
        for (std::size_t k = 0; k < stored_at_least; ++k) ASSERT_TRUE(store.runs.contains(told->appended[k])) << k;
    }

    /// Cuts up to two lines' length off the end.
    void tear(const Shard& shard) {
        const auto size = fs::file_size(file(shard));
        fs::resize_file(file(shard), size - std::min<std::uintmax_t>(size, 1 + random() % 1800));
    }

    std::string undisturbed() const {
        RunStore store(folder / "undisturbed.runs", head());
        for (std::size_t run = 0; run < runs; ++run) store.append(computed()[run]);
        return content(folder / "undisturbed.runs");
    }

    fs::path folder;
    Told* told = nullptr;
    std::mt19937_64 random{20};
};

TEST_F(Killed, AHundredTimesTheShardsStillMakeTheUndisturbedFile) {
    const auto expected = undisturbed();
    const std::vector<Shard> shards{{1, 2}, {2, 2}};
    for (std::size_t k = 0; k < kills; ++k) {
        const auto& shard = shards[k % 2];
        ASSERT_NO_FATAL_FAILURE(kill_after(random() % runs_a_life, shard)) << "kill " << k;
        if (!fs::exists(file(shard))) continue;  // killed before it was made
        ASSERT_NO_FATAL_FAILURE(check(shard, told->count)) << "kill " << k;
        if (random() % 2) continue;
        tear(shard);
        ASSERT_NO_FATAL_FAILURE(check(shard, 0)) << "torn after kill " << k;
    }
    EXPECT_THROW(merge_stores({file(shards[0]), file(shards[1])}), StoreError);  // something is left to do

    for (const auto& shard : shards) {
        RunStore store(file(shard), head(shard));
        append_missing(store, shard, runs, random(), nullptr);
    }
    const auto all = merge_stores({file(shards[1]), file(shards[0])});
    EXPECT_GT(all.damaged_lines, 10u);  // some 50 were torn
    write_store(folder / "merged.runs", all.head, all.runs);
    EXPECT_TRUE(content(folder / "merged.runs") == expected);
}

}  // namespace run_store_kills_tests

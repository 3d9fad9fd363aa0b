/// Files of runs for tests, in a folder of each test's own.
#pragma once
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cfloat>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <pullcast/choose/run_store.hpp>
#include <sstream>

namespace run_store_tests {

using namespace pullcast::choose;
namespace fs = std::filesystem;
using Result = Run;  // a fixture has a Run of its own
using Runs = std::map<std::size_t, Result>;

inline constexpr double inf = std::numeric_limits<double>::infinity(), nan = std::numeric_limits<double>::quiet_NaN();

/// A folder of its own for each test, and the names of files in messages without it.
class RunStoreFiles : public testing::Test {
protected:
    void SetUp() override {
        const auto* info = testing::UnitTest::GetInstance()->current_test_info();
        folder = fs::temp_directory_path() / fmt::format("pullcast-store-{}-{}", info->name(), getpid());
        fs::remove_all(folder);
        fs::create_directories(folder);
        file = folder / "day.runs";
    }
    void TearDown() override { fs::remove_all(folder); }

    template <class Error = StoreError, class Action> std::string told(Action action) const {
        try {
            action();
        } catch (const Error& e) {
            std::string text = e.what();
            const auto prefix = folder.string() + "/";
            for (auto at = text.find(prefix); at != text.npos; at = text.find(prefix)) text.erase(at, prefix.size());
            return text;
        }
        ADD_FAILURE() << "nothing was thrown";
        return "";
    }

    fs::path folder, file;
};

inline std::string content(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}
/// A new file each time: ext4 waits for the disk where a text that was cut to nothing is written again.
inline void write(const fs::path& path, const std::string& text) {
    fs::remove(path);
    std::ofstream(path, std::ios::binary) << text;
}

inline const StoreHead head{"5eed0123", 8, {}, {"power", "rise"}};
inline const Runs eight{{0, {0, {301.25, 0.1}, {}}},
                        {1, {1, {nan, -0.0}, {}}},
                        {2, {2, {}, "the belt slips  at 0.8 s "}},
                        {3, {3, {inf, -inf}, {}}},
                        {4, {4, {5e-324, DBL_MAX}, {}}},
                        {5, {5, {}, "!"}},
                        {6, {6, {-2.5e-310, 1 + DBL_EPSILON}, {}}},
                        {7, {7, {1e22, 1.0 / 3}, {}}}};

inline void fill(const fs::path& path, const StoreHead& h, const Runs& runs) {
    RunStore store(path, h);
    for (const auto& [index, run] : runs)
        if (h.shard.has(index)) store.append(run);
}
/// The file of eight runs.
inline std::string text_of(const fs::path& path) {
    fill(path, head, eight);
    return content(path);
}
inline StoreHead with_shard(std::size_t number, std::size_t of) {
    auto h = head;
    h.shard = {number, of};
    return h;
}
/// Runs of `some` that `all` tells otherwise or not at all.
inline std::size_t wrong(const Runs& some, const Runs& all) {
    return static_cast<std::size_t>(std::count_if(some.begin(), some.end(), [&](const auto& entry) {
        const auto there = all.find(entry.first);
        return there == all.end() || there->second != entry.second;
    }));
}

/// What a forked child ends with: what `work` returns, or 99 for an exception that it lets out.
template <class Work> int in_child(Work work) {
    const pid_t child = fork();
    if (child == 0) {
        try {
            _exit(work());
        } catch (...) {
            _exit(99);
        }
    }
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace run_store_tests

/// Independent pieces of work on several threads.
#pragma once
#include <algorithm>
#include <atomic>
#include <cstddef>
#include <thread>
#include <vector>

namespace pullcast {

/// Calls work(k) once for each k below `count`, on at most `threads` threads, this one among them. `work` must not
/// throw.
template <class Work> void in_parallel(std::size_t count, unsigned threads, const Work& work) {
    std::atomic<std::size_t> next = 0;
    const auto take = [&] {
        for (std::size_t k; (k = next++) < count;) work(k);
    };
    std::vector<std::jthread> pool;
    for (unsigned k = 1; k < std::min<std::size_t>(threads, count); ++k) pool.emplace_back(take);
    take();
}

}  // namespace pullcast

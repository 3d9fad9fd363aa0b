#include <algorithm>
#include <csignal>
#include <thread>

#include "options.hpp"

namespace pullcast {
namespace {

std::atomic<bool> interrupt = false;
static_assert(std::atomic<bool>::is_always_lock_free);

}  // namespace

const std::atomic<bool>& listen_to_signals() {
    struct sigaction action {};
    action.sa_handler = [](int) { interrupt = true; };
    action.sa_flags = SA_RESETHAND | SA_RESTART;
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
    return interrupt;
}

unsigned thread_count(const Options& o) {
    return o.threads ? o.threads : std::max(1u, std::thread::hardware_concurrency());
}

}  // namespace pullcast

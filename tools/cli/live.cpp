#include <fmt/format.h>
#include <malloc.h>
#include <spdlog/spdlog.h>

#include <pullcast/study/words.hpp>

#include "live_server.hpp"
#include "live_session.hpp"
#include "options.hpp"

namespace pullcast {

namespace {

/// Each run takes and gives back the same few megabytes: kept, they need not be cleared by the system every time.
void keep_memory() {
    mallopt(M_MMAP_THRESHOLD, 256 << 20);
    mallopt(M_TRIM_THRESHOLD, 256 << 20);
}

}  // namespace

int live_command(const Options& o) {
    keep_memory();
    const auto registry = load_plugins(o);
    const auto& interrupt = listen_to_signals();
    LiveSession session(registry, o.file,
                        {.shown_first = o.units, .threads = thread_count(o), .interrupt = &interrupt});
    LiveServer server(session, {.port = o.port});
    server.start();
    fmt::print("{}\n", server.url());
    std::fflush(stdout);
    spdlog::info("{}: open this address in a browser on this machine; Ctrl-C ends it", title_of(session.study()));
    server.wait(interrupt);
    return Exit::ok;
}

}  // namespace pullcast

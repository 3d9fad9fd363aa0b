#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <pullcast/study/words.hpp>

#include "live_server.hpp"
#include "live_session.hpp"
#include "options.hpp"

namespace pullcast {

int live_command(const Options& o) {
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

#include <fmt/format.h>
#include <malloc.h>
#include <spdlog/spdlog.h>

#include <pullcast/study/words.hpp>

#include "live_course.hpp"
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

int serve(LivePage& first, const std::vector<LivePage*>& others, const std::string& title, int port,
          const std::atomic<bool>& interrupt) {
    LiveServer server(first, {.port = port}, others);
    server.start();
    fmt::print("{}\n", server.url());
    std::fflush(stdout);
    spdlog::info("{}: open this address in a browser on this machine; Ctrl-C ends it", title);
    server.wait(interrupt);
    return Exit::ok;
}

}  // namespace

int live_command(const Options& o) {
    keep_memory();
    const auto registry = load_plugins(o);
    const auto& interrupt = listen_to_signals();
    const LiveOptions options{.shown_first = o.units, .threads = thread_count(o)};
    if (std::filesystem::is_directory(o.file)) {
        LiveCourse course(registry, o.file, options);
        return serve(course, course.lessons(), course.title(), o.port, interrupt);
    }
    auto study = read_study(o.file, registry);
    const auto title = title_of(study);
    if (study.session) {
        LiveDay day(registry, std::move(study), options);
        return serve(day, {}, title, o.port, interrupt);
    }
    LiveSession session(registry, std::move(study), options, &interrupt);
    return serve(session, {}, title, o.port, interrupt);
}

}  // namespace pullcast

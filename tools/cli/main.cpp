// One place turns every failure into a message and an exit code.
#include <fmt/format.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <pullcast/choose/run_store.hpp>
#include <pullcast/measure/least_squares.hpp>
#include <pullcast/scenario/diagnostics.hpp>
#include <pullcast/study/results.hpp>
#include <system_error>

#include "live_server.hpp"
#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

int told(const char* what, Exit code) {
    fmt::print(stderr, "error: {}\n", what);
    return code;
}

int guarded(int argc, char** argv) {
    try {
        const int code = run_command_line(argc, argv);
        if (std::fflush(stdout) != 0) throw std::system_error(errno, std::generic_category());
        return code;
    } catch (const UsageError& e) {
        fmt::print(stderr, "error: {}\nsee 'pullcast --help'\n", e.what());
        return Exit::usage;
    } catch (const ScenarioError& e) {
        fmt::print(stderr, "{}", render(e.diagnostics(), coloured()));
        return Exit::bad_input;
    } catch (const PluginError& e) {
        return told(e.what(), Exit::bad_input);
    } catch (const SolveError& e) {
        return told(e.what(), Exit::solver);
    } catch (const measure::FitError& e) {
        return told(e.what(), Exit::fit);
    } catch (const OutputError& e) {
        return told(e.what(), Exit::io);
    } catch (const choose::StoreError& e) {
        return told(e.what(), Exit::io);
    } catch (const ServerError& e) {
        return told(e.what(), Exit::io);
    } catch (const Interrupted&) {
        return told("interrupted; nothing was written", Exit::interrupted);
    } catch (const std::filesystem::filesystem_error& e) {
        return told(fmt::format("{}: {}", e.path1().string(), e.code().message()).c_str(), Exit::io);
    } catch (const std::system_error& e) {  // of writing to stdout
        return told(fmt::format("standard output: {}", std::strerror(e.code().value())).c_str(), Exit::io);
    } catch (const std::bad_alloc&) {
        return told("not enough memory; a longer output_step or a shorter pull needs less", Exit::solver);
    } catch (const std::exception& e) {
        fmt::print(stderr, "internal error: {}\n", e.what());
        return Exit::internal;
    }
}

}  // namespace
}  // namespace pullcast

int main(int argc, char** argv) {
    auto log = spdlog::stderr_logger_st("pullcast");
    log->set_pattern("%v");
    spdlog::set_default_logger(log);
    return pullcast::guarded(argc, argv);
}

/// What the command line says, and the exit codes it can end with.
#pragma once
#include <atomic>
#include <filesystem>
#include <optional>
#include <pullcast/choose/run_store.hpp>
#include <pullcast/network/registry.hpp>
#include <pullcast/scenario/units.hpp>
#include <string>
#include <vector>

namespace pullcast {

enum Exit : int { ok = 0, internal = 1, usage = 2, bad_input = 3, solver = 4, fit = 5, io = 7, interrupted = 130 };

struct Options {
    std::filesystem::path file, out, mapping, write_mapping, page;
    std::string name, against, format = "dot";
    std::vector<std::string> figures;                // keys
    std::vector<std::string> without;                // channels that are left aside
    std::vector<std::vector<std::string>> together;  // titles of causes that count as one
    std::vector<std::string> stores;                 // runs of shards, to be put together
    std::optional<choose::Shard> shard;
    UnitSystem units = UnitSystem::metric;
    std::vector<std::string> plugins;
    unsigned threads = 0;  // 0: as many as the machine has
    int port = 0;          // 0: any that is free
    bool force = false, json = false, all = false, anew = false, estimate = false;
};

/// The command line cannot be understood: one line, and a hint to add to it.
struct UsageError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Runs the command that the command line names, and returns its exit code. Throws UsageError.
int run_command_line(int argc, char** argv);

/// The built-in plugins and those that the user named. Throws PluginError.
Registry load_plugins(const Options& options);

// The commands. Results go to stdout, messages to stderr; the return value is the exit code.
int run_command(const Options& options);
int explain_command(const Options& options);
int check_command(const Options& options);
int models_command(const Options& options);
int parts_command(const Options& options);
int draw_command(const Options& options);
int live_command(const Options& options);
int inspect_command(const Options& options);
int choose_command(const Options& options);
int session_command(const Options& options);
int answers_command(const Options& options);
int fit_command(const Options& options);
int match_command(const Options& options);

/// Simulations at a time: what was asked for, else one a core.
unsigned thread_count(const Options& options);

/// Set by the first Ctrl-C or termination after this call; a second one ends the process.
const std::atomic<bool>& listen_to_signals();

}  // namespace pullcast

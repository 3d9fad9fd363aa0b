/// Many runs of a sweep in one process, one after the other, and how its memory grows: by hand, it takes long.
///
///     pullcast_soak STUDY PLUGINS RUNS
///
/// Takes the study's plan from its start again as often as needed. Prints the resident memory (VmRSS) after one per
/// cent of the runs, after each tenth and at the end.
#include <fmt/format.h>

#include <chrono>
#include <fstream>
#include <pullcast/choose/sweep_run.hpp>
#include <string>

namespace {

using namespace pullcast;
using namespace pullcast::choose;

long resident_kib() {
    std::ifstream status("/proc/self/status");
    for (std::string word; status >> word;)
        if (long kib = 0; word == "VmRSS:" && status >> kib) return kib;
    return 0;
}

void soak(const char* file, const char* plugins, std::size_t runs) {
    Registry registry;
    registry.load_folder(plugins);
    const auto study = read_study(file, registry);
    Diagnostics d;
    const auto choices = read_sweep_choices(study, d);
    d.throw_if_failed();
    const auto plan = plan_sweep(study, choices, registry);
    Runner runner(study, choices, registry);
    std::size_t failed = 0;
    const auto start = std::chrono::steady_clock::now();
    const auto tell = [&](std::size_t done) {
        const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        fmt::print("{:>9} runs {:>9.1f} s {:>9} KiB\n", done, seconds, resident_kib());
        std::fflush(stdout);
    };
    tell(0);
    for (std::size_t k = 0; k < runs; ++k) {
        if (k == runs / 100 || (k > 0 && k % (runs / 10) == 0)) tell(k);
        const auto run = k % plan.runs();
        const auto made = runner.run(run, plan.combination_of(run), plan.condition_of(run));
        if (!made.failure.empty() && failed++ == 0) fmt::print("run {} failed: {}\n", run, made.failure);
    }
    tell(runs);
    fmt::print("{} failed\n", failed);
}

}  // namespace

int main(int argc, char** argv) {
    try {
        if (argc == 4) return soak(argv[1], argv[2], std::stoul(argv[3])), 0;
        fmt::print(stderr, "usage: pullcast_soak STUDY PLUGINS RUNS\n");
        return 2;
    } catch (const std::exception& e) {
        fmt::print(stderr, "{}\n", e.what());
        return 1;
    }
}

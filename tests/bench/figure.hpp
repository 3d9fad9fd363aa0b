/// A measured figure beside its target, and the clock that all benchmarks share: processor time, so that other work on
/// the machine disturbs a figure little. Only the program from start to finish and the live page's answers are taken by
/// the wall clock.
#pragma once
#include <algorithm>
#include <chrono>
#include <ctime>
#include <limits>
#include <string>
#include <utility>

namespace pullcast::bench {

enum class Bound { at_most, at_least };

/// Prints "figure  value  target  met" and returns whether it was met. `note` says what it was measured on.
bool report(const std::string& figure, double value, const char* unit, Bound bound, double target,
            const std::string& note);
/// For a figure that this machine cannot measure.
void skip(const std::string& figure, const std::string& why);

inline double processor_time() {
    timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}
inline double wall_time() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// Seconds of one call: the shortest mean of several rounds, a round being at least `round` seconds long.
template <class F> double seconds_of(F&& call, int rounds, double round, double (*now)() = processor_time) {
    double best = std::numeric_limits<double>::infinity();
    for (int k = 0; k < rounds; ++k) {
        const double begin = now();
        long calls = 0;
        double spent;
        do call(), ++calls;
        while ((spent = now() - begin) < round);
        best = std::min(best, spent / static_cast<double>(calls));
    }
    return best;
}
/// Seconds of a call of each of two, round by round in turn, so that a disturbance meets both.
template <class A, class B> std::pair<double, double> compare(A&& a, B&& b, int rounds = 15, double round = 0.02) {
    std::pair<double, double> best{1e9, 1e9};
    for (int k = 0; k < rounds; ++k) {
        best.first = std::min(best.first, seconds_of(a, 1, round));
        best.second = std::min(best.second, seconds_of(b, 1, round));
    }
    return best;
}

/// Each returns how many of its targets were missed.
int reference_figures();
int demo_figures();
int live_figures();
int log_figures();
int sweep_figures();

}  // namespace pullcast::bench

// pullcast_bench: measures, and prints each figure with its target. With --check the exit code is 1 if one is missed.
#include <fmt/format.h>

#include <cstring>

#include "figure.hpp"

namespace pullcast::bench {

bool report(const std::string& figure, double value, const char* unit, Bound bound, double target,
            const std::string& note) {
    const bool met = bound == Bound::at_most ? value <= target : value >= target;
    const char* sign = bound == Bound::at_most ? "<=" : ">=";
    const char* verdict = met ? "met" : "NOT MET";
    fmt::print("{:<58} {:>10.4g} {:<3} {} {:<8g} {:<8} {}\n", figure, value, unit, sign, target, verdict, note);
    std::fflush(stdout);
    return met;
}

void skip(const std::string& figure, const std::string& why) { fmt::print("{:<58} skipped: {}\n", figure, why); }

}  // namespace pullcast::bench

int main(int count, char** arguments) {
    const bool check = count > 1 && std::strcmp(arguments[1], "--check") == 0;
    const int missed = pullcast::bench::reference_figures() + pullcast::bench::demo_figures() +
                       pullcast::bench::live_figures() + pullcast::bench::log_figures() +
                       pullcast::bench::sweep_figures();
    fmt::print("{} targets missed\n", missed);
    return check && missed > 0;
}

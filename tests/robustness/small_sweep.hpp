/// A small sweep on the command line: 20 runs, which can be stopped after any of them.
#pragma once
#include <fmt/format.h>

#include "command_line.hpp"

namespace command_line {

/// Five combinations with the car as it stands, each in four conditions.
inline const std::string tables = R"(title = "Which pulley?"
rig = "scenarios/rigs/hillclimb-v6.toml"
[procedure]
tolerance = 1e-4
output_step = "100 ms"
[variant.car]
[knob.pulley]
title = "pulley"
sets = "drive.parts.pulley"
choices = ["pulley-92", "pulley-86", "pulley-80", "pulley-77", "pulley-74"]
[buy.pulley]
[knob.weather]
sets = "ambient.parts.weather"
choices = ["pass-cool", "coast-spring", "valley-hot", "coast-heat"]
[meet.weather]
)";
inline const std::string power = "[wish.power]\nfigure = \"crank_power\"\nprefer = \"more\"\n";
inline const std::string budget = "[wish.budget]\nfigure = \"price\"\nat_most = \"250 EUR\"\nprefer = \"less\"\n";
inline constexpr std::size_t runs = 20;

class Chooses : public CommandLine {
protected:
    Chooses() { write("s.toml", tables + power + budget); }

    std::vector<std::string> args(std::vector<std::string> further = {}, const std::string& out = "c") const {
        std::vector<std::string> all{"choose", "s.toml", "--out", out, "--threads", "1"};
        all.insert(all.end(), further.begin(), further.end());
        return all;
    }
    Ended choose(const std::vector<std::string>& further = {}, const std::string& out = "c") const {
        return run(args(further, out));
    }
    /// Whole lines of a file of runs, but for its first.
    std::size_t kept(const std::string& file) const {
        const auto text = read(file);
        const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
        return lines ? lines - 1 : 0;
    }
    /// Starts the command, and sends the signal once that many runs are kept.
    Ended signalled(int signal, std::size_t when, const std::string& file,
                    const std::vector<std::string>& further = {}) const {
        using namespace std::chrono_literals;
        const pid_t child = start(args(further));
        for (int k = 0; k < 60000 && kept(file) < when; ++k) std::this_thread::sleep_for(1ms);
        kill(child, signal);
        return wait(child);
    }
    /// What one undisturbed run writes.
    std::string undisturbed() const {
        const auto ended = choose({}, "undisturbed");
        EXPECT_EQ(ended.code, 0) << ended.err;
        return read("undisturbed/choice.json");
    }
};

}  // namespace command_line

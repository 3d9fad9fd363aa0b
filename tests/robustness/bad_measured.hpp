/// The same of studies with measured pulls, and of their logs.
#pragma once
#include <cstdlib>
#include <pullcast/measure/measured_study.hpp>
#include <robustness/bad_inputs.hpp>

namespace bad {

/// A log with so many climbs from 1000 to 5000 rpm at full throttle.
inline std::string climbs(int count) {
    std::string text = "time [s],engine speed [rpm],throttle [%],intake temperature [degC]\n";
    for (int k = 0; k < 100 * count; ++k) {
        const int t = k % 100;  // tenths of a second: idle, climb, coast
        const bool open = t >= 20 && t <= 60;
        fmt::format_to(std::back_inserter(text), "{}.{},{},{},{}\n", k / 10, k % 10,
                       open     ? 1000 + 100 * (t - 20)
                       : t < 20 ? 1000
                                : std::max(1000, 5000 - 200 * (t - 60)),
                       open ? 100 : 0, 30 + k % 7);
    }
    return text;
}

inline const char* const mapping_head = R"([time]
column = "time [s]"
[channel.speed]
column = "engine speed [rpm]"
)";

/// A study of two variants, whose further text begins in line 4, and logs of one, two and no pulls and of other faults.
inline Files pulls(const std::string& text) {
    auto files = study("[variant.a]\n[variant.b]\n" + text);
    files.insert({{"log.csv", climbs(1)},
                  {"two.csv", climbs(2)},
                  {"idle.csv", climbs(1).substr(0, 400)},
                  {"timeless.csv", "engine speed [rpm],throttle [%]\n1000,0\n1100,100\n1200,100\n"},
                  {"speedless.csv", "time [s],throttle [%]\n0,0\n1,100\n2,100\n"},
                  {"other.toml", std::string(mapping_head) + "[channel.lambda]\ncolumn = \"AFR\"\n"},
                  {"humid.toml", std::string(mapping_head) + "[channel.humidity]\nvalue = \"60 %\"\n"}});
    return files;
}

/// A study with a pull of either variant, whose further text begins in line 10.
inline Files measured(const std::string& text) {
    return pulls(
        "[pull.one]\nvariant = \"a\"\nlog = \"../log.csv\"\n[pull.two]\nvariant = \"b\"\nlog = \"../log.csv\"\n" +
        text);
}

/// The errors of one input.
inline std::string told_measured(const Input& in) {
    write(in);
    try {
        pullcast::measure::read_measured_study("studies/s.toml", fake::registry());
    } catch (const pullcast::ScenarioError& e) {
        return e.what();
    }
    return "";
}

}  // namespace bad

/// A study of the fake rig with knobs of every kind, for the tests of sweeps.
#pragma once
#include <fake_rig.hpp>
#include <pullcast/choose/sweep_plan.hpp>

namespace sweep {

using fake::Files;

/// The good rig, its weather and its core as parts.
inline std::string rig() {
    std::string text = fake::good_rig;
    const std::string ambient = "model = \"gas.ambient\"\n";
    return text.replace(text.find(ambient), ambient.size(), ambient + "parts = { weather = \"weather-1\" }\n");
}

inline std::string part(const std::string& name, const std::string& price, const std::string& values) {
    return "name = \"" + name + "\"\n" + (price.empty() ? "" : "price = \"" + price + "\"\n") + "[set]\n" + values;
}

/// Four cores, one without a price, and eight weathers.
inline Files parts() {
    Files all{{"rigs/demo.toml", rig()},
              {"parts/core-a.toml", fake::core_a},  // 420 EUR
              {"parts/core-b.toml", part("Core B", "650 EUR", "width = \"350 mm\"\n")},
              {"parts/core-c.toml", part("Core C", "", "width = \"400 mm\"\n")},
              {"parts/core-d.toml", part("Core D", "900.50 EUR", "width = \"450 mm\"\n")}};
    for (int k = 1; k <= 8; ++k)
        all["parts/weather-" + std::to_string(k) + ".toml"] =
            part("Weather " + std::to_string(k), "", "temperature = \"" + std::to_string(10 + 3 * k) + " degC\"\n");
    return all;
}

inline const char* const knobs = R"([knob.core]
sets = "cooler.parts.core"
choices = ["core-a", "core-b", "core-c", "core-d"]
[knob.rows]
sets = "cooler.rows"
from = 1
to = 4
[knob.fin]
sets = "cooler.fin"
choices = ["louver", "offset strip"]
[knob.weather]
sets = "ambient.parts.weather"
choices = ["weather-1", "weather-2", "weather-3", "weather-4", "weather-5", "weather-6", "weather-7", "weather-8"]
[knob.charge]
sets = "common.start_temperature"
from = "5 degC"
to = "40 degC"
[knob.pressure]
sets = "ambient.pressure"
from = "900 hPa"
to = "1020 hPa"
[knob.glycol]
sets = "common.glycol"
from = 0.1
to = 0.6
)";
/// The least that a sweep needs.
inline const char* const power = "[wish.power]\nfigure = \"crank_power\"\nprefer = \"more\"\n";

/// In a folder with the rig and its parts.
class Sweep : public fake::Folder {
protected:
    using SweepChoices = pullcast::choose::SweepChoices;

    /// Reads a study of variant "a" (as the rig is) whose further tables these are.
    const SweepChoices& load(const std::string& tables, const Files& further = {}) {
        auto files = parts();
        for (const auto& [path, text] : further) files[path] = text;
        files["studies/s.toml"] =
            "title = \"made\"\nrig = \"../rigs/demo.toml\"\n[variant.a]\n" + std::string(knobs) + tables;
        write(files);
        study = read("studies/s.toml");
        pullcast::Diagnostics d;
        choices = pullcast::choose::read_sweep_choices(study, d);
        d.throw_if_failed();
        return choices;
    }
    pullcast::choose::SweepPlan plan(const std::string& tables, const Files& further = {}) {
        load(tables, further);
        return pullcast::choose::plan_sweep(study, choices, fake::registry());
    }
    /// What is told when a plan is made.
    std::string refused(const std::string& tables, const Files& further = {}) {
        try {
            plan(tables, further);
        } catch (const pullcast::ScenarioError& e) {
            return e.what();
        }
        return "";
    }

    pullcast::Study study;
    SweepChoices choices;
};

}  // namespace sweep

/// The same of studies with a sweep.
#pragma once
#include <pullcast/choose/sweep_plan.hpp>
#include <robustness/bad_inputs.hpp>

namespace bad {

/// A study with knobs of every kind, whose further text begins in line 17.
inline Files sweep_knobs(const std::string& text) {
    auto files = study(R"([variant.a]
[knob.core]
sets = "cooler.parts.core"
choices = ["core-a", "core-b"]
[knob.rows]
sets = "cooler.rows"
from = 1
to = 4
[knob.fin]
sets = "cooler.fin"
choices = ["louver", "offset strip"]
[knob.ambient]
sets = "ambient.temperature"
from = "5 degC"
to = "40 degC"
)" + text);
    files["parts/core-b.toml"] = "name = \"Core B\"\nprice = \"650 EUR\"\n[set]\nwidth = \"400 mm\"\n";
    return files;
}

/// One with something to choose and something that is preferred, whose further text begins in line 21.
inline Files sweep(const std::string& text) {
    return sweep_knobs("[wish.power]\nfigure = \"crank_power\"\nprefer = \"more\"\n[buy.core]\n" + text);
}

/// The errors of one input.
inline std::string told_of_sweep(const Input& in) {
    write(in);
    try {
        const auto study = fake::Folder::read("studies/s.toml");
        pullcast::Diagnostics d;
        const auto choices = pullcast::choose::read_sweep_choices(study, d);
        d.throw_if_failed();
        pullcast::choose::plan_sweep(study, choices, fake::registry());
    } catch (const pullcast::ScenarioError& e) {
        return e.what();
    }
    return "";
}

}  // namespace bad

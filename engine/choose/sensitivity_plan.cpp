#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/chosen.hpp>
#include <pullcast/scenario/content_hash.hpp>

namespace pullcast::choose {

SweepPlan sensitivity_plan(const SweepChoices& choices, const SweepPlan& plan, std::size_t combination) {
    SweepPlan out;
    out.currency = plan.currency;
    out.combinations = {plan.combinations[combination]};
    auto rows = sensitivity_design(choices.sensitivity, choices.meet.size(), choices.seed);
    const double share = 1 / static_cast<double>(rows.size());
    for (auto& row : rows) {
        for (std::size_t j = 0; j < row.size(); ++j) row[j] = choices.meet[j].quantile(row[j]);
        out.conditions.push_back({std::move(row), share});
    }
    std::string text = plan.hash;
    for (const auto& c : out.conditions) text += fmt::format(" {}", fmt::join(c.values, ","));
    text += fmt::format(" of {}", fmt::join(plan.combinations[combination].values, ","));
    out.hash = content_hash({std::make_shared<const SourceFile>(SourceFile{"sensitivity", text})});
    return out;
}

std::string no_sensitivity(const SweepChoices& choices, const Ranking& ranking) {
    if (choices.sensitivity == 0) return "not asked for";
    if (choices.meet.size() < 2) return "fewer than two things are met: nothing to compare";
    if (ranking.shortlist.empty()) return "nothing is on the shortlist";
    return "";
}

SensitivityOf sensitivity_of(const SweepChoices& choices, std::size_t combination,
                             const std::map<std::size_t, Run>& runs) {
    SensitivityOf out{combination, runs.size(), {}, {}};
    for (const auto& [index, run] : runs)
        if (!run.failure.empty()) {
            out.left_out = "a run failed: " + run.failure;
            return out;
        }
    for (std::size_t c = 0; c < choices.columns.size(); ++c) {
        std::vector<double> values;
        for (const auto& [index, run] : runs) values.push_back(run.values[c]);
        const bool there = std::none_of(values.begin(), values.end(), [](double v) { return std::isnan(v); });
        out.shares.push_back(there ? sensitivities(values, choices.meet.size(), choices.seed)
                                   : std::vector<Sensitivity>());
    }
    return out;
}

}  // namespace pullcast::choose

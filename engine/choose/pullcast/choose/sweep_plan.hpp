/// The runs of a sweep: every combination of what is bought, under everything that is met.
#pragma once
#include <pullcast/choose/sweep_choices.hpp>

namespace pullcast::choose {

/// Values of the bought axes, in their order. The first combination of a plan has none: the car as it stands.
struct Combination {
    std::vector<double> values;
    double price = 0;  // of the parts that the car does not have yet; NaN where one has no price
};

/// Values of the met axes. All combinations meet the same, so that they differ by what was bought alone.
struct Condition {
    std::vector<double> values;
    double share = 1;  // how often; all together 1
};

struct SweepPlan {
    std::vector<Combination> combinations;
    std::vector<Condition> conditions;
    std::string currency;  // "" where nothing has a price
    std::string hash;      // of all that the results of the runs depend on

    std::size_t runs() const { return combinations.size() * conditions.size(); }
    const Combination& combination_of(std::size_t run) const { return combinations[run / conditions.size()]; }
    const Condition& condition_of(std::size_t run) const { return conditions[run % conditions.size()]; }
};

/// Throws ScenarioError where prices are in several currencies, and where a wish is about what is never met.
SweepPlan plan_sweep(const Study& study, const SweepChoices& choices, const Registry& registry);

/// Where an axis stands in a variant; NaN where it has none of its values.
double start_of(const Axis& axis, const std::string& variant);

/// The settings of these values, as paths with what would stand in a file.
Table settings_of(const std::vector<Axis>& axes, const std::vector<double>& values);

}  // namespace pullcast::choose

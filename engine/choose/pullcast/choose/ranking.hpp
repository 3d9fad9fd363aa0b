/// Which combinations grant the wishes, which of those nothing beats, and what more money buys.
#pragma once
#include <pullcast/choose/run_store.hpp>
#include <pullcast/choose/sweep_plan.hpp>

namespace pullcast::choose {

/// How a combination stands to a wish, over the conditions that the wish is about.
struct Granted {
    double mean = 0;     // by how often each condition is met
    double sure = 0;     // what holds with the wish's confidence; the worst of all where it has none
    double share = 0;    // how much of what is met keeps the limit; 1 without one
    bool holds = false;  // enough of it
    /// What is compared where the wish prefers something: what is sure if it names a confidence, else the mean.
    double compared(const Wish& wish) const { return wish.confidence ? sure : mean; }
};

struct Standing {
    std::size_t combination = 0;
    std::vector<Granted> wishes;  // in their order
    std::size_t failed = 0;       // runs that failed: such a combination is not ranked
    std::string failure;          // the first one's words
    bool eligible = false;        // every wish holds
};

/// From one combination to a dearer one.
struct MoneyStep {
    std::size_t from, to;
    double price, gain;      // of the first preferred wish; a gain is positive where it is the better
    double lowest, highest;  // gain in the condition where it is least and most
    double better;           // share of what is met where it gains at all
};

struct Ranking {
    std::vector<Standing> standings;     // in the order of the plan's combinations
    /// Eligible, and beaten by no other in all that is preferred; the best first. What differs by less than figures are
    /// shown to is alike: integration errors make no choice.
    std::vector<std::size_t> front;
    std::vector<std::size_t> shortlist;  // its first ones
    std::vector<MoneyStep> money;        // from the cheapest eligible one upwards, only where more money brings more
    /// Of that way upwards what goes furthest: from where the last step ended, nothing dearer gains more for each unit
    /// of money. Its steps are longer, fewer, and gain less and less.
    std::vector<MoneyStep> furthest;
    std::vector<std::size_t> refused;        // by wish: combinations that it alone, or with others, keeps out
    std::vector<std::size_t> refused_alone;  // by wish: combinations that grant all but this one
    std::size_t eligible = 0, failed = 0;
    std::size_t lead = 0;  // the wish by which things are ordered
};

/// The plan's first combination, the car as it stands, is judged but never on the shortlist unless it is on the front.
/// Throws std::invalid_argument where runs are missing.
Ranking rank(const SweepChoices& choices, const SweepPlan& plan, const std::map<std::size_t, Run>& runs);

/// What holds with a confidence: the value that a share `confidence` of the weight reaches or betters.
double sure_value(std::vector<std::pair<double, double>> values_and_weights, double confidence, Better better);

}  // namespace pullcast::choose

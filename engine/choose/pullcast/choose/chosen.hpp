/// What a sweep says, once its runs are there: as text, JSON and CSV.
#pragma once
#include <pullcast/choose/ranking.hpp>
#include <pullcast/choose/sensitivity.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast::choose {

inline constexpr const char* chosen_schema = "pullcast.choice";
inline constexpr int chosen_schema_version = 1;

/// Which of what is met moves the results of one combination most.
struct SensitivityOf {
    std::size_t combination = 0, runs = 0;
    std::vector<std::vector<Sensitivity>> shares;  // by column, by met axis; empty for a column that is not there
    std::string left_out;                          // why nothing was computed; empty where it was
};

struct Chosen {
    const Study* study = nullptr;
    SweepChoices choices;
    SweepPlan plan;
    std::map<std::size_t, Run> runs;
    Ranking ranking;
    SensitivityOf sensitivity;
};

/// The runs that say which of what is met matters for a combination: a plan of its own.
SweepPlan sensitivity_plan(const SweepChoices& choices, const SweepPlan& plan, std::size_t combination);
/// Why no such plan is made; "" where it makes sense.
std::string no_sensitivity(const SweepChoices& choices, const Ranking& ranking);
SensitivityOf sensitivity_of(const SweepChoices& choices, std::size_t combination,
                             const std::map<std::size_t, Run>& runs);

/// What a combination has that the car as it stands has not: "74 mm pulley + deep core"; "as it stands".
std::string name_of(const Chosen& c, std::size_t combination, UnitSystem system = UnitSystem::metric);
/// By axis, what one combination has that another has not, without prices; "" where they are alike.
std::vector<std::string> instead_of(const Chosen& c, std::size_t combination, std::size_t other, UnitSystem system);
/// What a combination has on an axis; that of the car as it stands is NaN where it is none of the axis' choices.
double value_of(const Chosen& c, std::size_t combination, std::size_t axis);
/// The value of an axis as people say it: a part's name with its price, "31 degC".
std::string value_text(const Axis& axis, double value, UnitSystem system);
/// The same without a price.
std::string part_text(const Chosen& c, const Axis& axis, double value, UnitSystem system);
/// How a thing is met: "as 8 choices, each as often", "about 32.0 degC, with a standard deviation of 5.0 K".
std::string met_text(const Axis& axis, UnitSystem system);
/// "at least 2.0 deg in 90 % of what is met".
std::string wish_text(const Chosen& c, const Wish& wish, UnitSystem system);
/// What is done: how many combinations of what, under how many conditions.
std::string headline(const Chosen& c);
/// What to buy first, and what the next money buys: one or two sentences.
std::string answer(const Chosen& c, UnitSystem system);
/// What is said of shortlist, refusals and money, each one sentence.
std::vector<std::string> findings(const Chosen& c, UnitSystem system);
/// "+390 EUR for 6.2 hp more (4.1 to 7.0; in all of what is met)".
std::string money_text(const Chosen& c, const MoneyStep& step, UnitSystem system);
/// A wish's number: "12.3 kW", "390 EUR".
std::string number_text(const Chosen& c, const Wish& wish, double value, UnitSystem system);

/// "390 EUR"; what stands for it where a part has no price or nothing has one.
std::string price_text(const Chosen& c, double price);
/// A difference of two of a wish's numbers: "6.2 kW".
std::string difference_text(const Chosen& c, const Wish& wish, double value, UnitSystem system);
/// Which of what is met matters most for the first choice, one sentence a figure; why it is not known.
std::vector<std::string> sensitivity_words(const Chosen& c, UnitSystem system);
/// How the shares of variance are read.
std::vector<std::string> how_to_read_shares();
/// What the numbers of a sweep are, and are not.
std::vector<std::string> how_to_read_choices(const Chosen& c);

std::string chosen_text(const Chosen& c, UnitSystem system, std::size_t width);
std::string chosen_json(const Chosen& c);
/// One row a combination: what is bought, price, and each wish's mean, sure value and share. In the system's units.
std::string combinations_csv(const Chosen& c, UnitSystem system);
/// One row a run.
std::string runs_csv(const Chosen& c, UnitSystem system);

}  // namespace pullcast::choose

/// The curves of a day: those of a pull, and what only a day of idling and soaking makes worth looking at.
#pragma once
#include <pullcast/study/curves.hpp>

namespace pullcast {

const std::vector<PullCurve>& day_curves();
const std::vector<Chart>& day_charts();

/// Keys of those that are drawn over the day, and for pull over pull, before the reader chooses.
const std::vector<const char*>& first_over_the_day();
const std::vector<const char*>& first_over_the_pulls();

/// Report points that a line may be drawn through: it is then nowhere off by more than half of what a curve's decimals
/// show in metric units. `columns` hold a curve each, all of the same length, in the order of `curves`; empty ones are
/// not looked at. The first and the last point are among them.
std::vector<std::size_t> points_to_draw(const std::vector<double>& time, std::span<const PullCurve> curves,
                                        const std::vector<std::vector<double>>& columns);

}  // namespace pullcast

/// Shapley values: a fair split of what a coalition of players brings about among its players. Each gets the mean, over
/// all orders in which they can join, of what its joining changes.
/// Shapley, L. S.: A value for n-person games, in: Contributions to the Theory of Games II, Princeton 1953.
#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

namespace pullcast {

/// A set of players: bit i stands for player i.
using Coalition = std::uint32_t;

inline constexpr std::size_t most_players = 12;

/// What a game gives one player.
struct Share {
    double value;  // Shapley's
    double first;  // what it changes when it joins nobody
    double last;   // what it changes when it joins all others
};

/// `worth[c]` is what coalition c brings about, for all 2^players coalitions. The shares' values add up to the worth of
/// all less that of nobody, but for rounding. Throws std::invalid_argument for more than most_players, or another
/// number of coalitions.
std::vector<Share> shapley(std::size_t players, const std::vector<double>& worth);

}  // namespace pullcast

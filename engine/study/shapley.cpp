#include <bit>
#include <pullcast/study/shapley.hpp>
#include <stdexcept>

namespace pullcast {
namespace {

/// Share of the orders of n players in which exactly a given set of s comes before a given player:
/// s! (n - 1 - s)! / n!, which is one over n times the number of sets of that size.
std::vector<double> weights(std::size_t n) {
    std::vector<double> all;
    double sets = 1;  // of s out of the n - 1 others: a whole number, exact
    for (std::size_t s = 0; s < n; ++s) {
        all.push_back(1 / (static_cast<double>(n) * sets));
        sets = sets * static_cast<double>(n - 1 - s) / static_cast<double>(s + 1);
    }
    return all;
}

}  // namespace

std::vector<Share> shapley(std::size_t players, const std::vector<double>& worth) {
    if (players > most_players) throw std::invalid_argument("too many players for exact Shapley values");
    if (worth.size() != std::size_t{1} << players) throw std::invalid_argument("a game has 2^players coalitions");
    const auto weight = weights(players);
    std::vector<Share> shares;
    for (std::size_t i = 0; i < players; ++i) {
        const Coalition me = Coalition{1} << i, all = static_cast<Coalition>(worth.size() - 1);
        Share share{0, worth[me] - worth[0], worth[all] - worth[all & ~me]};
        for (Coalition others = 0; others <= all; ++others)
            if (!(others & me)) share.value += weight[std::popcount(others)] * (worth[others | me] - worth[others]);
        shares.push_back(share);
    }
    return shares;
}

}  // namespace pullcast

// Shapley values against published examples and the axioms that define them.
#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <pullcast/study/shapley.hpp>
#include <random>
#include <stdexcept>

namespace shapley_tests {

using namespace pullcast;

/// A game of so many players by its worth of a coalition.
template <class Worth> std::vector<double> game(std::size_t players, const Worth& worth) {
    std::vector<double> all;
    for (Coalition c = 0; c < Coalition{1} << players; ++c) all.push_back(worth(c));
    return all;
}

std::vector<double> random_game(std::size_t players, unsigned seed) {
    std::mt19937 numbers(seed);
    std::uniform_real_distribution<double> any(-1, 1);
    return game(players, [&](Coalition) { return any(numbers); });
}

double sum(const std::vector<Share>& shares) {
    double all = 0;
    for (const auto& s : shares) all += s.value;
    return all;
}

// The glove game as in the article "Shapley value" of the English Wikipedia: two players have a right-hand glove each,
// a third has a left-hand one, a pair is worth 1: 1/6, 1/6, 4/6.
TEST(Shapley, GloveGame) {
    const auto shares =
        shapley(3, game(3, [](Coalition c) { return std::min(std::popcount(c & 0b011u), std::popcount(c & 0b100u)); }));
    ASSERT_EQ(shares.size(), 3u);
    EXPECT_NEAR(shares[0].value, 1.0 / 6, 1e-15);
    EXPECT_NEAR(shares[1].value, 1.0 / 6, 1e-15);
    EXPECT_NEAR(shares[2].value, 4.0 / 6, 1e-15);
    EXPECT_EQ(shares[0].first, 0);  // one right glove is no pair
    EXPECT_EQ(shares[0].last, 0);   // a second right glove adds none
    EXPECT_EQ(shares[2].first, 0);
    EXPECT_EQ(shares[2].last, 1);
}

// The airport game (Littlechild and Owen, Management Science 20, 1973; formula from memory): a runway costs what its
// largest user needs; each further length is shared evenly by those who need it.
TEST(Shapley, AirportGame) {
    const std::vector<double> needs = {1, 2, 4, 4, 7, 11, 12, 19, 20, 31};
    const auto n = needs.size();
    const auto shares = shapley(n, game(n, [&](Coalition c) { return c == 0 ? 0 : needs[std::bit_width(c) - 1]; }));
    double expected = 0;
    for (std::size_t k = 0; k < n; ++k) {
        expected += (needs[k] - (k == 0 ? 0 : needs[k - 1])) / static_cast<double>(n - k);
        EXPECT_NEAR(shares[k].value, expected, 1e-13) << k;
    }
}

TEST(Shapley, SharesAddUpToTheWorthOfAllLessThatOfNobody) {
    for (std::size_t players = 1; players <= most_players; ++players) {
        const auto worth = random_game(players, static_cast<unsigned>(players));
        EXPECT_NEAR(sum(shapley(players, worth)), worth.back() - worth.front(), 1e-12) << players;
    }
}

TEST(Shapley, PlayerWhoChangesNothingGetsNothing) {
    const auto others = random_game(5, 7);
    const auto shares = shapley(6, game(6, [&](Coalition c) { return others[c & 0b11111]; }));
    EXPECT_EQ(shares[5].value, 0);
    const auto alone = shapley(5, others);
    for (std::size_t k = 0; k < 5; ++k) EXPECT_NEAR(shares[k].value, alone[k].value, 1e-15);
}

TEST(Shapley, PlayersWhoDoTheSameGetTheSame) {
    const auto by_count = random_game(3, 11);  // worth by how many of players 0 .. 2, and by player 3
    const auto shares =
        shapley(4, game(4, [&](Coalition c) { return by_count[std::popcount(c & 0b111u) + (c & 0b1000 ? 4 : 0)]; }));
    EXPECT_NEAR(shares[0].value, shares[1].value, 1e-15);
    EXPECT_NEAR(shares[0].value, shares[2].value, 1e-15);
    EXPECT_GT(std::fabs(shares[0].value - shares[3].value), 1e-3);
}

TEST(Shapley, SumOfTwoGamesGivesTheSumOfTheirShares) {
    const auto a = random_game(7, 3), b = random_game(7, 4);
    auto both = a;
    for (std::size_t k = 0; k < both.size(); ++k) both[k] += b[k];
    const auto of_a = shapley(7, a), of_b = shapley(7, b), of_both = shapley(7, both);
    for (std::size_t k = 0; k < 7; ++k) EXPECT_NEAR(of_both[k].value, of_a[k].value + of_b[k].value, 1e-14);
}

TEST(Shapley, GameWithoutPlayersHasNoShares) { EXPECT_TRUE(shapley(0, {3}).empty()); }

TEST(Shapley, WrongNumbersAreRefused) {
    EXPECT_THROW(shapley(3, std::vector<double>(7)), std::invalid_argument);
    EXPECT_THROW(shapley(most_players + 1, std::vector<double>(std::size_t{2} << most_players)), std::invalid_argument);
}

}  // namespace shapley_tests

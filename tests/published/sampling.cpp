/// Points in a unit cube against published sequences, SciPy and closed forms.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <pullcast/choose/sampling.hpp>
#include <random>
#include <set>
#include <stdexcept>
#include <string>

namespace sampling_tests {

using pullcast::choose::centred_discrepancy;
using pullcast::choose::latin_hypercube;
using pullcast::choose::Points;
using pullcast::choose::sobol_points;

std::uint64_t leading_bits(double x) { return static_cast<std::uint64_t>(std::ldexp(x, 52)); }

/// What Sobol points were before the shift: the sequence starts at the origin, so its first point is the shift.
Points unshifted(const Points& points) {
    Points before = points;
    for (auto& point : before)
        for (std::size_t j = 0; j < point.size(); ++j)
            point[j] = std::ldexp(static_cast<double>(leading_bits(point[j]) ^ leading_bits(points[0][j])), -52);
    return before;
}

/// Independent points, of the standard's generator and not the library's.
Points random_points(std::size_t count, std::size_t dimensions, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    Points points(count, std::vector<double>(dimensions));
    for (auto& point : points)
        for (double& x : point) x = std::ldexp(static_cast<double>(random() >> 12) + 0.5, -52);
    return points;
}

/// How many different slices of `count` a coordinate's points are in.
std::size_t slices_met(const Points& points, std::size_t coordinate, std::size_t count) {
    std::vector<bool> met(count);
    for (const auto& point : points)
        met.at(static_cast<std::size_t>(point[coordinate] * static_cast<double>(count))) = true;
    return static_cast<std::size_t>(std::count(met.begin(), met.end(), true));
}

std::string refusal(auto call) {
    try {
        call();
    } catch (const std::invalid_argument& error) {
        return error.what();
    }
    return "not refused";
}

// Joe and Kuo's own program, `sobol 10 3 new-joe-kuo-6.21201` (output from memory; SciPy 1.10.1 gives the same:
// scipy.stats.qmc.Sobol(d=3, scramble=False).random(10)). Exact in binary.
TEST(SobolPoints, AreTheFirstOfThePublishedSequenceButForTheirShift) {
    const Points published = {{0, 0, 0},
                              {0.5, 0.5, 0.5},
                              {0.75, 0.25, 0.25},
                              {0.25, 0.75, 0.75},
                              {0.375, 0.375, 0.625},
                              {0.875, 0.875, 0.125},
                              {0.625, 0.125, 0.875},
                              {0.125, 0.625, 0.375},
                              {0.1875, 0.3125, 0.9375},
                              {0.6875, 0.8125, 0.4375}};
    EXPECT_EQ(unshifted(sobol_points(10, 3, 1)), published);
    EXPECT_EQ(unshifted(sobol_points(10, 3, 2)), published);
}

// SciPy 1.10.1: p = scipy.stats.qmc.Sobol(d=64, scramble=False).random(2**14); p[k, j]; and of all of them
// x = (p * 2**14).astype(numpy.int64)
// (numpy.arange(1, 2**14 + 1)[:, None] * numpy.arange(1, 65)[None, :] * x).sum()
TEST(SobolPoints, AreThoseOfSciPyInSixtyFourCoordinates) {
    const Points points = unshifted(sobol_points(1 << 14, 64, 3));
    EXPECT_EQ(points[7][9], 0.875);
    EXPECT_EQ(points[7][63], 0.375);
    EXPECT_EQ(points[100][9], 0.6953125);
    EXPECT_EQ(points[100][32], 0.2578125);
    EXPECT_EQ(points[1023][32], 0.4521484375);
    EXPECT_EQ(points[16383][63], 0.65045166015625);
    std::uint64_t weighted = 0;
    for (std::size_t k = 0; k < points.size(); ++k)
        for (std::size_t j = 0; j < 64; ++j)
            weighted += (k + 1) * (j + 1) * static_cast<std::uint64_t>(std::ldexp(points[k][j], 14));
    EXPECT_EQ(weighted, 2287119602941952u);
}

// The generator is the C++ standard's mt19937_64 ([rand.predef]), so that every machine has the same shifts.
TEST(SobolPoints, AreShiftedByTheBitsOfTheSeed) {
    for (std::uint64_t seed : {0u, 1u, 5489u}) {
        std::mt19937_64 random(seed);
        const Points first = sobol_points(1, 64, seed);
        for (double x : first[0])  // and never 0: the middle of what the leading 52 bits leave open
            EXPECT_EQ(std::ldexp(x, 52), static_cast<double>(random() >> 12) + 0.5) << seed;
    }
}

TEST(SobolPoints, AShiftReachesTheWholeCoordinate) {
    std::vector<int> quarters(4);
    for (std::uint64_t seed = 0; seed < 400; ++seed)
        ++quarters[static_cast<std::size_t>(4 * sobol_points(1, 2, seed)[0][1])];
    for (int met : quarters) EXPECT_NEAR(met, 100, 35);  // four standard deviations of a binomial count
}

// Sobol (1967): two coordinates are a (0, m, 2)-net in base 2, which a digital shift leaves one.
TEST(SobolPoints, PutOnePointInEachElementaryRectangle) {
    constexpr int m = 8;
    const Points points = sobol_points(1 << m, 2, 11);
    for (int wide = 0; wide <= m; ++wide) {
        std::set<std::pair<int, int>> met;
        for (const auto& point : points)
            met.insert(
                {static_cast<int>(std::ldexp(point[0], wide)), static_cast<int>(std::ldexp(point[1], m - wide))});
        EXPECT_EQ(met.size(), points.size()) << wide;
    }
}

TEST(SobolPoints, AreInsideTheCubeAndDoNotDependOnLaterCoordinates) {
    const Points many = sobol_points(4096, 64, 4), few = sobol_points(4096, 5, 4);
    for (std::size_t k = 0; k < many.size(); ++k) {
        const auto [low, high] = std::minmax_element(many[k].begin(), many[k].end());
        EXPECT_TRUE(*low > 0 && *high < 1) << k;
        EXPECT_TRUE(std::equal(few[k].begin(), few[k].end(), many[k].begin())) << k;
    }
    for (std::size_t j = 0; j < 64; ++j) EXPECT_EQ(slices_met(many, j, 4096), 4096u) << j;
}

// McKay, Beckman and Conover (1979): every slice of every coordinate is met once.
TEST(LatinHypercube, HasOnePointInEachSliceOfEachCoordinate) {
    for (std::size_t count : {1u, 2u, 3u, 10u, 97u, 1000u}) {
        const Points points = latin_hypercube(count, 6, count);
        ASSERT_EQ(points.size(), count);
        for (std::size_t j = 0; j < 6; ++j) EXPECT_EQ(slices_met(points, j, count), count) << count << " " << j;
    }
}

TEST(LatinHypercube, StaysInsideTheCubeWithAsManySlicesAsItTakes) {
    const Points points = latin_hypercube(1 << 20, 1, 5);
    EXPECT_EQ(slices_met(points, 0, 1 << 20), std::size_t{1} << 20);
    const auto [low, high] = std::minmax_element(points.begin(), points.end());
    EXPECT_TRUE((*low)[0] > 0 && (*high)[0] < 1);
}

TEST(LatinHypercube, PairsSlicesAtRandomAndDifferentlyForEachSeedAndCoordinate) {
    constexpr std::size_t count = 50;
    std::set<std::vector<int>> orders;
    std::vector<int> first_slice(5);
    for (std::uint64_t seed = 0; seed < 400; ++seed) {
        const Points points = latin_hypercube(count, 2, seed);
        for (std::size_t j = 0; j < 2; ++j) {
            std::vector<int> order;
            for (const auto& point : points) order.push_back(static_cast<int>(point[j] * count));
            orders.insert(order);
        }
        ++first_slice[static_cast<std::size_t>(points[0][1] * 5)];
        EXPECT_EQ(points, latin_hypercube(count, 2, seed));
    }
    EXPECT_EQ(orders.size(), 800u);
    for (int met : first_slice) EXPECT_NEAR(met, 80, 32);  // four standard deviations of a binomial count
}

TEST(LatinHypercube, MeetsEveryOrderOfThreeSlicesEquallyOften) {
    std::map<std::vector<int>, int> orders;
    for (std::uint64_t seed = 0; seed < 600; ++seed) {
        const Points points = latin_hypercube(3, 2, seed);
        ++orders[{static_cast<int>(3 * points[0][1]), static_cast<int>(3 * points[1][1])}];
    }
    EXPECT_EQ(orders.size(), 6u);
    for (const auto& [order, met] : orders) EXPECT_NEAR(met, 100, 37);  // four standard deviations of a binomial count
}

TEST(LatinHypercube, PlacesAPointAnywhereInItsSlice) {
    constexpr std::size_t count = 1000;
    std::vector<int> quarters(4);
    for (const auto& point : latin_hypercube(count, 1, 8)) {
        const double place = point[0] * count;
        ++quarters[static_cast<std::size_t>(4 * (place - std::floor(place)))];
    }
    for (int met : quarters) EXPECT_NEAR(met, 250, 55);  // four standard deviations of a binomial count
}

// Recorded with Boost 1.74 on x86-64, g++ 12: a machine that finds other points cannot go on with another's runs.
TEST(LatinHypercube, IsTheSameOnThisMachineAsWhereItWasRecorded) {
    const Points recorded = {{0.4729782941576559, 0.6889362586953212},
                             {0.03531789078260772, 0.3990471951838117},
                             {0.5137732896546368, 0.09936136359465308},
                             {0.9581307451298926, 0.8271321791398805}};
    EXPECT_EQ(latin_hypercube(4, 2, 7), recorded);
}

// Hickernell (1998), equation of the centred discrepancy, by hand. One coordinate, n midpoints of equal slices:
// 1/(12 n^2); one point at the origin: 13/12 - 2 (1 + 1/4 - 1/8) + (1 + 1/4 + 1/4) = 1/3; one point in the middle of a
// square: (13/12)^2 - 2 + 1 = 25/144.
TEST(CentredDiscrepancy, AgreesWithCasesByHand) {
    for (int n : {1, 2, 5, 100}) {
        Points midpoints;
        for (int k = 0; k < n; ++k) midpoints.push_back({(k + 0.5) / n});
        EXPECT_NEAR(centred_discrepancy(midpoints), std::sqrt(1.0 / 12) / n, 1e-9) << n;
    }
    EXPECT_NEAR(centred_discrepancy({{0.0}}), std::sqrt(1.0 / 3), 1e-15);
    EXPECT_NEAR(centred_discrepancy({{0.5, 0.5}}), 5.0 / 12, 1e-15);
}

// SciPy 1.10.1, whose function gives the square:
// scipy.stats.qmc.discrepancy([[0.1, 0.7], [0.4, 0.2], [0.9, 0.6]], method='CD')
// q = [[(k*k % 17 + .5)/17, (k*5 % 17 + .5)/17, (k*k*k % 17 + .25)/17, (k*7 % 13)/13] for k in range(12)]
// scipy.stats.qmc.discrepancy(q, method='CD')
// scipy.stats.qmc.discrepancy(scipy.stats.qmc.Sobol(d=3, scramble=False).random(16), method='CD')
TEST(CentredDiscrepancy, IsTheRootOfSciPys) {
    EXPECT_NEAR(centred_discrepancy({{0.1, 0.7}, {0.4, 0.2}, {0.9, 0.6}}), std::sqrt(0.044905555555555532), 1e-14);
    Points points;
    for (int k = 0; k < 12; ++k)
        points.push_back(
            {(k * k % 17 + 0.5) / 17, (k * 5 % 17 + 0.5) / 17, (k * k * k % 17 + 0.25) / 17, (k * 7 % 13) / 13.0});
    EXPECT_NEAR(centred_discrepancy(points), std::sqrt(0.049469397993413988), 1e-14);
    EXPECT_NEAR(centred_discrepancy(unshifted(sobol_points(16, 3, 1))), std::sqrt(0.0078734156710127401), 1e-14);
}

TEST(CentredDiscrepancy, IsSmallestForSobolThenLatinHypercubesThenRandomPoints) {
    for (std::size_t dimensions : {2u, 5u, 10u})
        for (std::uint64_t seed = 1; seed <= 10; ++seed) {
            const double sobol = centred_discrepancy(sobol_points(256, dimensions, seed));
            const double latin = centred_discrepancy(latin_hypercube(256, dimensions, seed));
            EXPECT_LT(sobol, latin) << dimensions << " " << seed;
            EXPECT_LT(latin, centred_discrepancy(random_points(256, dimensions, seed))) << dimensions << " " << seed;
        }
}

TEST(Sampling, RefusesWhatItCannotDoWithTheNumberAndItsLimit) {
    EXPECT_EQ(refusal([] { sobol_points(0, 3, 1); }), "number of points = 0 must be at least 1");
    EXPECT_EQ(refusal([] { sobol_points(8, 65, 1); }),
              "number of coordinates of a Sobol sequence = 65 must be 1 to 64");
    EXPECT_EQ(refusal([] { sobol_points(8, 0, 1); }), "number of coordinates of a Sobol sequence = 0 must be 1 to 64");
    EXPECT_EQ(refusal([] { latin_hypercube((1 << 20) + 1, 1, 1); }),
              "number of points of a Latin hypercube = 1048577 must be 1 to 1048576");
    EXPECT_EQ(refusal([] { latin_hypercube(0, 1, 1); }),
              "number of points of a Latin hypercube = 0 must be 1 to 1048576");
    EXPECT_EQ(refusal([] { latin_hypercube(8, 0, 1); }), "number of coordinates = 0 must be at least 1");
    EXPECT_EQ(refusal([] { centred_discrepancy({}); }), "number of points = 0 must be at least 1");
    EXPECT_EQ(refusal([] { centred_discrepancy({{}}); }), "number of coordinates = 0 must be at least 1");
    EXPECT_EQ(refusal([] { centred_discrepancy({{0.5, 0.5}, {0.5}}); }), "point 1 has 1 coordinates, the first has 2");
    EXPECT_EQ(refusal([] { centred_discrepancy({{0.5}, {1.5}}); }), "point 1 has a coordinate 1.5 outside 0 to 1");
    EXPECT_EQ(refusal([] { centred_discrepancy({{std::nan("")}}); }), "point 0 has a coordinate nan outside 0 to 1");
}

}  // namespace sampling_tests

// What is said of unknowns that measurements tell badly, and what the errors of instruments do to it: closed forms of
// problems with two or three columns.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/measure/least_squares.hpp>

#include "linear_block.hpp"

namespace identifiability_tests {

using namespace linear_block;

constexpr Prior calibration{0, 1};
Unknown instrument(const char* name) { return {name, 0, -10, 10, calibration, true}; }
Unknown expected(const char* name, double deviation) { return {name, 0, -10, 10, Prior{0, deviation}}; }

/// Two columns of unit length whose product is c: their unknowns correlate by -c.
std::vector<std::vector<double>> columns(double c) { return {{1, c}, {0, std::sqrt(1 - c * c)}}; }

// y = a + s e four times, accuracy 0.5, e = 0 +- 1: the mean of y is known to 0.5 / 2, and a is off by s e as well.
TEST(Instrument, ItsErrorWidensWhatItImitatesAndIsNotSpokenOf) {
    const double s = 0.7;
    const Block b = linear({{1, s}, {1, s}, {1, s}, {1, s}}, {3, 3, 3, 3}, 0.5);
    const auto r = least_squares({{"a", 0}, instrument("error")}, {b});
    EXPECT_NEAR(r.estimates[0].deviation, std::hypot(0.25, s), 1e-9);
    EXPECT_NEAR(r.estimates[1].deviation, 1, 1e-9);
    EXPECT_NEAR(r.correlation(0, 1), -s / std::hypot(0.25, s), 1e-9);
    EXPECT_TRUE(r.warnings.empty()) << all(r.warnings);
    auto asked = instrument("error");
    asked.instrument = false;
    expect_says(least_squares({{"a", 0}, asked}, {b}),
                "a and error cannot be told apart by what was measured; what is assumed beforehand of error decides");
}

// The prior of an instrument makes what it imitates known by measurement; that of another unknown does not.
TEST(Instrument, ItsPriorCountsAsMeasured) {
    const auto r = least_squares({expected("a", 5), instrument("error")}, {linear({{1, 0.7}}, {3}, 0.1)});
    EXPECT_TRUE(r.warnings.empty()) << all(r.warnings);
    const auto wide = least_squares({expected("a", 0.1), instrument("error")}, {linear({{1, 0.7}}, {3}, 0.1)});
    expect_says(wide, "the measurements say next to nothing of a: its value is what was assumed");
}

TEST(Leaning, HasTheKnownCorrelation) {
    const auto lean = [](double c) {
        return least_squares({{"a", 0}, {"b", 0}}, {linear(columns(c), {1, 2})}).leaning;
    };
    ASSERT_EQ(lean(0.9).size(), 1u);
    EXPECT_EQ(lean(0.9)[0].a, 0u);
    EXPECT_EQ(lean(0.9)[0].b, 1u);
    EXPECT_NEAR(lean(0.9)[0].correlation, -0.9, 1e-9);
    EXPECT_NEAR(lean(-0.81).at(0).correlation, 0.81, 1e-9);
    EXPECT_TRUE(lean(0.79).empty());
}

// Priors take no part: with them the two would correlate by -0.9 / 2, (J^T J + 1)^-1 being (2, 0.9; 0.9, 2)^-1.
TEST(Leaning, IsJudgedWithoutPriors) {
    const auto r = least_squares({expected("a", 1), expected("b", 1)}, {linear(columns(0.9), {1, 2})});
    EXPECT_NEAR(r.correlation(0, 1), -0.45, 1e-9);
    ASSERT_EQ(r.leaning.size(), 1u);
    EXPECT_NEAR(r.leaning[0].correlation, -0.9, 1e-9);
}

// An error that both share makes a and b go together, cov = 1 + 9 (1 1; 1 1); were it known, they would not.
TEST(Leaning, TakesInstrumentsAsKnownAndUnknownsByTheirPlace) {
    const auto r = least_squares({instrument("error"), {"a", 0}, {"b", 0}}, {linear({{3, 1, 0}, {3, 0, 1}}, {1, 2})});
    EXPECT_NEAR(r.correlation(1, 2), 0.9, 1e-9);
    EXPECT_TRUE(r.leaning.empty());
    // "held" ends at its bound and has no column any more.
    const double c = 0.9, d = std::sqrt(1 - c * c);
    const auto held = least_squares({instrument("error"), {"held", 0, -1, 1}, {"a", 0}, {"b", 0}},
                                    {linear({{0.1, 0, 1, c}, {0.1, 0, 0, d}, {0, 1, 0, 0}}, {1, 2, 50})});
    ASSERT_TRUE(held.estimates[1].at_bound);
    ASSERT_EQ(held.leaning.size(), 1u);
    EXPECT_EQ(held.leaning[0].a, 2u);
    EXPECT_EQ(held.leaning[0].b, 3u);
}

// Product 0.99, accuracy 0.001: each is known to 0.001 / sqrt(1 - 0.99^2) = 0.0071.
TEST(LeftOpen, PairsKnownTwiceAsWellAsBeforeAreNotTold) {
    const auto says = [](const Unknown& a, const Unknown& b) {
        return all(least_squares({a, b}, {linear(columns(0.99), {0, 0}, 0.001)}).warnings);
    };
    EXPECT_EQ(says(expected("a", 0.0150), expected("b", 0.0150)), "");
    EXPECT_EQ(
        says(expected("a", 0.0150), expected("b", 0.0135)),
        "a and b can hardly be told apart by what was measured (correlation -0.990); what is assumed beforehand of "
        "a, b decides\n");
    EXPECT_EQ(
        says(expected("a", 0.0150), {"b", 0}),
        "a and b can hardly be told apart by what was measured (correlation -0.990); what is assumed beforehand of "
        "a decides\n");
}

TEST(LeftOpen, UnknownsThatNothingWasSaidOfAreToldTogether) {
    const auto r = least_squares({expected("a", 1), expected("b", 1), {"c", 0}},
                                 {linear({{0.01, 0, 1}, {0, 0.01, 1}, {0, 0, 1}}, {1, 1, 1})});
    EXPECT_EQ(all(r.warnings), "the measurements say next to nothing of a and b: their values are what was assumed\n");
}

// Where accuracies allow for neighbours that go together, nothing is said of them; else it is.
TEST(LeastSquaresOptions, NeighboursAllowedForAreNotWarnedOf) {
    std::vector<std::vector<double>> ones(400, {1});
    std::vector<double> y(ones.size());
    for (std::size_t k = 0; k < y.size(); ++k) y[k] = std::sin(0.1 * static_cast<double>(k));
    LeastSquaresOptions o;
    expect_says(least_squares({{"a", 0}}, {linear(ones, y)}, o), "what the fit leaves is no noise");
    o.neighbours_allowed_for = true;
    EXPECT_TRUE(least_squares({{"a", 0}}, {linear(ones, y)}, o).warnings.empty());
}

}  // namespace identifiability_tests

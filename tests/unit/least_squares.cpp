// Least squares on problems whose answers are known in closed form.
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <stdexcept>

#include "linear_block.hpp"

namespace least_squares_tests {

using namespace linear_block;

// A straight line through (0, 1), (1, 3), (2, 4), (3, 6) with accuracy 0.5: values and covariance 0.25 (X^T X)^-1 by
// hand; X^T X = (4, 6; 6, 14).
TEST(LeastSquares, ALineHasItsKnownCovariance) {
    const auto r =
        least_squares({{"offset", 0}, {"slope", 0}}, {linear({{1, 0}, {1, 1}, {1, 2}, {1, 3}}, {1, 3, 4, 6}, 0.5)});
    EXPECT_TRUE(r.converged) << r.stopped;
    EXPECT_NEAR(r.estimates[0].value, 1.1, 1e-6);
    EXPECT_NEAR(r.estimates[1].value, 1.6, 1e-6);
    EXPECT_NEAR(r.covariance[0], 0.25 * 0.7, 1e-9);
    EXPECT_NEAR(r.covariance[1], 0.25 * -0.3, 1e-9);
    EXPECT_NEAR(r.covariance[3], 0.25 * 0.2, 1e-9);
    EXPECT_NEAR(r.estimates[1].deviation, std::sqrt(0.05), 1e-9);
    EXPECT_NEAR(r.correlation(0, 1), -0.3 / std::sqrt(0.14), 1e-9);
    EXPECT_NEAR(r.sum_of_squares, 0.2 / 0.25, 1e-9);  // residuals 0.1, -0.3, 0.3, -0.1
    EXPECT_NEAR(r.residual_deviation, std::sqrt(0.4), 1e-9);
    // Unit columns: their product c = 6 / sqrt(56), singular values sqrt(1 +- c).
    const double c = 6 / std::sqrt(56.0);
    EXPECT_NEAR(r.condition, std::sqrt((1 + c) / (1 - c)), 1e-9);
    EXPECT_TRUE(r.warnings.empty()) << all(r.warnings);
    LeastSquaresOptions scatter;
    scatter.known_accuracy = false;
    const auto s = least_squares({{"offset", 0}, {"slope", 0}},
                                 {linear({{1, 0}, {1, 1}, {1, 2}, {1, 3}}, {1, 3, 4, 6}, 0.5)}, scatter);
    EXPECT_NEAR(s.covariance[3], 0.25 * 0.2 * 0.4, 1e-9);
}

TEST(LeastSquares, PriorsAlone) {
    const auto r = least_squares({{"a", 5, -10, 10, Prior{2, 0.3}}, {"b", 0, -1, 1, Prior{-0.5, 2}}}, {});
    EXPECT_NEAR(r.estimates[0].value, 2, 1e-6);
    EXPECT_NEAR(r.estimates[0].deviation, 0.3, 1e-12);
    EXPECT_NEAR(r.estimates[1].value, -0.5, 1e-9);
    EXPECT_NEAR(r.estimates[1].deviation, 2, 1e-12);
    EXPECT_EQ(r.residual_deviation, 0);
    EXPECT_EQ(r.correlation(0, 1), 0);
}

// One measurement 10 +- 1 and a prior 4 +- 2: weights 1 and 1/4.
TEST(LeastSquares, APriorIsWeighedAgainstTheMeasurement) {
    const auto r = least_squares({{"a", 0, -100, 100, Prior{4, 2}}}, {linear({{1}}, {10})});
    EXPECT_NEAR(r.estimates[0].value, (10 + 1) / 1.25, 1e-6);
    EXPECT_NEAR(r.estimates[0].deviation, std::sqrt(0.8), 1e-9);
}

// The free solution of the line above has slope 1.6; bound at 1.5 the offset is the mean of y - 1.5 x = 1.25, known to
// 0.5 / sqrt(4).
TEST(LeastSquares, ABoundHolds) {
    const auto r = least_squares({{"offset", 0}, {"slope", 0, -1, 1.5}},
                                 {linear({{1, 0}, {1, 1}, {1, 2}, {1, 3}}, {1, 3, 4, 6}, 0.5)});
    EXPECT_EQ(r.estimates[1].value, 1.5);
    EXPECT_TRUE(r.estimates[1].at_bound);
    EXPECT_FALSE(r.estimates[0].at_bound);
    EXPECT_EQ(r.estimates[1].deviation, 0);
    EXPECT_NEAR(r.estimates[0].value, 1.25, 1e-5);
    EXPECT_NEAR(r.estimates[0].deviation, 0.25, 1e-9);
    expect_says(r, "slope ended at its bound, 1.5");
}

TEST(LeastSquares, TwoOfOneEffectAreNamed) {
    const Block sums = linear({{1, 1, 0}, {2, 2, 1}, {3, 3, 0}, {4, 4, 1}}, {2, 5, 6, 9});
    const auto open = least_squares({{"core", 0}, {"leak", 0}, {"offset", 0}}, {sums});
    expect_says(open, "core and leak cannot be told apart by what was measured; nothing else tells them either");
    EXPECT_TRUE(std::isinf(open.estimates[0].deviation));
    EXPECT_TRUE(std::isfinite(open.estimates[2].deviation));
    EXPECT_TRUE(std::isinf(open.condition));
    const auto held = least_squares({{"core", 0}, {"leak", 0, -9, 9, Prior{0.5, 0.1}}, {"offset", 0}}, {sums});
    expect_says(held,
                "core and leak cannot be told apart by what was measured; what is assumed beforehand of leak decides");
    EXPECT_TRUE(std::isfinite(held.estimates[0].deviation));
    EXPECT_NEAR(held.estimates[1].value, 0.5, 1e-6);
    EXPECT_NEAR(held.estimates[1].deviation, 0.1, 1e-6);
    EXPECT_TRUE(std::isfinite(held.condition));
}

TEST(LeastSquares, APairThatIsHardToTellApartIsNamedWithItsCorrelation) {
    const auto r =
        least_squares({{"core", 0}, {"leak", 0}}, {linear({{1, 1}, {2, 2.1}, {3, 3}, {4, 4.1}}, {2, 4, 6, 8})});
    expect_says(r, "core and leak can hardly be told apart by what was measured (correlation -1.000)");
    EXPECT_LT(r.correlation(0, 1), -0.99);
}

TEST(LeastSquares, WhatNothingTellsOfIsNamed) {
    const auto r = least_squares({{"a", 0}, {"b", 3}, {"c", 1, -9, 9, Prior{1, 0.5}}},
                                 {linear({{1, 0, 0}, {1, 0, 1e-3}}, {2, 2})});
    expect_says(r, "nothing that was measured depends on b");
    expect_says(r, "the measurements say next to nothing of c: its value is what was assumed");
    EXPECT_TRUE(std::isinf(r.estimates[1].deviation));
    EXPECT_EQ(r.estimates[1].value, 3);
}

// A constant through 0, 0, 0, 0 and an outlier of 10, accuracy 1, c = 1. Huber: 4 a = c, so a = 0.25. Cauchy: 4 a /
// (1 + a^2) = (10 - a) / (1 + (10 - a)^2). The mean would be 2.
TEST(LeastSquares, AnOutlierPullsLessUnderARobustLoss) {
    const Block b = linear({{1}, {1}, {1}, {1}, {1}}, {0, 0, 0, 0, 10});
    LeastSquaresOptions o;
    o.loss_scale = 1;
    EXPECT_NEAR(least_squares({{"a", 1}}, {b}, o).estimates[0].value, 2, 1e-6);
    o.loss = LeastSquaresOptions::Loss::huber;
    const auto huber = least_squares({{"a", 1}}, {b}, o);
    EXPECT_NEAR(huber.estimates[0].value, 0.25, 1e-5);
    o.loss = LeastSquaresOptions::Loss::cauchy;
    const double a = least_squares({{"a", 1}}, {b}, o).estimates[0].value;
    EXPECT_NEAR(4 * a / (1 + a * a), (10 - a) / (1 + (10 - a) * (10 - a)), 1e-5);
    EXPECT_LT(a, 0.05);
}

// Series of 0, +1, -1 whose sums are counted by hand; and noise that follows itself by 0.8.
TEST(LeastSquares, NeighboursThatGoTogetherAreFound) {
    const auto alternating = least_squares({{"a", 0}}, {linear({{1}, {1}, {1}, {1}}, {1, -1, 1, -1})});
    EXPECT_NEAR(alternating.series[0].lag_correlation, -0.75, 1e-9);  // three products of -1 over four squares
    EXPECT_NEAR(alternating.series[0].durbin_watson, 3, 1e-9);        // three differences of 2, squared, over four
    EXPECT_EQ(alternating.series[0].effective_points, 4);
    std::mt19937 random(3);
    std::normal_distribution<double> noise;
    std::vector<std::vector<double>> ones(4000, {1});
    std::vector<double> y(ones.size());
    for (std::size_t k = 1; k < y.size(); ++k) y[k] = 0.8 * y[k - 1] + 0.6 * noise(random);
    const auto r = least_squares({{"a", 0}}, {linear(ones, y)});
    EXPECT_NEAR(r.series[0].lag_correlation, 0.8, 0.05);
    EXPECT_NEAR(r.series[0].durbin_watson, 0.4, 0.1);
    EXPECT_NEAR(r.series[0].effective_points, 4000 / 9.0, 120);
    EXPECT_NEAR(r.series[0].rms, 1, 0.1);
    expect_says(r, "points: what the fit leaves is no noise");
}

// 95 of 100 intervals hold the truth: 400 lines with noise of the stated accuracy. Of 400, 380 are expected and 4.4 is
// the deviation of their number.
TEST(LeastSquares, IntervalsHoldTheTruthAsOftenAsTheySay) {
    std::mt19937 random(5);
    std::normal_distribution<double> noise(0, 0.5);
    int held = 0;
    for (int k = 0; k < 400; ++k) {
        std::vector<std::vector<double>> rows;
        std::vector<double> y;
        for (int i = 0; i < 12; ++i) rows.push_back({1, i - 3.0}), y.push_back(2 + 0.7 * (i - 3) + noise(random));
        const auto r = least_squares({{"offset", 0}, {"slope", 0}}, {linear(rows, y, 0.5)});
        held += std::fabs(r.estimates[1].value - 0.7) < 1.96 * r.estimates[1].deviation;
    }
    EXPECT_NEAR(held, 380, 3 * 4.4);
}

TEST(LeastSquares, AModelThatThrowsOnTheWayIsAvoided) {
    Block b = linear({{1}}, {4});
    b.evaluate = [](std::span<const double> u, std::span<double> r, double* slopes) {
        if (u[0] > 6) throw std::runtime_error("too hot");
        r[0] = u[0] * u[0] - 16;
        if (slopes) slopes[0] = 2 * u[0];
    };
    const auto r = least_squares({{"a", 1}}, {b});  // the first full step goes to 8.5
    EXPECT_NEAR(r.estimates[0].value, 4, 1e-6) << r.stopped;
    try {
        least_squares({{"a", 7}}, {b});
        ADD_FAILURE() << "starts where the model throws";
    } catch (const std::runtime_error& e) {
        EXPECT_NE(std::string(e.what()).find("cannot be computed at the start: too hot"), std::string::npos)
            << e.what();
    }
}

TEST(LeastSquares, TellsWhenItStopsEarly) {
    LeastSquaresOptions o;
    o.most_steps = 1;
    Block b = linear({{1}}, {4});
    b.evaluate = [](std::span<const double> u, std::span<double> r, double* slopes) {
        r[0] = std::exp(u[0]) - 100;
        if (slopes) slopes[0] = std::exp(u[0]);
    };
    const auto r = least_squares({{"a", 1}}, {b}, o);
    EXPECT_FALSE(r.converged);
    EXPECT_EQ(r.stopped, "stopped after 1 steps, not converged");
}

void expect_refused(const std::vector<Unknown>& u, const std::vector<Block>& b, const std::string& part) {
    try {
        least_squares(u, b);
        ADD_FAILURE() << "accepted: " << part;
    } catch (const std::invalid_argument& e) {
        EXPECT_NE(std::string(e.what()).find(part), std::string::npos) << e.what();
    }
}

TEST(LeastSquares, RefusesWhatMakesNoSense) {
    const Block good = linear({{1}}, {4});
    expect_refused({{"a", 5, 0, 1}}, {good}, "a: it starts at 5, outside its bounds 0 .. 1");
    expect_refused({{"a", 1, 1, 1}}, {good}, "leave no room");
    expect_refused({{"a", 1}, {"a", 2}}, {good}, "'a' stands twice");
    expect_refused({{"a", 1, 0, 2, Prior{1, 0}}}, {good}, "deviation greater than 0");
    expect_refused({{"a", 1}}, {linear({{1}}, {4}, 0)}, "points, point 1: its accuracy must be greater than 0");
    expect_refused({}, {good}, "a block names unknown 0 of 0");
}

}  // namespace least_squares_tests

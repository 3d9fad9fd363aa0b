/// Variance-based sensitivity indices against functions whose indices are known in closed form.
#include <gtest/gtest.h>

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <pullcast/choose/sensitivity.hpp>
#include <random>
#include <stdexcept>
#include <string>

namespace sensitivity_tests {

using pullcast::choose::Points;
using pullcast::choose::sensitivities;
using pullcast::choose::Sensitivity;
using pullcast::choose::sensitivity_design;
using pullcast::choose::sobol_points;
using std::numbers::pi;

struct Known {
    double first, total;
};

// Ishigami and Homma (1990): sin x1 + a sin^2 x2 + b x3^4 sin x1, x uniform in -pi to pi; here a = 7, b = 0.1.
constexpr double a = 7, b = 0.1;
double ishigami(const std::vector<double>& u) {
    const double x1 = pi * (2 * u[0] - 1), x2 = pi * (2 * u[1] - 1), x3 = pi * (2 * u[2] - 1);
    return std::sin(x1) * (1 + b * std::pow(x3, 4)) + a * std::pow(std::sin(x2), 2);
}
/// Closed form: V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8, V13 = 8 b^2 pi^8/225, V = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2.
std::vector<Known> ishigami_shares() {
    const double pi4 = std::pow(pi, 4);
    const double V1 = std::pow(1 + b * pi4 / 5, 2) / 2, V2 = a * a / 8, V13 = 8 * b * b * pi4 * pi4 / 225;
    const double V = a * a / 8 + b * pi4 / 5 + b * b * pi4 * pi4 / 18 + 0.5;
    return {{V1 / V, (V1 + V13) / V}, {V2 / V, V2 / V}, {0, V13 / V}};
}

// Sobol's g: product of (|4 u_j - 2| + a_j)/(1 + a_j), u uniform in 0 to 1; closed form: V_j = 1/(3 (1 + a_j)^2),
// V = product of (1 + V_j), less 1. The a_j are those of Saltelli et al. (2008).
constexpr double g_weights[] = {0, 1, 4.5, 9, 99, 99, 99, 99};
double g_function(const std::vector<double>& u) {
    double product = 1;
    for (std::size_t j = 0; j < 8; ++j) product *= (std::abs(4 * u[j] - 2) + g_weights[j]) / (1 + g_weights[j]);
    return product;
}
std::vector<Known> g_shares() {
    double all = 1;
    for (double w : g_weights) all *= 1 + 1 / (3 * (1 + w) * (1 + w));
    std::vector<Known> shares;
    for (double w : g_weights) {
        const double V = 1 / (3 * (1 + w) * (1 + w));
        shares.push_back({V / (all - 1), V * all / (1 + V) / (all - 1)});
    }
    return shares;
}

std::vector<double> results(const Points& design, double (*f)(const std::vector<double>&)) {
    std::vector<double> y;
    for (const auto& row : design) y.push_back(f(row));
    return y;
}

void expect_near(const std::vector<Sensitivity>& found, const std::vector<Known>& known, double tolerance) {
    ASSERT_EQ(found.size(), known.size());
    for (std::size_t j = 0; j < known.size(); ++j) {
        EXPECT_NEAR(found[j].first.value, known[j].first, tolerance) << j;
        EXPECT_NEAR(found[j].total.value, known[j].total, tolerance) << j;
    }
}

/// Rows drawn independently, of the standard's generator and not the library's.
Points random_design(std::size_t base, std::size_t inputs, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    Points design(2 * base, std::vector<double>(inputs));
    for (auto& row : design)
        for (double& x : row) x = std::ldexp(static_cast<double>(random() >> 12) + 0.5, -52);
    for (std::size_t j = 0; j < inputs; ++j)
        for (std::size_t k = 0; k < base; ++k) {
            design.push_back(design[k]);
            design.back()[j] = design[base + k][j];
        }
    return design;
}

/// In what share of 200 designs each interval holds the truth: first and total of each input in turn.
std::vector<double> coverage(Points (*design)(std::size_t, std::size_t, std::uint64_t)) {
    constexpr int seeds = 200;
    const auto holds = [](const Sensitivity::Share& share, double truth) {
        return share.low <= truth && truth <= share.high ? 1.0 / seeds : 0.0;
    };
    const std::vector<Known> known = ishigami_shares();
    std::vector<double> held(6);
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const auto found = sensitivities(results(design(256, 3, seed), ishigami), 3, seed);
        for (std::size_t j = 0; j < 3; ++j) {
            held[2 * j] += holds(found[j].first, known[j].first);
            held[2 * j + 1] += holds(found[j].total, known[j].total);
        }
    }
    return held;
}

std::string refusal(auto call) {
    try {
        call();
    } catch (const std::invalid_argument& error) {
        return error.what();
    }
    return "not refused";
}

// Saltelli et al., Global Sensitivity Analysis. The Primer (2008), from memory; the closed form gives the same digits.
TEST(Sensitivity, FindsThePublishedSharesOfIshigamisFunction) {
    const std::vector<Known> known = ishigami_shares();
    const double published[][2] = {{0.3139, 0.5576}, {0.4424, 0.4424}, {0, 0.2437}};
    for (std::size_t j = 0; j < 3; ++j) {
        EXPECT_NEAR(known[j].first, published[j][0], 5e-5);
        EXPECT_NEAR(known[j].total, published[j][1], 5e-5);
    }
    // Ten seeds at this size differ from the truth by 0.0018 at most.
    for (std::uint64_t seed : {1, 2, 3})
        expect_near(sensitivities(results(sensitivity_design(4096, 3, seed), ishigami), 3, seed), known, 0.005);
}

// Saltelli et al. (2008), from memory: S = 0.716, 0.179, 0.0237, 0.0072, 0.0001 four times; the closed form gives the
// same digits.
TEST(Sensitivity, FindsTheSharesOfSobolsGFunction) {
    const std::vector<Known> known = g_shares();
    const double published[] = {0.716, 0.179, 0.0237, 0.0072, 0.0001, 0.0001, 0.0001, 0.0001};
    for (std::size_t j = 0; j < 8; ++j) EXPECT_NEAR(known[j].first, published[j], j < 2 ? 5e-4 : 5e-5);
    // Five seeds at this size differ from the truth by 0.0016 at most.
    for (std::uint64_t seed : {1, 2, 3})
        expect_near(sensitivities(results(sensitivity_design(4096, 8, seed), g_function), 8, seed), known, 0.005);
}

// By hand: mean of A and B 5, their variance (16 + 4 + 0 + 36)/4 = 14. First: mean of B - 5 times the change,
// (0*1 + 6*3)/2 = 9 and (0*3 + 6*2)/2 = 6. Total: half the mean of the change's square, (1 + 9)/4 and (9 + 4)/4.
TEST(Sensitivity, AgreesWithACaseByHand) {
    const std::vector<double> y = {1, 3, /* B */ 5, 11, /* input 0 of B */ 2, 6, /* input 1 of B */ 4, 5};
    expect_near(sensitivities(y, 2, 1), {{9.0 / 14, 2.5 / 14}, {6.0 / 14, 3.25 / 14}}, 1e-15);
}

// Where A and B are 1 and -1 in turn, their variance is 1 in every resampling, and a total is a plain mean of halved
// squares: normal by the central limit theorem, with 5 % on each side (quantile by Boost).
TEST(Sensitivity, AnIntervalLeavesOutFivePercentOnEachSide) {
    constexpr std::size_t base = 2000;
    std::mt19937_64 random(1);
    std::vector<double> y;
    for (std::size_t k = 0; k < 2 * base; ++k) y.push_back(k % 2 ? 1 : -1);
    double sum = 0, squares = 0;
    for (std::size_t k = 0; k < base; ++k) {
        const double change = std::ldexp(static_cast<double>(random() >> 12), -52);
        y.push_back(y[k] + change);
        sum += change * change / 2;
        squares += std::pow(change, 4) / 4;
    }
    const double mean = sum / base, error = std::sqrt((squares / base - mean * mean) / base);
    double below = 0, above = 0;
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const Sensitivity::Share total = sensitivities(y, 1, seed)[0].total;
        EXPECT_NEAR(total.value, mean, 1e-12);
        below += (mean - total.low) / error / 20;
        above += (total.high - mean) / error / 20;
    }
    const double expected = boost::math::quantile(boost::math::normal(), 0.95);
    EXPECT_NEAR(below, expected, 0.1);  // six standard deviations of 20 quantiles of 999 each
    EXPECT_NEAR(above, expected, 0.1);
}

// Efron's percentile interval. Measured here: 0.86 to 0.94, 0.905 of all.
TEST(Sensitivity, AnIntervalHoldsTheTruthNineTimesInTenWhereRowsAreDrawnAtRandom) {
    double all = 0;
    for (double held : coverage(random_design)) {
        EXPECT_NEAR(held, 0.9, 0.08);
        all += held / 6;
    }
    EXPECT_NEAR(all, 0.9, 0.03);
}

// Sobol points lie evener than their resamplings. Measured here: always.
TEST(Sensitivity, AnIntervalOfTheDesignHoldsTheTruthAtLeastAsOften) {
    for (double held : coverage(sensitivity_design)) EXPECT_GE(held, 0.9);
}

// A mean's doubt falls with the root of the number of rows.
TEST(Sensitivity, IntervalsHoldTheirValueAndHalveWithFourTimesTheRows) {
    const auto few = sensitivities(results(sensitivity_design(512, 3, 1), ishigami), 3, 1);
    const auto many = sensitivities(results(sensitivity_design(2048, 3, 1), ishigami), 3, 1);
    for (std::size_t j = 0; j < 3; ++j)
        for (auto share : {&Sensitivity::first, &Sensitivity::total}) {
            const Sensitivity::Share narrow = many[j].*share, wide = few[j].*share;
            EXPECT_LT(narrow.low, narrow.value);
            EXPECT_GT(narrow.high, narrow.value);
            EXPECT_NEAR((wide.high - wide.low) / (narrow.high - narrow.low), 2, 0.4) << j;
        }
}

TEST(Sensitivity, DoesNotDependOnOffsetAndScaleOfTheResult) {
    std::vector<double> y = results(sensitivity_design(256, 3, 5), ishigami);
    const auto plain = sensitivities(y, 3, 9);
    for (double& value : y) value = 1e5 - 1e-3 * value;
    const auto moved = sensitivities(y, 3, 9);
    for (std::size_t j = 0; j < 3; ++j)
        for (auto share : {&Sensitivity::first, &Sensitivity::total}) {
            EXPECT_NEAR((moved[j].*share).value, (plain[j].*share).value, 1e-6) << j;
            EXPECT_NEAR((moved[j].*share).low, (plain[j].*share).low, 1e-6) << j;
            EXPECT_NEAR((moved[j].*share).high, (plain[j].*share).high, 1e-6) << j;
        }
}

TEST(Sensitivity, SaysZeroWhereNothingVaries) {
    for (double constant : {0.0, 0.1, 301.3, -1e9})
        for (const auto& found : sensitivities(std::vector<double>(100 * 5, constant), 3, 1))
            for (const auto& share : {found.first, found.total}) {
                EXPECT_EQ(share.value, 0);
                EXPECT_EQ(share.low, 0);
                EXPECT_EQ(share.high, 0);
            }
}

TEST(Sensitivity, SaysZeroWhereAAndBDoNotVary) {
    const auto found = sensitivities(std::vector<double>{0.1, 0.1, 0.1, 0.1, 0.2, 0.3}, 1, 1);
    for (const auto& share : {found[0].first, found[0].total})
        for (double part : {share.value, share.low, share.high}) EXPECT_EQ(part, 0);
}

TEST(SensitivityDesign, IsAAndBOfOneSequenceAndAWithOneInputOfBEach) {
    constexpr std::size_t base = 16, inputs = 3;
    const Points design = sensitivity_design(base, inputs, 7), both = sobol_points(base, 2 * inputs, 7);
    ASSERT_EQ(design.size(), base * (inputs + 2));
    for (std::size_t k = 0; k < base; ++k)
        for (std::size_t i = 0; i < inputs; ++i) {
            EXPECT_EQ(design[k][i], both[k][i]);
            EXPECT_EQ(design[base + k][i], both[k][inputs + i]);
            for (std::size_t j = 0; j < inputs; ++j)
                EXPECT_EQ(design[(2 + j) * base + k][i], design[i == j ? base + k : k][i]) << k << i << j;
        }
}

TEST(Sensitivity, RefusesCountsThatDoNotFitAndResultsThatAreNotFinite) {
    EXPECT_EQ(refusal([] { sensitivity_design(8, 33, 1); }), "number of inputs = 33 must be 1 to 32");
    EXPECT_EQ(refusal([] { sensitivity_design(8, 0, 1); }), "number of inputs = 0 must be 1 to 32");
    EXPECT_EQ(refusal([] { sensitivity_design(0, 2, 1); }), "number of points = 0 must be at least 1");
    EXPECT_EQ(sensitivity_design(2, 32, 1).size(), 68u);
    std::vector<double> y(11, 1.0);
    EXPECT_EQ(refusal([&] { sensitivities(y, 2, 1); }),
              "11 results for 2 inputs: must be a multiple of 4 (inputs + 2)");
    EXPECT_EQ(refusal([&] { sensitivities({}, 2, 1); }),
              "0 results for 2 inputs: must be a multiple of 4 (inputs + 2)");
    y.push_back(std::numeric_limits<double>::quiet_NaN());
    EXPECT_EQ(refusal([&] { sensitivities(y, 2, 1); }), "result of row 11 is nan, must be finite");
    y[3] = -std::numeric_limits<double>::infinity();
    EXPECT_EQ(refusal([&] { sensitivities(y, 2, 1); }), "result of row 3 is -inf, must be finite");
}

}  // namespace sensitivity_tests

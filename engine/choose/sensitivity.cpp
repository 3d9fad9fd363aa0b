#include <fmt/format.h>

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <pullcast/choose/sensitivity.hpp>
#include <stdexcept>

namespace pullcast::choose {
namespace {

constexpr std::size_t most_inputs = 32;   // two coordinates of the Sobol sequence each
constexpr std::size_t resamplings = 999;  // 5 % and 95 % are then the 50th and the 950th in order

void require_inputs(std::size_t inputs) {
    if (inputs < 1 || inputs > most_inputs)
        throw std::invalid_argument(fmt::format("number of inputs = {} must be 1 to {}", inputs, most_inputs));
}

void require_results(std::span<const double> results, std::size_t inputs) {
    if (results.empty() || results.size() % (inputs + 2) != 0)
        throw std::invalid_argument(fmt::format("{} results for {} inputs: must be a multiple of {} (inputs + 2)",
                                                results.size(), inputs, inputs + 2));
    for (std::size_t k = 0; k < results.size(); ++k)
        if (!std::isfinite(results[k]))
            throw std::invalid_argument(fmt::format("result of row {} is {}, must be finite", k, results[k]));
}

/// What every estimate is a mean of: a row a base point, with the square of A and B, then first and total of each
/// input. Values are taken from their mean: the noise of a first share grows with what all results have in common.
class Terms {
public:
    Terms(std::span<const double> results, std::size_t inputs)
        : base_(results.size() / (inputs + 2)), width_(1 + 2 * inputs), terms_(base_ * width_) {
        double sum = 0;
        for (double y : results.first(2 * base_)) sum += y - results[0];
        const double common = sum / static_cast<double>(2 * base_);
        for (std::size_t k = 0; k < base_; ++k) {
            double* row = &terms_[k * width_];
            const double a = results[k] - results[0] - common;
            const double b = results[base_ + k] - results[0] - common;
            row[0] = (a * a + b * b) / 2;
            for (std::size_t j = 0; j < inputs; ++j) {
                const double change = results[(2 + j) * base_ + k] - results[k];
                row[1 + 2 * j] = b * change;
                row[2 + 2 * j] = change * change / 2;
            }
        }
    }

    std::size_t base() const { return base_; }

    /// First and total of each input in turn, from base() rows; `row(k)` is the number of the k-th.
    std::vector<double> shares(auto row) const {
        std::vector<double> sums(width_);
        for (std::size_t k = 0; k < base_; ++k) {
            const double* terms = &terms_[row(k) * width_];
            for (std::size_t c = 0; c < width_; ++c) sums[c] += terms[c];
        }
        std::vector<double> shares(sums.begin() + 1, sums.end());
        for (double& share : shares) share = sums[0] > 0 ? share / sums[0] : 0;
        return shares;
    }

private:
    std::size_t base_, width_;
    std::vector<double> terms_;
};

}  // namespace

Points sensitivity_design(std::size_t base, std::size_t inputs, std::uint64_t seed) {
    require_inputs(inputs);
    const Points both = sobol_points(base, 2 * inputs, seed);
    const auto half = static_cast<std::ptrdiff_t>(inputs);
    Points design;
    design.reserve(base * (inputs + 2));
    for (const auto& row : both) design.emplace_back(row.begin(), row.begin() + half);
    for (const auto& row : both) design.emplace_back(row.begin() + half, row.end());
    for (std::size_t j = 0; j < inputs; ++j)
        for (std::size_t k = 0; k < base; ++k) {
            design.push_back(design[k]);
            design.back()[j] = design[base + k][j];
        }
    return design;
}

std::vector<Sensitivity> sensitivities(std::span<const double> results, std::size_t inputs, std::uint64_t seed) {
    require_inputs(inputs);
    require_results(results, inputs);
    const Terms terms(results, inputs);
    const std::vector<double> values = terms.shares([](std::size_t k) { return k; });

    boost::random::mt19937_64 random(seed);
    const boost::random::uniform_int_distribution<std::size_t> any_row(0, terms.base() - 1);
    std::vector<std::vector<double>> resampled(values.size());  // of each share
    for (std::size_t r = 0; r < resamplings; ++r) {
        const std::vector<double> shares = terms.shares([&](std::size_t) { return any_row(random); });
        for (std::size_t c = 0; c < shares.size(); ++c) resampled[c].push_back(shares[c]);
    }

    const auto share = [&](std::size_t c) {
        std::sort(resampled[c].begin(), resampled[c].end());
        return Sensitivity::Share{values[c], resampled[c][resamplings / 20],
                                  resampled[c][resamplings - resamplings / 20 - 1]};
    };
    std::vector<Sensitivity> found;
    for (std::size_t j = 0; j < inputs; ++j) found.push_back({share(2 * j), share(2 * j + 1)});
    return found;
}

}  // namespace pullcast::choose

/// Linear least squares by hand: what the tests of their closed forms share.
#pragma once
#include <gtest/gtest.h>

#include <pullcast/measure/least_squares.hpp>

namespace linear_block {

using namespace pullcast::measure;

/// y = sum_j u_j x_j(i), measured as `y`.
inline Block linear(std::vector<std::vector<double>> rows, std::vector<double> y, double accuracy = 1) {
    Block b;
    for (std::size_t j = 0; j < rows.at(0).size(); ++j) b.unknowns.push_back(j);
    b.series = {{"points", std::vector<double>(y.size(), accuracy)}};
    b.evaluate = [rows = std::move(rows), y = std::move(y)](std::span<const double> u, std::span<double> r,
                                                            double* slopes) {
        for (std::size_t i = 0; i < y.size(); ++i) {
            r[i] = -y[i];
            for (std::size_t j = 0; j < u.size(); ++j) {
                r[i] += rows[i][j] * u[j];
                if (slopes) slopes[i * u.size() + j] = rows[i][j];
            }
        }
    };
    return b;
}

inline std::string all(const std::vector<std::string>& lines) {
    std::string text;
    for (const auto& l : lines) text += l + "\n";
    return text;
}
inline void expect_says(const LeastSquaresResult& r, const std::string& part) {
    EXPECT_NE(all(r.warnings).find(part), std::string::npos) << part << "\n---\n" << all(r.warnings);
}

}  // namespace linear_block

// Smoothness: exact derivatives against differences, and a search for kinks.
#include <fmt/format.h>

#include "conformance_checks.hpp"
#include "conformance_subject.hpp"

namespace pullcast::test {
namespace {

/// Largest magnitude of each result over many draws: its natural size.
std::vector<double> result_sizes(Bench& b, Random& r) {
    std::vector<double> size(b.results().size());
    for (int k = 0; k < 50; ++k) {
        draw(b, r, Regime::anywhere);
        b.evaluate();
        if (b.rejected()) continue;
        const auto v = b.values();
        for (std::size_t i = 0; i < v.size(); ++i)
            if (std::isfinite(v[i])) size[i] = std::max(size[i], std::fabs(v[i]));
    }
    return size;
}

/// Central five-point difference of all results along one input; false where a point is rejected.
bool difference(Bench& b, std::size_t input, double h, std::vector<double>& out) {
    static constexpr std::pair<double, double> points[] = {{-2, 1}, {-1, -8}, {1, 8}, {2, -1}};
    double& x = *b.inputs()[input].at;
    const double at = x;
    out.assign(b.results().size(), 0);
    bool accepted = true;
    for (const auto& [step, weight] : points) {
        x = at + step * h;
        b.evaluate();
        accepted = accepted && !b.rejected();
        const auto v = b.values();
        for (std::size_t r = 0; r < v.size(); ++r) out[r] += weight * v[r] / (12 * h);
    }
    x = at;
    return accepted;
}

void compare_derivatives(Bench& b, const std::vector<double>& size, Faults& faults, const std::string& where) {
    b.evaluate();
    if (b.rejected()) return;
    const Derivatives exact = b.evaluate_dual();
    std::vector<double> differences;
    for (std::size_t i = 0; i < b.inputs().size(); ++i) {
        const double scale = scale_of(b.inputs()[i]);
        std::vector<std::vector<double>> quotients;
        for (const double step : {1e-6, 1e-8, 1e-10})
            if (difference(b, i, step * scale, differences)) quotients.push_back(differences);
        for (std::size_t r = 0; r < size.size() && !quotients.empty(); ++r) {
            const double d = exact.d[r][i], allowed = 1e-5 * std::fabs(d) + 1e-6 * size[r] / scale;
            const auto agrees = [&](const auto& q) { return std::fabs(d - q[r]) <= allowed; };
            if (std::none_of(quotients.begin(), quotients.end(), agrees) && faults.size() < 3)
                faults.push_back(fmt::format("{}: derivative of '{}' by '{}' is {:.9g}, difference quotient {:.9g}",
                                             where, exact.results[r], exact.inputs[i], d, quotients[0][r]));
        }
    }
}

/// Tables may have a kink where they end, and those over speed end near standstill: shafts turn forward.
void keep_inside_tables(Bench& b) {
    const auto is_table = [](const Field& f) { return f.kind == Kind::curve || f.kind == Kind::map; };
    const auto fields = b.fields();
    if (std::any_of(fields.begin(), fields.end(), is_table)) turn_forward(b);
}

/// A straight line through the space of inputs, s from 0 to 1, and the slopes of all results along it.
class Line {
    Bench& b_;
    std::vector<double> start_, direction_;

public:
    Line(Bench& b, Random& r, Regime first, Regime second) : b_(b) {
        draw(b, r, first);
        keep_inside_tables(b);
        for (const auto& in : b.inputs()) start_.push_back(*in.at);
        const double time = b.time;
        draw(b, r, second);
        keep_inside_tables(b);
        for (std::size_t i = 0; i < start_.size(); ++i) direction_.push_back(*b.inputs()[i].at - start_[i]);
        b.time = time;
    }
    std::vector<double> slopes(double s) {
        for (std::size_t i = 0; i < start_.size(); ++i) *b_.inputs()[i].at = start_[i] + s * direction_[i];
        b_.sweep_along(direction_);
        std::vector<double> out;
        for (const Dual& d : b_.dual_values()) out.push_back(d.d[0]);
        return out;
    }
};

/// Halves the interval towards the larger jump of one slope until it is 1e-12 wide; returns the jump left, and raises
/// `largest` to the largest slope seen.
double remaining_jump(Line& line, std::size_t result, double lo, double hi, double g_lo, double g_hi, double& largest) {
    while (hi - lo > 1e-12) {
        const double mid = 0.5 * (lo + hi), g = line.slopes(mid)[result];
        largest = std::max(largest, std::fabs(g));
        if (std::fabs(g - g_lo) > std::fabs(g_hi - g)) hi = mid, g_hi = g;
        else lo = mid, g_lo = g;
    }
    return std::fabs(g_hi - g_lo);
}

void find_kinks(Bench& b, Line line, const std::vector<double>& size, Faults& faults, const std::string& where) {
    constexpr std::size_t intervals = 200;
    std::vector<std::vector<double>> slope;
    for (std::size_t k = 0; k <= intervals; ++k) slope.push_back(line.slopes(static_cast<double>(k) / intervals));
    for (std::size_t r = 0; r < slope[0].size(); ++r) {
        double largest = 1e-6 * size[r], jump = 0;
        std::size_t at = 0;
        for (std::size_t k = 0; k <= intervals; ++k) {
            largest = std::max(largest, std::fabs(slope[k][r]));
            if (k == intervals) continue;
            const double step = std::fabs(slope[k + 1][r] - slope[k][r]);
            if (step > jump) jump = step, at = k;
        }
        if (jump <= 1e-3 * largest) continue;
        const double lo = static_cast<double>(at) / intervals, hi = static_cast<double>(at + 1) / intervals;
        const double left = remaining_jump(line, r, lo, hi, slope[at][r], slope[at + 1][r], largest);
        if (left > 1e-3 * largest && faults.size() < 5)
            faults.push_back(fmt::format("{}: '{}' has a kink: its slope jumps by {:.3g} of {:.3g}", where,
                                         b.results()[r], left, largest));
    }
}

}  // namespace

Faults smooth(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(500 + variant));
        const auto size = result_sizes(b, r);
        for (int k = 0; k < 30 && faults.size() < 3; ++k) {
            const Regime regime = k % 3 == 2 ? Regime::near_rest : Regime::anywhere;
            draw(b, r, regime);
            compare_derivatives(b, size, faults, fmt::format("variant {}, draw {}", variant, k));
        }
        for (int k = 0; k < 12 && faults.size() < 5; ++k)
            find_kinks(b, Line(b, r, Regime::anywhere, Regime::anywhere), size, faults,
                       fmt::format("variant {}, line {}", variant, k));
    }
    return faults;
}

}  // namespace pullcast::test

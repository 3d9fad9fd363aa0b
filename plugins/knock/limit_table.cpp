#include "limit_table.hpp"

namespace pullcast::knock {
namespace {

/// Node k of n, in -1 .. 1.
double node(int k, int n) { return std::cos(std::numbers::pi * (k + 0.5) / n); }
double between(double at, double lo, double hi) { return lo + (hi - lo) * (at + 1) / 2; }
double geometric(double at, const LimitTable::Axis& a) { return std::exp(between(at, std::log(a.lo), std::log(a.hi))); }

/// The manifold temperature that gives T at inlet valve closing: `fill`, turned round.
double manifold_temperature(const Engine& e, Point<double> at, double T) {
    const double a = residual_ratio(e.chamber, at), T_r = e.trapping.residual_temperature;
    const double fresh = T * (1 - a) / (1 - a * T / T_r), walls = e.trapping.wall_heating;
    at.T = T;
    return (fresh + cooling(e.trapping, e.fuel, at) - walls * at.coolant) / (1 - walls);
}

/// ln of octane required at the five sparks, for any number of points.
std::vector<OctaneCurve::Row> log_required(const Engine& e, std::span<const Point<double>> points) {
    std::vector<OctaneCurve::Row> rows;
    for (std::size_t k = 0; k < points.size(); k += Lanes::count) {
        const auto part = points.subspan(k, std::min<std::size_t>(Lanes::count, points.size() - k));
        const Batch batch(e, part);
        for (std::size_t lane = 0; lane < part.size(); ++lane) {
            rows.push_back(batch.required(static_cast<int>(lane)));
            for (double& r : rows.back()) r = std::log(r);
        }
    }
    return rows;
}

}  // namespace

void LimitTable::learn(const Engine& e, const Point<double>& typical) {
    const double T_typical = fill(e.chamber, e.trapping, e.fuel, typical).T;
    octane_ = e.octane, lambda_ = typical.lambda, humidity_ = typical.w;
    residual_0_ = residual_ratio(e.chamber, typical);
    const auto at_temperature = [&](Point<double> at, double T) {
        at.T = manifold_temperature(e, at, T);
        return at;
    };
    std::vector<Point<double>> points;
    for (int i = 0; i < speeds; ++i)
        for (int j = 0; j < pressures; ++j)
            for (int k = 0; k < temperatures; ++k) {
                auto at = typical;
                at.omega = geometric(node(i, speeds), speed);
                at.p = geometric(node(j, pressures), pressure);
                at.exhaust_pressure = typical.exhaust_pressure / typical.p * at.p;  // one residual ratio
                points.push_back(at_temperature(at, between(node(k, temperatures), temperature.lo, temperature.hi)));
            }
    const auto rows = log_required(e, points);
    const auto weight = [](int order, int at, int n) {  // discrete orthogonality
        return std::cos(order * std::numbers::pi * (at + 0.5) / n) * (order ? 2.0 : 1.0) / n;
    };
    for (int a = 0; a < speeds; ++a)
        for (int b = 0; b < pressures; ++b)
            for (int c = 0; c < temperatures; ++c) {
                c_[a][b][c] = {};
                for (std::size_t at = 0; at < rows.size(); ++at) {
                    const int n = static_cast<int>(at);
                    const double w = weight(a, n / (pressures * temperatures), speeds) *
                                     weight(b, n / temperatures % pressures, pressures) *
                                     weight(c, n % temperatures, temperatures);
                    for (std::size_t k = 0; k < rows[at].size(); ++k) c_[a][b][c][k] += w * rows[at][k];
                }
            }

    // What mixture, residual gas and humidity do at a kept T_1, at the middle spark.
    constexpr double off = 0.1, more_residual = 1.3, drier = 0.006;
    auto rich = typical, lean = typical, burned = typical, dry = typical;
    rich.lambda -= off, lean.lambda += off, burned.exhaust_pressure *= more_residual, dry.w -= drier;
    std::vector<Point<double>> around{typical, rich, lean, burned, dry};
    for (auto& at : around) at = at_temperature(at, T_typical);
    const auto near = log_required(e, around);
    const auto gain = [&](int k) { return near[static_cast<std::size_t>(k)][2] - near[0][2]; };
    mixture_[0] = (gain(2) - gain(1)) / (2 * off);
    mixture_[1] = (gain(2) + gain(1)) / (2 * off * off);
    per_residual_ = gain(3) / (residual_0_ * (more_residual - 1));
    per_humidity_ = gain(4) / -drier;
}

}  // namespace pullcast::knock

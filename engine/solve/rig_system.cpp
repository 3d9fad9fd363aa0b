#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

RigSystem::RigSystem(const Network& network, std::optional<StopAbove> stop)
    : network_(network),
      stop_(stop),
      pattern_(network.dependencies(), network.size()),
      plain_(network),
      dual_(network),
      row_(network.channels().size()) {
    const auto colour = colour_columns(pattern_, network_.state_count());
    const auto colours = colour.empty() ? 0 : 1 + *std::max_element(colour.begin(), colour.end());
    groups_.resize((colours + dual_width - 1) / dual_width);
    for (std::uint32_t c = 0; c < network_.state_count(); ++c)
        groups_[colour[c] / dual_width].seeds.push_back({c, static_cast<int>(colour[c] % dual_width)});
    for (std::uint32_t r = 0; r < pattern_.rows(); ++r)
        for (auto k = pattern_.start[r]; k < pattern_.start[r + 1]; ++k) {
            const auto c = colour[pattern_.column[k]];
            groups_[c / dual_width].picks.push_back({k, r, static_cast<int>(c % dual_width)});
        }
}

bool RigSystem::evaluate(double t, const double* x) {
    std::copy_n(x, network_.size(), plain_.x.data());
    plain_.arena.t = t;
    if (network_.evaluate(plain_)) return true;
    last_ = plain_.arena.rejection;
    rejections_ += last_.count;
    return false;
}

bool RigSystem::derivative(double t, const double* x, double* dx) noexcept {
    plain_.arena.recording = 0;
    if (!evaluate(t, x)) return false;
    double sum = 0;  // one test for all: a sum is finite only if nothing in it is not (or it overflows, which is as bad)
    for (std::size_t i = 0; i < network_.size(); ++i) sum += dx[i] = plain_.dx[i];
    not_finite_ = !std::isfinite(sum);
    return !not_finite_;
}

bool RigSystem::jacobian(double t, const double* x, double* values) noexcept {
    if (!network_.differentiable()) return differences(t, x, values);
    for (std::size_t i = 0; i < network_.size(); ++i) dual_.x[i] = Dual(x[i]);
    dual_.arena.t = t;
    for (const auto& g : groups_) {
        for (const auto& s : g.seeds) dual_.x[s.column].d[s.lane] = 1;
        const bool accepted = network_.evaluate(dual_);
        for (const auto& s : g.seeds) dual_.x[s.column].d[s.lane] = 0;
        if (!accepted) return false;
        for (const auto& p : g.picks) values[p.entry] = dual_.dx[p.row].d[p.lane];
    }
    return true;
}

/// Coloured forward differences, for a network with a component that was built for doubles only.
bool RigSystem::differences(double t, const double* x, double* values) noexcept {
    plain_.arena.recording = 0;
    if (!evaluate(t, x)) return false;
    const std::vector<double> base = plain_.dx;
    for (const auto& g : groups_)
        for (int lane = 0; lane < dual_width; ++lane) {
            const auto step = [&](std::uint32_t c) { return 1e-7 * std::max(std::fabs(x[c]), network_.nominal()[c]); };
            for (const auto& s : g.seeds)
                if (s.lane == lane) plain_.x[s.column] = x[s.column] + step(s.column);
            const bool accepted = network_.evaluate(plain_);
            for (const auto& s : g.seeds)
                if (s.lane == lane) plain_.x[s.column] = x[s.column];
            if (!accepted) return false;
            for (const auto& p : g.picks)
                if (p.lane == lane) values[p.entry] = (plain_.dx[p.row] - base[p.row]) / step(pattern_.column[p.entry]);
        }
    return true;
}

void RigSystem::crossings(double t, const double* x, double* g) noexcept {
    record(t, x, row_.data());
    g[0] = row_[stop_->channel] - stop_->threshold;
}

void RigSystem::record(double t, const double* x, double* row) noexcept {
    plain_.arena.recording = 1;
    evaluate(t, x);
    network_.record(plain_, row);
}

std::string RigSystem::explain() {
    if (not_finite_) {
        if (auto why = network_.find_not_finite(plain_); !why.empty()) return why;
    }
    if (rejections_ == 0) return "";
    return fmt::format("{}: {} {:.6g} is outside {:.6g} .. {:.6g}     last of {} rejections", network_.component_name(last_.component),
                       last_.what, last_.value, last_.lo, last_.hi, rejections_);
}

}  // namespace pullcast

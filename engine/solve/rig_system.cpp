#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

RigSystem::RigSystem(const Network& network, std::optional<StopAbove> stop)
    : network_(network),
      stop_(stop),
      pattern_(network.dependencies(), network.size()),
      plain_(network),
      dual_(network),
      row_(network.channels().size()) {
    group_states();
    collect_picks();
}

/// Neighbours in storage belong to one component or to components of one kind.
void RigSystem::group_states() {
    for (std::uint32_t first = 0; first < network_.state_count(); first += dual_width) {
        Group g;
        for (std::uint32_t k = first; k < std::min<std::size_t>(first + dual_width, network_.state_count()); ++k) g.seeds.push_back(k);
        g.active = network_.active(g.seeds);
        groups_.push_back(std::move(g));
    }
}

void RigSystem::collect_picks() {
    std::vector<std::pair<std::size_t, int>> place(network_.state_count());
    for (std::size_t g = 0; g < groups_.size(); ++g)
        for (std::size_t lane = 0; lane < groups_[g].seeds.size(); ++lane) place[groups_[g].seeds[lane]] = {g, static_cast<int>(lane)};
    for (std::uint32_t r = 0; r < pattern_.rows(); ++r)
        for (auto k = pattern_.start[r]; k < pattern_.start[r + 1]; ++k) {
            const auto [g, lane] = place[pattern_.column[k]];
            groups_[g].picks.push_back({k, r, lane});
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

bool RigSystem::derivative(double t, const double* x, double* dx) {
    plain_.arena.recording = 0;
    if (!evaluate(t, x)) return false;
    double sum = 0;  // one test for all: a sum is finite only if nothing in it is not (or it overflows, which is as bad)
    for (std::size_t i = 0; i < network_.size(); ++i) sum += dx[i] = plain_.dx[i];
    not_finite_ = !std::isfinite(sum);
    return !not_finite_;
}

bool RigSystem::jacobian(double t, const double* x, double* values) {
    plain_.arena.recording = 0;
    if (!evaluate(t, x)) return false;
    if (!network_.differentiable()) return differences(x, values);
    std::copy(plain_.x.begin(), plain_.x.end(), dual_.x.begin());
    dual_.arena.t = t;
    for (const auto& g : groups_) {
        for (std::size_t lane = 0; lane < g.seeds.size(); ++lane) dual_.x[g.seeds[lane]].d[lane] = 1;
        const bool accepted = network_.differentiate(dual_, plain_, g.active);
        for (const auto s : g.seeds) dual_.x[s].d = Dual::Lanes{};
        if (!accepted) return false;
        for (const auto& p : g.picks) values[p.entry] = dual_.dx[p.row].d[p.lane];
    }
    return true;
}

/// Forward differences, state by state, for a network with a component that was built for doubles only.
bool RigSystem::differences(const double* x, double* values) {
    const std::vector<double> base = plain_.dx;
    for (const auto& g : groups_)
        for (std::size_t lane = 0; lane < g.seeds.size(); ++lane) {
            const auto c = g.seeds[lane];
            const double step = 1e-7 * std::max(std::fabs(x[c]), network_.nominal()[c]);
            plain_.x[c] = x[c] + step;
            const bool accepted = network_.evaluate(plain_);
            plain_.x[c] = x[c];
            if (!accepted) return false;
            for (const auto& p : g.picks)
                if (p.lane == static_cast<int>(lane)) values[p.entry] = (plain_.dx[p.row] - base[p.row]) / step;
        }
    return true;
}

void RigSystem::crossings(double t, const double* x, double* g) {
    record(t, x, row_.data());
    g[0] = row_[stop_->channel] - stop_->threshold;
}

void RigSystem::record(double t, const double* x, double* row) {
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

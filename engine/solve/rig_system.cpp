#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

RigSystem::RigSystem(const Network& network, std::optional<StopAt> stop)
    : network_(network),
      stop_(stop),
      pattern_(network.dependencies(), network.size()),
      plain_(network),
      dual_(network) {
    group_states();
    collect_picks();
}

/// Columns of one colour share a lane; eight colours make a sweep, through the components that its states touch.
void RigSystem::group_states() {
    const auto colour = colour_columns(pattern_, network_.state_count());
    for (std::uint32_t c = 0; c < colour.size(); ++c) {
        const auto g = colour[c] / dual_width;
        if (g >= groups_.size()) groups_.resize(g + 1);
        groups_[g].seeds.push_back({c, colour[c] % dual_width});
    }
    for (auto& g : groups_) {
        std::vector<std::uint32_t> states;
        for (const auto& s : g.seeds) states.push_back(s.state);
        g.active = network_.active(states);
    }
}

void RigSystem::collect_picks() {
    std::vector<std::pair<Group*, std::uint32_t>> place(network_.state_count());
    for (auto& g : groups_)
        for (const auto& s : g.seeds) place[s.state] = {&g, s.lane};
    for (std::uint32_t r = 0; r < pattern_.rows(); ++r)
        for (auto k = pattern_.start[r]; k < pattern_.start[r + 1]; ++k) {
            const auto [group, lane] = place[pattern_.column[k]];
            group->picks.push_back({k, r, lane});
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
    double sum = 0;  // one test for all: a sum is finite only if everything in it is
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
        for (const auto& s : g.seeds) dual_.x[s.state].d[s.lane] = 1;
        const bool accepted = network_.differentiate(dual_, plain_, g.active);
        for (const auto& s : g.seeds) dual_.x[s.state].d = Dual::Lanes{};
        if (!accepted) return false;
        for (const auto& p : g.picks) values[p.entry] = dual_.dx[p.row].d[p.lane];
    }
    return true;
}

/// Forward differences, colour by colour, for a network with a component that was built for doubles only.
bool RigSystem::differences(const double* x, double* values) {
    const std::vector<double> base = plain_.dx;
    const auto step = [&](std::uint32_t c) { return 1e-7 * std::max(std::fabs(x[c]), network_.nominal()[c]); };
    for (const auto& g : groups_)
        for (std::uint32_t lane = 0; lane < dual_width; ++lane) {
            for (const auto& s : g.seeds)
                if (s.lane == lane) plain_.x[s.state] = x[s.state] + step(s.state);
            const bool accepted = network_.evaluate(plain_);
            for (const auto& s : g.seeds)
                if (s.lane == lane) plain_.x[s.state] = x[s.state];
            if (!accepted) return false;
            for (const auto& p : g.picks)
                if (p.lane == lane) values[p.entry] = (plain_.dx[p.row] - base[p.row]) / step(pattern_.column[p.entry]);
        }
    return true;
}

void RigSystem::crossings(double t, const double* x, double* g) {
    std::copy_n(x, network_.size(), plain_.x.data());
    plain_.arena.t = t;
    if (network_.channels()[stop_->channel].field->kind != Kind::output) {
        network_.publish(plain_);
    } else {
        plain_.arena.recording = 1;
        evaluate(t, x);
    }
    g[0] = network_.channel(plain_, stop_->channel) - stop_->threshold;
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
    return fmt::format("{}: {} {:.6g} is outside {:.6g} .. {:.6g} (rejected {} times)",
                       network_.component_name(last_.component), last_.what, last_.value, last_.lo, last_.hi,
                       rejections_);
}

}  // namespace pullcast

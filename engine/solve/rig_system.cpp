#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

RigSystem::RigSystem(const Network& network, std::optional<StopAt> stop)
    : network_(network), stop_(stop), rows_(network.size()), plain_(network), dual_(network) {
    for (std::size_t k = 0; k < network.state_count(); ++k)  // sizes differ so that no two contributions cancel
        along_.push_back(network.nominal()[k] * (0.5 + std::fmod(0.6180339887498949 * static_cast<double>(k), 1)));
    whole_rate_.resize(network.size());
    if (network.differentiable()) trace_start();
    else rows_ = network.dependencies();
    plan_sweeps();
}

void RigSystem::trace_start() {
    for (std::uint32_t k = 0; k < network_.state_count(); ++k) rows_[k].push_back(k);
    std::vector<double> x(network_.size());
    network_.start(x.data());
    const auto& breaks = network_.breakpoints();
    for (const double t : {breaks.empty() ? 0 : breaks.front() - 1, breaks.empty() ? 1 : breaks.back() + 1}) {
        evaluate(t, x.data());
        trace();
    }
}

/// Adds what the rates depend on at the states that were evaluated last. True: something new.
bool RigSystem::trace() {
    ++traces_;
    std::size_t before = 0, after = 0;
    for (const auto& row : rows_) before += row.size();
    std::copy(plain_.x.begin(), plain_.x.end(), dual_.x.begin());
    dual_.arena.t = plain_.arena.t;
    std::vector<std::uint32_t> states;
    for (std::uint32_t first = 0; first < network_.state_count(); first += dual_width) {
        states.clear();
        for (auto k = first; k < std::min<std::size_t>(first + dual_width, network_.state_count()); ++k) {
            states.push_back(k);
            dual_.x[k].d[k - first] = std::numeric_limits<double>::quiet_NaN();
        }
        network_.differentiate(dual_, plain_, network_.active(states));
        for (const auto k : states) dual_.x[k].d = Dual::Lanes{};
        for (std::size_t r = 0; r < rows_.size(); ++r)
            for (const auto k : states)
                if (std::isnan(dual_.dx[r].d[k - first])) rows_[r].push_back(k);
    }
    for (auto& row : rows_) {
        std::sort(row.begin(), row.end());
        row.erase(std::unique(row.begin(), row.end()), row.end());
        after += row.size();
    }
    return after > before;
}

void RigSystem::plan_sweeps() {
    pattern_ = Pattern(rows_, network_.size());
    groups_.clear();
    group_states();
    collect_picks();
}

/// Columns of one colour share a lane; eight colours make a sweep, through the components that its states touch. The
/// check's colour comes first: low colours are those of many states, so that the first sweep runs nearly everything
/// anyway, and the last one little.
void RigSystem::group_states() {
    const auto colour = colour_columns(pattern_, network_.state_count());
    const std::uint32_t first = network_.differentiable() ? 1 : 0;
    for (std::uint32_t k = 0; k < colour.size(); ++k) {
        const auto g = (colour[k] + first) / dual_width;
        if (g >= groups_.size()) groups_.resize(g + 1);
        groups_[g].seeds.push_back({k, (colour[k] + first) % dual_width});
    }
    for (std::uint32_t k = 0; first > 0 && k < colour.size(); ++k)
        groups_.front().seeds.push_back({k, check_lane, along_[k]});
    for (auto& g : groups_) {
        std::vector<std::uint32_t> states;
        for (const auto& s : g.seeds) states.push_back(s.state);
        g.active = network_.active(states);
    }
}

void RigSystem::collect_picks() {
    std::vector<std::pair<Group*, std::uint32_t>> place(network_.state_count());
    for (auto& g : groups_)
        for (const auto& s : g.seeds)
            if (!network_.differentiable() || &g != &groups_.front() || s.lane != check_lane)
                place[s.state] = {&g, s.lane};
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
    grew_ = false;
    if (!evaluate(t, x)) return false;
    if (!network_.differentiable()) return differences(x, values);
    std::copy(plain_.x.begin(), plain_.x.end(), dual_.x.begin());
    dual_.arena.t = t;
    for (const auto& g : groups_) {
        for (const auto& s : g.seeds) dual_.x[s.state].d[s.lane] = s.size;
        const bool accepted = network_.differentiate(dual_, plain_, g.active);
        for (const auto& s : g.seeds) dual_.x[s.state].d = Dual::Lanes{};
        if (!accepted) return false;
        for (const auto& p : g.picks) values[p.entry] = dual_.dx[p.row].d[p.lane];
        if (&g == &groups_.front())
            for (std::size_t r = 0; r < rows_.size(); ++r) whole_rate_[r] = dual_.dx[r].d[check_lane];
    }
    if (complete(values) || !trace()) return true;
    plan_sweeps();
    return grew_ = true;
}

/// The entries give the same rates along the check's direction as the sweep did. What is missing of a row may be so
/// little that no Newton iteration would notice.
bool RigSystem::complete(const double* values) const {
    constexpr double of_row = 1e-7, of_nominal = 1e-10;
    for (std::uint32_t r = 0; r < pattern_.rows(); ++r) {
        double missing = whole_rate_[r], size = 0;
        for (auto k = pattern_.start[r]; k < pattern_.start[r + 1]; ++k) {
            const double part = values[k] * along_[pattern_.column[k]];
            missing -= part, size += std::fabs(part);
        }
        const double nominal = r < network_.state_count() ? network_.nominal()[r] : 1;
        if (std::fabs(missing) > of_row * size + of_nominal * nominal) return false;
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

#include <fmt/format.h>

#include <algorithm>
#include <cstring>
#include <pullcast/solve/direction_system.hpp>

namespace pullcast {

static_assert(sizeof(Dual) == DirectionSystem::group * sizeof(double), "a dual number is a group of the vector");

DirectionSystem::DirectionSystem(const Directions& directions, std::size_t first, std::optional<StopAt> stop)
    : directions_(directions),
      network_(directions.network()),
      first_(first),
      lanes_(std::min<std::size_t>(directions.size() - first, dual_width)),
      stop_(stop),
      rig_(network_, stop),
      sweeps_(network_, directions.shifts(first)),
      dual_(network_),
      trial_(network_),
      values_(network_.size()),
      rates_(network_.size()) {}

const double* DirectionSystem::values(const double* x) {
    for (std::size_t i = 0; i < values_.size(); ++i) values_[i] = x[i * group];
    return values_.data();
}

void DirectionSystem::start(double* x) const {
    std::vector<double> at(network_.size());
    std::fill_n(x, size(), 0.0);
    network_.start(at.data());
    for (std::size_t i = 0; i < at.size(); ++i) x[i * group] = at[i];
    for (std::size_t k = 0; k < lanes_; ++k)
        for (const auto& trial : directions_.trials(first_ + k)) {
            trial.network->start(at.data());
            for (std::size_t i = 0; i < at.size(); ++i) x[i * group + 1 + k] += trial.weight * at[i];
        }
}

bool DirectionSystem::derivative(double t, const double* x, double* dx) {
    if (!rig_.derivative(t, values(x), rates_.data())) return false;
    if (!network_.differentiable()) return by_differences(t, x, dx);
    std::memcpy(static_cast<void*>(dual_.x.data()), x, size() * sizeof(double));
    if (!sweeps_.evaluate(dual_, rig_.evaluated())) return false;
    std::memcpy(dx, static_cast<const void*>(dual_.dx.data()), size() * sizeof(double));
    return true;
}

/// `read(network, weight)` at each sample along a direction, states moved with the parameter, in trial_.
template <class Read> void DirectionSystem::along_trials(double t, const double* x, std::size_t lane, Read&& read) {
    trial_.arena.t = t;
    for (const auto& trial : directions_.trials(first_ + lane)) {
        for (std::size_t i = 0; i < trial_.x.size(); ++i)
            trial_.x[i] = x[i * group] + trial.shift * x[i * group + 1 + lane];
        read(*trial.network, trial.weight);
    }
}

/// For a network with a component that was built for doubles only.
bool DirectionSystem::by_differences(double t, const double* x, double* dx) {
    bool accepted = true;
    std::fill_n(dx, size(), 0.0);
    trial_.arena.recording = 0;
    for (std::size_t k = 0; k < lanes_; ++k)
        along_trials(t, x, k, [&](const Network& network, double weight) {
            accepted = network.evaluate(trial_) && accepted;
            for (std::size_t i = 0; i < rates_.size(); ++i) dx[i * group + 1 + k] += weight * trial_.dx[i];
        });
    for (std::size_t i = 0; i < rates_.size(); ++i) dx[i * group] = rates_[i];
    return accepted;
}

bool DirectionSystem::jacobian(double t, const double* x, double* entries) {
    return rig_.jacobian(t, values(x), entries);
}

void DirectionSystem::crossings(double t, const double* x, double* g) { rig_.crossings(t, values(x), g); }

std::string DirectionSystem::explain() {
    if (auto why = rig_.explain(); !why.empty()) return why;
    const Rejection& r = sweeps_.rejection();
    if (r.count == 0) return "";
    return fmt::format("{}, with a parameter moved: {} {:.6g} is outside {:.6g} .. {:.6g}",
                       network_.component_name(r.component), r.what, r.value, r.lo, r.hi);
}

void DirectionSystem::record(double t, const double* x, std::span<const std::size_t> channels, double* out) {
    std::fill_n(out, channels.size() * lanes_, 0.0);
    if (!network_.differentiable()) return record_by_differences(t, x, channels, out);
    rig_.derivative(t, values(x), rates_.data());
    std::memcpy(static_cast<void*>(dual_.x.data()), x, size() * sizeof(double));
    sweeps_.evaluate(dual_, rig_.evaluated());
    for (const std::size_t channel : channels) {
        const Dual* d = sweeps_.node_channel(dual_, channel);
        for (std::size_t k = 0; k < lanes_; ++k, ++out) {
            if (d) *out = d->d[k];
            else
                for (const auto& trial : directions_.trials(first_ + k))
                    *out += trial.weight *
                            sweeps_.output_channel(dual_, rig_.evaluated(), channel, *trial.network, k, trial.shift);
        }
    }
}

void DirectionSystem::record_by_differences(double t, const double* x, std::span<const std::size_t> channels,
                                            double* out) {
    trial_.arena.recording = 1;
    for (std::size_t k = 0; k < lanes_; ++k)
        along_trials(t, x, k, [&](const Network& network, double weight) {
            network.evaluate(trial_);
            for (std::size_t c = 0; c < channels.size(); ++c)
                out[c * lanes_ + k] += weight * network.channel(trial_, channels[c]);
        });
}

void DirectionSystem::stop_slopes(double t, const double* x, double* along, double& along_time) {
    record(t, x, {&stop_->channel, 1}, along);
    constexpr double step = 1e-5;  // s
    rig_.derivative(t, values(x), rates_.data());
    const std::vector<double> rate = rates_, at = values_;
    along_time = 0;
    for (const double h : {-step, step}) {
        for (std::size_t i = 0; i < at.size(); ++i) trial_.x[i] = at[i] + h * rate[i];
        trial_.arena.t = t + h;
        network_.publish(trial_);
        along_time += network_.channel(trial_, stop_->channel) / (2 * h);
    }
}

}  // namespace pullcast

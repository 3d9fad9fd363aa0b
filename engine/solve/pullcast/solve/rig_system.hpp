/// A network as the integrator sees it: a right-hand side and its exact sparse Jacobian. Dual sweeps differentiate
/// along eight colours of states at a time, each through the components that these states touch and no others.
///
/// The pattern is traced: a derivative that is not a number passes through every product, even one with zero, so what
/// it reaches in a sweep depends on the state that it was given to. A branch can hide a dependency for a while, so one
/// more colour, a direction along all states at once, checks every Jacobian; where it disagrees the pattern grows.
#pragma once
#include <optional>
#include <pullcast/network/network.hpp>
#include <pullcast/solve/integrator.hpp>
#include <pullcast/solve/pattern.hpp>
#include <pullcast/solve/stop_at.hpp>

namespace pullcast {

class RigSystem final : public System {
public:
    /// The network must outlive the system. `stop` is optional.
    RigSystem(const Network& network, std::optional<StopAt> stop);

    std::size_t size() const override { return network_.size(); }
    std::size_t error_tested() const override { return network_.state_count(); }
    const Pattern& pattern() const override { return pattern_; }
    bool derivative(double t, const double* x, double* dx) override;
    bool jacobian(double t, const double* x, double* values) override;
    bool pattern_grew() const override { return grew_; }
    std::size_t crossing_count() const override { return stop_ ? 1 : 0; }
    void crossings(double t, const double* x, double* g) override;
    std::string explain() override;
    std::string state_name(std::size_t i) const override { return network_.names()[i]; }

    /// Evaluates at a report point and copies all channels into `row`.
    void record(double t, const double* x, double* row);
    /// As the last derivative() left it.
    const Workspace<double>& evaluated() const { return plain_; }

    std::size_t dual_sweeps() const { return groups_.size(); }  ///< per Jacobian
    std::size_t traces() const { return traces_; }

private:
    static constexpr std::uint32_t check_lane = 0;  // of the first group
    struct Pick { std::uint32_t entry, row, lane; };
    struct Seed { std::uint32_t state, lane; double size = 1; };
    struct Group {
        std::vector<Seed> seeds;
        std::vector<Pick> picks;  // where the derivatives go
        Network::Active active;
    };

    void trace_start();
    bool trace();
    void plan_sweeps();
    void group_states();
    void collect_picks();
    bool complete(const double* values) const;

    bool evaluate(double t, const double* x);
    bool differences(const double* x, double* values);

    const Network& network_;
    std::optional<StopAt> stop_;
    Dependencies rows_;  // as traced so far
    Pattern pattern_;
    std::vector<Group> groups_;
    std::vector<double> along_;       // the check's direction
    std::vector<double> whole_rate_;  // along it
    bool grew_ = false;
    std::size_t traces_ = 0;
    Workspace<double> plain_;
    Workspace<Dual> dual_;
    Rejection last_;
    std::uint64_t rejections_ = 0;
    bool not_finite_ = false;
};

}  // namespace pullcast

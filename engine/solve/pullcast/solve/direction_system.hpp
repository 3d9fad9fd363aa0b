/// States and their derivatives along up to eight directions of parameters, as one problem for the integrator:
///     dx/dt = f(t, x, p)        ds_k/dt = df/dx s_k + df/dp_k
/// A component of the vector is a value and its derivatives, laid out as a dual number is.
#pragma once
#include <pullcast/solve/directions.hpp>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {

class DirectionSystem final : public System {
public:
    static constexpr std::size_t group = dual_width + 1;  // a value and its derivatives

    /// Directions `first` and following; places of lanes that are left over stay 0. `directions` must outlive it.
    DirectionSystem(const Directions& directions, std::size_t first, std::optional<StopAt> stop);

    std::size_t size() const override { return group * network_.size(); }
    std::size_t error_tested() const override { return group * network_.state_count(); }
    const Pattern& pattern() const override { return rig_.pattern(); }
    bool pattern_grew() const override { return rig_.pattern_grew(); }
    bool derivative(double t, const double* x, double* dx) override;
    bool jacobian(double t, const double* x, double* values) override;
    std::size_t crossing_count() const override { return rig_.crossing_count(); }
    void crossings(double t, const double* x, double* g) override;
    std::string explain() override;
    std::string state_name(std::size_t i) const override { return rig_.state_name(i); }

    RigSystem& rig() { return rig_; }  ///< of the values alone
    std::size_t lanes() const { return lanes_; }
    /// Initial states and what the parameters do to them; `x` holds size() numbers.
    void start(double* x) const;
    /// The values alone, valid until the next call of anything here.
    const double* values(const double* x);

    /// Derivatives of channels at a report point, scaled, one row of lanes() for each of `channels`. Channels of nodes
    /// by dual numbers; outputs, which are plain numbers, by differences along the direction.
    void record(double t, const double* x, std::span<const std::size_t> channels, double* out);
    /// The stop crossing's derivatives along the directions at fixed time, and along time; scaled.
    void stop_slopes(double t, const double* x, double* along, double& along_time);

private:
    bool by_differences(double t, const double* x, double* dx);
    void record_by_differences(double t, const double* x, std::span<const std::size_t> channels, double* out);
    template <class Read> void along_trials(double t, const double* x, std::size_t lane, Read&& read);

    const Directions& directions_;
    const Network& network_;
    std::size_t first_, lanes_;
    std::optional<StopAt> stop_;
    RigSystem rig_;
    DirectedSweeps sweeps_;
    Workspace<Dual> dual_;
    Workspace<double> trial_;
    std::vector<double> values_, rates_;
};

}  // namespace pullcast

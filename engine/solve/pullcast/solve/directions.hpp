/// A rig with directions: the networks that a derivative along its parameters takes. Const once built; threads share
/// it.
#pragma once
#include <memory>
#include <pullcast/network/directed_sweeps.hpp>
#include <pullcast/solve/parameter.hpp>
#include <span>

namespace pullcast {

class Directions {
public:
    /// Compiles the rig, and once more for each sample of each parameter. Throws RigError and std::invalid_argument.
    Directions(const RigSpec& rig, std::vector<Parameter> parameters);

    const Network& network() const { return *network_; }
    std::size_t size() const { return parameters_.size(); }
    const Parameter& parameter(std::size_t k) const { return parameters_[k]; }
    /// Along direction k everything is carried in units of this: d/dp times the scale.
    double scale(std::size_t k) const { return along_[k].scale; }

    struct Trial {
        const Network* network;
        double shift, weight;  // of the scaled parameter
    };
    std::span<const Trial> trials(std::size_t k) const { return along_[k].trials; }
    /// For directions `first` and following, up to one for each lane.
    std::vector<Shift> shifts(std::size_t first) const;

private:
    struct Along {
        double scale;
        std::vector<Trial> trials;
        std::vector<std::uint32_t> components;
    };
    std::vector<Parameter> parameters_;
    std::unique_ptr<const Network> network_;
    std::vector<std::unique_ptr<const Network>> moved_;
    std::vector<Along> along_;
};

}  // namespace pullcast

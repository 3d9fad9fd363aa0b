/// A right-hand side with its exact derivatives along directions that move states and parameters together.
///
/// States enter by dual numbers. A parameter is a plain double, so what it does is a difference: each component whose
/// parameter moves runs its sweeps once more as it stands in a network compiled with the parameter moved, at the same
/// states and inputs. The difference of what it writes is added to the dual sweep's derivatives where the component
/// writes, and the dual sweep carries it on. So derived constants and tables are covered, nothing but the moved
/// components runs twice, and no step-size noise of an integration comes in.
#pragma once
#include <pullcast/network/network.hpp>

namespace pullcast {

/// A component with a parameter moved: what it writes counts `weight` times along direction `lane`. The weights of a
/// direction's shifts add up to 0 for each component.
struct Shift {
    const Network* network;  // of the same rig but for that parameter; must outlive the sweeps
    std::uint32_t component;
    int lane;
    double weight;
};

class DirectedSweeps {
public:
    /// The network must outlive the sweeps. Allocates everything.
    DirectedSweeps(const Network& network, std::vector<Shift> shifts);

    /// The states and directions seeded in `w.x`, and the same states, evaluated, in `at`: fills in `w.dx`. False: a
    /// component rejected what it was given, and rejection() tells which. Neither allocates nor throws.
    bool evaluate(Workspace<Dual>& w, const Workspace<double>& at) noexcept;
    const Rejection& rejection() const { return rejection_; }

    /// Derivatives of a channel after `evaluate`; null for an output that no node carries.
    const Dual* node_channel(const Workspace<Dual>& w, std::size_t k) const;
    /// An output's channel after `evaluate`, a step of `shift` along a lane away, where the rig is as in `moved`:
    /// outputs are plain numbers. The output's own component runs, on what the others' derivatives say of its inputs.
    double output_channel(const Workspace<Dual>& w, const Workspace<double>& at, std::size_t k, const Network& moved,
                          std::size_t lane, double shift) noexcept;

private:
    /// Where a component writes, in the flat vectors of a workspace.
    struct Writes {
        std::vector<std::uint32_t> potentials, sums, flows;
    };
    struct Late {
        std::uint32_t row;
        int lane;
        double rate;
    };

    void run(const Network& network, std::uint32_t component, bool publishes);
    void add_published(Workspace<Dual>& w, const Workspace<double>& at, const Shift& s);
    void add_flows(Workspace<Dual>& w, const Workspace<double>& at, const Shift& s);

    const Network& network_;
    std::vector<Shift> shifts_;           // by component
    std::vector<Writes> writes_;          // by component
    Workspace<double> trial_;             // of one shifted component: the others' numbers are as in `at`
    std::vector<Late> late_;              // what shifts do to rates directly: a sweep may overwrite a rate
    std::vector<std::uint32_t> carrier_;  // by channel: index of a potential, or `unconnected`
    std::vector<std::uint32_t> owner_;    // by channel: component
    Rejection rejection_;
};

}  // namespace pullcast

/// A rig, compiled: components in contiguous storage, names resolved to indices, sweeps in order. Const once built;
/// every number that changes in a run is in a Workspace, so that threads share a network and nothing else.
#pragma once
#include <cstddef>
#include <memory>
#include <new>
#include <optional>
#include <pullcast/network/rig.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast {

/// Something that can be read off a run at a report point.
struct Channel {
    std::string name;           // "lid.gas.T", "blower.speed"
    std::string component, item;  // "lid", "gas.T"
    const char *unit, *doc;
    const Field* field;         // of the node or output
    double warn_lo, warn_hi;    // outside: the field's warning applies
};

/// Row r of the Jacobian may be non-zero in the columns dependencies[r] (rising).
using Dependencies = std::vector<std::vector<std::uint32_t>>;

template <class S> class Workspace;

class Network {
public:
    /// The components in the order of the rig's declaration.
    struct Part {
        std::string name;
        const ComponentType* type;
        std::map<std::string, std::string> connections;  // resolved: "component.node"
        std::uint32_t id;                                // in storage order
    };

    /// Throws RigError with everything that is wrong.
    explicit Network(const RigSpec& rig);
    Network(Network&&) = default;

    std::size_t state_count() const { return nominal_.size(); }
    std::size_t size() const { return names_.size(); }  ///< states, then accounts
    const std::vector<std::string>& names() const { return names_; }
    const std::vector<double>& nominal() const { return nominal_; }
    const Dependencies& dependencies() const { return dependencies_; }
    const std::vector<double>& breakpoints() const { return breakpoints_; }  ///< s, rising
    bool differentiable() const { return differentiable_; }  ///< every component came with dual sweeps

    /// Initial states; accounts at zero. `x` holds size() numbers.
    void start(double* x) const;

    /// One right-hand side at the time, states and mode set in the workspace. False: a component rejected the states.
    /// Neither allocates nor throws.
    bool evaluate(Workspace<double>& w) const noexcept;
    bool evaluate(Workspace<Dual>& w) const noexcept;

    /// The states that each sweep of a component depends on.
    struct Influence { std::vector<std::uint32_t> publish, flow, balance; };
    /// The sweeps that have anything to do with some states: what a derivative along these states needs to run.
    class Active {
        friend class Network;
        struct Call { const void* first; std::uint32_t count, id; const ComponentType* type; };
        std::vector<Call> publish, flow, balance;
    };
    Active active(std::span<const std::uint32_t> states) const;
    /// Derivatives of the right-hand side along the directions seeded in `w.x`, through the active components alone.
    /// `at` holds the same states, evaluated. Only the derivatives in `w.dx` mean anything afterwards.
    bool differentiate(Workspace<Dual>& w, const Workspace<double>& at, const Active& active) const noexcept;

    Stock stored(const double* x) const;
    Stock stored(const Part& part, const double* x) const;  ///< of one component; zeros where it holds nothing

    const std::vector<Channel>& channels() const { return channels_; }
    /// The publish sweep alone: potentials of all nodes at the states in the workspace. False: rejected.
    bool publish(Workspace<double>& w) const noexcept;
    /// One channel: of a node after `publish` or `evaluate`, of an output after `evaluate` with `recording`.
    double channel(const Workspace<double>& w, std::size_t k) const;
    /// Copies all channels from a workspace that was evaluated with `recording`. `row` holds channels().size() numbers.
    void record(const Workspace<double>& w, double* row) const;
    /// Lets the components that judge a pull as a whole fill in their outputs: `values` are rows as `record` wrote
    /// them, one for each of `time`. With `worst_from` (s) they may do so at the worst point from then on alone.
    void review(std::span<const double> time, std::span<double> values,
                std::optional<double> worst_from = std::nullopt) const;

    struct AccountInfo { std::string component; const Field* field; };
    const std::vector<AccountInfo>& accounts() const { return accounts_; }  ///< in the order of the states' tail

    const std::vector<Part>& parts() const { return parts_; }  ///< in the order of the rig's declaration
    const Part* find_role(std::string_view role) const;      ///< the first, or null

    std::string component_name(std::uint32_t id) const { return instances_.at(id).name; }
    /// Evaluates component by component and names the first that writes a number that is not finite; "" if none does.
    std::string find_not_finite(Workspace<double>& w) const;

private:
    friend class NetworkCompiler;
    friend class DirectedSweeps;
    template <class S> friend class Workspace;

    struct Instance {
        std::string name;
        const ComponentType* type;
        std::byte* data;
        std::vector<std::uint32_t> own, nodes[domain_count], ends[domain_count];
    };
    using Batch = Active::Call;
    struct Place { bool is_output; std::uint32_t index; };  // where a channel is read: in the outputs or the potentials

    template <class S> bool sweep(Workspace<S>& w) const noexcept;

    struct Aligned { void operator()(std::byte* p) const { ::operator delete[](p, std::align_val_t{64}); } };
    std::unique_ptr<std::byte[], Aligned> storage_;
    std::vector<std::shared_ptr<const void>> tables_;  // keeps the numbers of curves and maps alive
    std::vector<Instance> instances_;                  // by id: storage order
    std::vector<Influence> influences_;                // by id
    std::vector<Batch> publish_, flow_, balance_;
    std::uint32_t node_count_[domain_count] = {};
    std::uint32_t output_count_ = 0;
    std::vector<std::string> names_;
    std::vector<double> nominal_, breakpoints_;
    Dependencies dependencies_;
    std::vector<Channel> channels_;
    std::vector<Place> places_;
    std::vector<std::uint32_t> node_columns_[domain_count], output_columns_;  // channels of nodes and outputs
    std::vector<AccountInfo> accounts_;
    std::vector<Part> parts_;
    bool differentiable_ = true;
};

/// All changing numbers of one run for one scalar type.
template <class S>
class Workspace {
public:
    explicit Workspace(const Network& n);
    Workspace(const Workspace&) = delete;  // the arena points into the vectors
    Workspace& operator=(const Workspace&) = delete;
    Arena<S> arena;
    std::vector<S> x, dx;
    std::vector<double> output;

private:
    friend class Network;
    friend class DirectedSweeps;
    std::vector<S> potential_, flow_;
};

/// Members of a domain's potential and flow, in the order of the structs in domains.hpp.
struct DomainInfo {
    const char* name;
    std::vector<const char*> potential, unit, doc;
    int flow_size;
};
const DomainInfo& domain_info(std::uint8_t id);

}  // namespace pullcast

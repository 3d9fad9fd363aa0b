/// Resolves `end = "component.node"` against the components of a rig. A bare component serves where it has exactly one
/// node of the domain.
#pragma once
#include <pullcast/scenario/fitting.hpp>

namespace pullcast {

class Connections {
public:
    /// Components whose model is unknown (type null) match anything: their error is told elsewhere.
    Connections(const std::vector<FittedSection>& components, Diagnostics& d) : components_(components), d_(d) {}

    /// All connections of one component, those that are missing included.
    void bind(const FittedSection& f, ComponentSpec& spec) const;

private:
    struct Wanted {
        const Field& field;
        const Setting& setting;
        std::string what;  // `cooler.from = "duct.gas"`
    };
    std::optional<std::string> resolve(const Wanted& w) const;
    std::optional<std::string> only_node(const FittedSection& to, const Wanted& w) const;
    std::optional<std::string> named_node(const FittedSection& to, const std::string& node, const Wanted& w) const;
    std::optional<std::string> fail(const Wanted& w, const std::string& message, std::string hint) const;
    void report_missing(const FittedSection& f, const Field& field) const;

    const std::vector<FittedSection>& components_;
    Diagnostics& d_;
};

}  // namespace pullcast

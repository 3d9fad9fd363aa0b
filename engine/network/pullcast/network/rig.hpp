/// A rig as the scenario layer hands it to the network compiler: validated values in SI, names not yet resolved.
#pragma once
#include <map>
#include <memory>
#include <pullcast/plugin.hpp>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

namespace pullcast {

/// Owner of a curve's numbers; `dy` comes from `spline_slopes` or `shape_preserving_slopes` (tables_build.hpp).
struct CurveData {
    std::vector<double> x, y, dy;
    Curve view() const { return {x.data(), y.data(), dy.data(), static_cast<std::uint32_t>(x.size())}; }
};
struct MapData {
    std::vector<double> x, y, f, fx, fy, fxy;
    Map view() const {
        return {x.data(), y.data(), f.data(), fx.data(), fy.data(), fxy.data(), static_cast<std::uint32_t>(x.size()),
                static_cast<std::uint32_t>(y.size())};
    }
};

/// A number (SI), an integer or the index of a choice, or a table.
using ParameterValue =
    std::variant<double, std::int32_t, std::shared_ptr<const CurveData>, std::shared_ptr<const MapData>>;

struct ComponentSpec {
    std::string name;  // "blower"
    const ComponentType* type = nullptr;
    std::map<std::string, ParameterValue> parameters;  // by name; those left out take their preset
    std::map<std::string, std::string> connections;    // end, sees or reads -> "component.node"
};

struct RigSpec {
    std::vector<ComponentSpec> components;
};

/// One thing that keeps a rig from being compiled, told in names; the scenario layer adds the place in the file.
struct RigProblem {
    std::string component, key, message, hint;
};
struct RigError : std::runtime_error {
    std::vector<RigProblem> problems;
    explicit RigError(std::vector<RigProblem> p);
};

}  // namespace pullcast

/// What the component bench needs around it: types out of shared objects, slopes of tables, names of potentials.
#pragma once
#include <dlfcn.h>

#include <algorithm>
#include <cstddef>
#include <pullcast/network/rig.hpp>
#include <pullcast/plugin.hpp>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast::test {

// ---- types out of shared objects ----------------------------------------------------------------------------
inline const Manifest& manifest_of(const std::string& path) {
    void* handle = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL);  // never closed: types outlive everything
    if (!handle) throw std::runtime_error(dlerror());
    const auto symbol = reinterpret_cast<const Manifest* (*)()>(dlsym(handle, "pullcast_manifest"));
    if (!symbol) throw std::runtime_error(path + " has no pullcast_manifest");
    const Manifest& m = *symbol();
    if (m.problem) throw std::runtime_error(path + ": " + m.problem);
    return m;
}
inline const ComponentType* type_from_plugin(const std::string& path, const std::string& name) {
    const Manifest& m = manifest_of(path);
    for (std::uint32_t i = 0; i < m.type_count; ++i)
        if (m.types[i]->name == name) return m.types[i];
    throw std::runtime_error(path + " has no type " + name);
}
#ifdef PULLCAST_PLUGINS
/// A built-in type: "gas.volume" lives in gas.so.
inline const ComponentType* builtin(const std::string& name) {
    return type_from_plugin(std::string(PULLCAST_PLUGINS) + "/" + name.substr(0, name.find('.')) + ".so", name);
}
#endif

// ---- slopes of tables ---------------------------------------------------------------------------------------
/// Slopes at the grid points of the natural cubic spline (C2, curvature zero at the ends).
inline std::vector<double> natural_slopes(const std::vector<double>& x, const std::vector<double>& y) {
    const std::size_t n = x.size();
    std::vector<double> diagonal(n), slope(n);
    const auto h = [&](std::size_t k) { return x[k + 1] - x[k]; };
    const auto secant = [&](std::size_t k) { return (y[k + 1] - y[k]) / h(k); };
    diagonal[0] = 2, slope[0] = 3 * secant(0);  // row: 2 s0 + s1 = 3 secant
    double upper = 1;
    for (std::size_t k = 1; k < n; ++k) {
        const bool last = k + 1 == n;
        const double lower = last ? 1 : 1 / h(k - 1), factor = lower / diagonal[k - 1];
        diagonal[k] = (last ? 2 : 2 / h(k - 1) + 2 / h(k)) - factor * upper;
        slope[k] = last ? 3 * secant(k - 1) : 3 * (secant(k - 1) / h(k - 1) + secant(k) / h(k));
        slope[k] -= factor * slope[k - 1];
        upper = last ? 0 : 1 / h(k);
    }
    for (std::size_t k = n; k-- > 0;) {
        const double above = k + 1 == n ? 0 : (k == 0 ? 1 : 1 / h(k)) * slope[k + 1];
        slope[k] = (slope[k] - above) / diagonal[k];
    }
    return slope;
}
/// Slopes that never overshoot (C1): harmonic mean of the neighbouring secants, zero where they disagree in sign.
inline std::vector<double> shape_preserving(const std::vector<double>& x, const std::vector<double>& y) {
    const std::size_t n = x.size();
    const auto secant = [&](std::size_t k) { return (y[k + 1] - y[k]) / (x[k + 1] - x[k]); };
    std::vector<double> slope(n);
    slope[0] = secant(0), slope[n - 1] = secant(n - 2);
    for (std::size_t k = 1; k + 1 < n; ++k) {
        const double a = secant(k - 1), b = secant(k);
        slope[k] = a * b > 0 ? 2 * a * b / (a + b) : 0;
    }
    return slope;
}
inline std::vector<double> slopes(bool monotone, const std::vector<double>& x, const std::vector<double>& y) {
    return monotone ? shape_preserving(x, y) : natural_slopes(x, y);
}
/// A map with its slopes; `f[i * y.size() + j]` stands at (x[i], y[j]).
inline MapData with_slopes(bool monotone, std::vector<double> x, std::vector<double> y, std::vector<double> f) {
    const std::size_t nx = x.size(), ny = y.size();
    MapData m{std::move(x), std::move(y), std::move(f), {}, {}, {}};
    if (m.f.size() != nx * ny) throw std::invalid_argument("a map needs x.size() * y.size() values");
    const auto along_x = [&](const std::vector<double>& of) {
        std::vector<double> out(nx * ny), column(nx);
        for (std::size_t j = 0; j < ny; ++j) {
            for (std::size_t i = 0; i < nx; ++i) column[i] = of[i * ny + j];
            const auto s = slopes(monotone, m.x, column);
            for (std::size_t i = 0; i < nx; ++i) out[i * ny + j] = s[i];
        }
        return out;
    };
    m.fx = along_x(m.f);
    for (std::size_t i = 0; i < nx; ++i) {
        const auto from = m.f.begin() + static_cast<std::ptrdiff_t>(i * ny);
        const auto s = slopes(monotone, m.y, {from, from + static_cast<std::ptrdiff_t>(ny)});
        m.fy.insert(m.fy.end(), s.begin(), s.end());
    }
    m.fxy = along_x(m.fy);
    return m;
}

// ---- what goes in and what comes out, as flat lists ---------------------------------------------------------
/// Derivatives of every result with respect to every input: `d("flow from.m", "from.p")`, or by index [result][input].
struct Derivatives {
    std::vector<std::string> results, inputs;
    std::vector<std::vector<double>> d;
    double operator()(const std::string& result, const std::string& input) const {
        return d[index(results, result)][index(inputs, input)];
    }
    static std::size_t index(const std::vector<std::string>& names, const std::string& name) {
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) throw std::out_of_range("no such name: " + name);
        return static_cast<std::size_t>(found - names.begin());
    }
};

/// Numbers in one potential and one flow of each domain, in the order of their members, with the members' names.
struct DomainLayout {
    std::size_t potentials, flows;
    const char* potential_names[5];
    const char* flow_names[3];
};
inline constexpr DomainLayout domain_layout[domain_count] = {
    {5, 3, {"p", "T", "h", "rho", "w"}, {"m", "H", "mw"}},  // Gas
    {3, 2, {"p", "T", "h"}, {"m", "H"}},                    // Coolant
    {1, 1, {"T"}, {"Q"}},                                   // Heat
    {1, 1, {"omega"}, {"tau"}},                             // Shaft
    {1, 0, {"value"}, {}},                                  // Signal
};

}  // namespace pullcast::test

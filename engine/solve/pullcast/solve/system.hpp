/// What the integrator asks of a problem dx/dt = f(t, x): the network implements it, and so do the tests.
#pragma once
#include <cstddef>
#include <pullcast/solve/pattern.hpp>
#include <string>

namespace pullcast {

/// One virtual call per right-hand side, none per component. `derivative`, `jacobian` and `crossings` may be called at
/// any moment of a step and must not allocate; should one throw nevertheless, the integrator carries the message across
/// the C frames and reports it.
struct System {
    virtual ~System() = default;

    /// States first, then accounts. May be a multiple of pattern().rows(): then every component is a group of
    /// neighbours, a value and its derivatives along some directions, and the pattern is the values' own.
    virtual std::size_t size() const = 0;
    /// The first so many of size() take part in error norms; the rest (accounts) are integrated by the same formula.
    virtual std::size_t error_tested() const { return size(); }
    /// Of df/dx of the values. Rows of accounts belong to it: without them sums over states and accounts would drift.
    virtual const Pattern& pattern() const = 0;

    /// dx = f(t, x). False rejects the state: the integrator tries a smaller step, and explain() should tell why.
    virtual bool derivative(double t, const double* x, double* dx) = 0;
    /// df/dx, one value per entry of the pattern. False rejects the state.
    virtual bool jacobian(double t, const double* x, double* values) = 0;
    /// The last jacobian() met an entry outside the pattern: pattern() has it now, and the values have to be asked for
    /// again. Rare; may allocate.
    virtual bool pattern_grew() const { return false; }

    /// Functions whose sign changes stop the integrator.
    virtual std::size_t crossing_count() const { return 0; }
    virtual void crossings(double /*t*/, const double* /*x*/, double* /*g*/) {}

    /// The last rejection in names, e.g. "blower: pressure ratio 4.7 is outside the map (1.0 .. 3.2)"; may be
    /// empty. Asked only after a rejection in the step that failed.
    virtual std::string explain() { return {}; }
    virtual std::string state_name(std::size_t i) const { return "state " + std::to_string(i); }
    virtual std::string crossing_name(std::size_t i) const { return "crossing " + std::to_string(i); }
};

}  // namespace pullcast

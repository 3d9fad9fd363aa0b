/// Stiff integration of a System by CVODES (variable-order BDF, Newton iteration), one step at a time, with its own
/// vectors and sparse LU. It never steps past the time it is asked to reach, stops at sign changes of the system's
/// crossings, and interpolates within the last step.
#pragma once
#include <cstdint>
#include <memory>
#include <pullcast/solve/system.hpp>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast {

/// A run that cannot go on; the text says where, why in the system's own names, and what to try.
struct SolveError : std::runtime_error {
    double t;  // s, the last time reached
    SolveError(double time, const std::string& message) : std::runtime_error(message), t(time) {}
};

class Integrator {
public:
    struct Options {
        double rtol = 1e-6;
        std::vector<double> atol;          // of every component, greater than 0
        long setup_every = 5;              // steps between factorisations at most, and
        long jacobian_every = 5;           // before one of them takes a new Jacobian; both sooner where Newton asks
        double max_step = 0;               // s, 0: any
        double min_step = 1e-12;           // s, where the run stops with an error
        std::uint64_t max_steps = 100000;  // from one start to the next
        bool stock = false;                // the package's vectors, dense LU, differences and intervals: to compare
    };
    struct Statistics {  // since construction, over all starts
        std::uint64_t steps, derivatives, jacobians, factorisations, dense_factorisations, newton_iterations,
            error_test_fails, newton_fails, rejections;
    };
    enum class Stop { step, reached, crossing };

    /// `system` must outlive the integrator. Allocates everything. Throws std::invalid_argument for bad options.
    Integrator(System& system, Options options);
    ~Integrator();
    Integrator(const Integrator&) = delete;
    Integrator& operator=(const Integrator&) = delete;

    /// Begins at x0 with no memory of earlier steps: at the outset, after a breakpoint, after a state was changed.
    void start(double t0, const double* x0);

    /// One step towards `t_end`, at most up to it. Until it is reached the system is asked about times before `t_end`
    /// only, and start(t_end, ...) asks about t_end itself: a jump there needs no more than `t >= t_end` in the system.
    /// Does not allocate. Throws SolveError, and std::invalid_argument for a `t_end` before the last step's end.
    Stop step(double t_end);
    /// Steps until `t_end` or a crossing; `each_step(time())` after every one of them.
    template <class F> Stop advance(double t_end, F&& each_step) {
        for (;;) {
            const Stop stop = step(t_end);
            each_step(time());
            if (stop != Stop::step) return stop;
        }
    }
    Stop advance(double t_end) {
        return advance(t_end, [](double) {});
    }

    double time() const;
    const double* state() const;             // at time()
    double step_begin() const;               // the last step, which may
    double step_end() const;                 // reach beyond time() after a crossing
    void interpolate(double t, double* x) const;  // step_begin() <= t <= step_end(), else std::invalid_argument
    /// After Stop::crossing: +1 where a crossing went up through zero, -1 where down, 0 elsewhere.
    std::span<const int> crossed() const;
    Statistics statistics() const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace pullcast

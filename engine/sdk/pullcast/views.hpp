/// The three sweeps of a right-hand side, each with a view that can name only what earlier sweeps wrote, so an
/// algebraic loop does not compile:
///   publish   own states, nodes named by `Reads`  ->  potentials of own nodes
///   flow      all potentials, own states          ->  flows into attached nodes, rates of own states
///   balance   summed flows at own nodes           ->  rates of own states
/// No view allocates or throws. A sweep that meets an impossible value calls `reject`: the integrator then tries a
/// smaller step, and the reason is kept for the message.
#pragma once
#include <cstddef>
#include <cstring>
#include <pullcast/domains.hpp>
#include <pullcast/dual.hpp>

namespace pullcast {

inline constexpr std::uint32_t unconnected = 0xffffffff;

// ---- handles: members of a component that the engine fills in -----------------------------------------------
template <class D> struct Node { std::uint32_t i = unconnected; };   ///< "I publish this node"
template <class D> struct End { std::uint32_t i = unconnected; };    ///< "I move something into or out of that node"
template <class D> struct Sees { std::uint32_t i = unconnected; };   ///< "my flows depend on that node"
template <class D> struct Reads { std::uint32_t i = unconnected; };  ///< "what I publish depends on that node"
struct State { std::uint32_t i = unconnected; };
struct States {                                                      ///< a row of states, one per cell
    std::uint32_t i = unconnected, n = 0;
    State operator[](std::uint32_t k) const { return {i + k}; }
};
struct Account { std::uint32_t i = unconnected; };  ///< integral over the run of a rate set in a sweep (the ledger)
struct Output { std::uint32_t i = unconnected; };   ///< a number for people: report, CSV, warnings

/// Why a sweep refused its inputs. The text lives as long as the plugin.
struct Rejection {
    std::uint32_t component = unconnected, count = 0;
    const char* what = nullptr;
    double value = 0, lo = 0, hi = 0;
};

/// All numbers that change during a run, for one scalar type. Plain data: it crosses the plugin boundary.
template <class S>
struct Arena {
    double t = 0;
    const S* x = nullptr;                   // states, then accounts
    S* dx = nullptr;
    void* potential[domain_count] = {};
    void* flow[domain_count] = {};
    double* output = nullptr;
    std::uint32_t component = 0;            // whose sweep is running
    std::uint32_t recording = 0;            // outputs are wanted: this is a report point, not a trial of the integrator
    Rejection rejection;
};

template <class S>
class View {
protected:
    Arena<S>& a_;
    template <class D> auto& potential(std::uint32_t i) const {
        return static_cast<typename D::template Potential<S>*>(a_.potential[D::id])[i];
    }
    template <class D> auto& sum(std::uint32_t i) const {
        return static_cast<typename D::template Flow<S>*>(a_.flow[D::id])[i];
    }

public:
    using Scalar = S;
    explicit View(Arena<S>& a) : a_(a) {}
    double time() const { return a_.t; }
    const S& operator[](State s) const { return a_.x[s.i]; }
    /// True at report points only: guard numbers that the integrator does not need.
    bool recording() const { return a_.recording != 0; }
    void output(Output o, const S& number) const { a_.output[o.i] = value(number); }
    /// Refuses the present state; the first reason of an evaluation is kept, all are counted.
    void reject(const char* what, const S& number, double lo, double hi) const {
        auto& r = a_.rejection;
        if (!r.count++) r = {a_.component, 1, what, value(number), lo, hi};
    }
    template <class H> static bool connected(H handle) { return handle.i != unconnected; }
};

template <class S>
class Publish : public View<S> {
public:
    using View<S>::View;
    using View<S>::operator[];
    template <class D> const auto& operator[](Reads<D> r) const { return this->template potential<D>(r.i); }
    template <class D> void operator()(Node<D> n, const typename D::template Potential<S>& p) const {
        this->template potential<D>(n.i) = p;
    }
};

template <class S>
class Flow : public View<S> {
public:
    using View<S>::View;
    using View<S>::operator[];
    template <class D> const auto& operator[](Reads<D> r) const { return this->template potential<D>(r.i); }
    template <class D> const auto& operator[](Sees<D> s) const { return this->template potential<D>(s.i); }
    template <class D> const auto& operator[](End<D> e) const { return this->template potential<D>(e.i); }
    template <class D> const auto& operator[](Node<D> n) const { return this->template potential<D>(n.i); }
    S& rate(State s) const { return this->a_.dx[s.i]; }
    S& rate(Account a) const { return this->a_.dx[a.i]; }

    /// Adds a flow into one node. What is put must come from an own state or from an account; `transfer` needs neither.
    template <template <class> class H, class D>
    void put(H<D> to, const typename D::template Flow<S>& f) const {
        add(sum_of(to), f);
    }
    /// Debits one node and credits another of the same domain in one call. A shaft has no transfer: put torques.
    template <template <class> class HA, template <class> class HB, class D>
    void transfer(HA<D> from, HB<D> to, const typename D::template Flow<S>& f) const {
        subtract(sum_of(from), f);
        add(sum_of(to), f);
    }

private:
    template <class D> auto& sum_of(End<D> e) const { return this->template sum<D>(e.i); }
    template <class D> auto& sum_of(Node<D> n) const { return this->template sum<D>(n.i); }

    static void add(Gas::Flow<S>& n, const Gas::Flow<S>& f) { n.m += f.m, n.H += f.H, n.mw += f.mw; }
    static void add(Coolant::Flow<S>& n, const Coolant::Flow<S>& f) { n.m += f.m, n.H += f.H; }
    static void add(Heat::Flow<S>& n, const Heat::Flow<S>& f) { n.Q += f.Q; }
    static void add(Shaft::Flow<S>& n, const Shaft::Flow<S>& f) { n.tau += f.tau; }
    static void subtract(Gas::Flow<S>& n, const Gas::Flow<S>& f) { n.m -= f.m, n.H -= f.H, n.mw -= f.mw; }
    static void subtract(Coolant::Flow<S>& n, const Coolant::Flow<S>& f) { n.m -= f.m, n.H -= f.H; }
    static void subtract(Heat::Flow<S>& n, const Heat::Flow<S>& f) { n.Q -= f.Q; }
};

template <class S>
class Balance : public View<S> {
public:
    using View<S>::View;
    using View<S>::operator[];
    template <class D> const auto& operator[](Node<D> n) const { return this->template sum<D>(n.i); }
    template <class D> const auto& potential(Node<D> n) const { return View<S>::template potential<D>(n.i); }
    S& rate(State s) const { return this->a_.dx[s.i]; }
    S& rate(Account a) const { return this->a_.dx[a.i]; }
};

/// What a pull recorded: one row of channels a report point. Plain data: it crosses the plugin boundary.
struct Recorded {
    std::uint32_t points = 0, channels = 0;
    const double* time = nullptr;                          // s, by point
    double* values = nullptr;                              // row by row
    const std::uint32_t* node_column[domain_count] = {};   // by node: column of its first potential
    const std::uint32_t* output_column = nullptr;          // by output
    std::uint32_t worst_only = 0;                          // see Review
    double worst_from = 0;                                 // s
};

/// All report points of a finished pull, for a component that judges them together (`review`): work that is too heavy
/// for a sweep, and whose results nothing in the pull depends on. Called once, in one thread; may allocate, must not
/// throw. Nodes are read as the pull left them; only own outputs may be written.
class Review {
    const Recorded& r_;

public:
    explicit Review(const Recorded& r) : r_(r) {}
    std::size_t points() const { return r_.points; }
    double time(std::size_t point) const { return r_.time[point]; }
    /// Potentials of a node at a report point, SI.
    template <template <class> class H, class D>
    typename D::template Potential<double> at(H<D> handle, std::size_t point) const {
        using P = typename D::template Potential<double>;
        P p;
        std::memcpy(&p, &r_.values[point * r_.channels + r_.node_column[D::id][handle.i]], sizeof p);
        return p;
    }
    double& output(Output o, std::size_t point) const {
        return r_.values[point * r_.channels + r_.output_column[o.i]];
    }
    /// Only the report point where the component judges worst is asked about, of those at `worst_from` and later. What
    /// does not help to find it may be left out everywhere else; what is worked out is as without this.
    bool worst_only() const { return r_.worst_only != 0; }
    /// Where an output is least, of the points at `worst_from` and later (the last one where none is).
    std::size_t least(Output o) const {
        std::size_t best = 0;
        while (best + 1 < points() && time(best) < r_.worst_from) ++best;
        for (std::size_t k = best; k < points(); ++k)
            if (output(o, k) < output(o, best)) best = k;
        return best;
    }
    template <class H> static bool connected(H handle) { return handle.i != unconnected; }
};

/// Initial states, written by `start`.
class Start {
    double* x_;

public:
    explicit Start(double* x) : x_(x) {}
    double& operator[](State s) const { return x_[s.i]; }
};

/// What a component holds, computed from its states by `stored`: the ledger's stock.
struct Stock {
    double energy = 0, gas = 0, water = 0, coolant = 0;  // J, kg moist gas, kg vapour, kg coolant
};
class Held {
    const double* x_;

public:
    explicit Held(const double* x) : x_(x) {}
    double operator[](State s) const { return x_[s.i]; }
};

}  // namespace pullcast

#include "conformance_checks.hpp"

#include <fmt/format.h>

#include <pullcast/media/moist_air.hpp>
#include <string_view>

#include "allocation_count.hpp"
#include "bench_review.hpp"
#include "conformance_subject.hpp"

namespace pullcast::test {
namespace {

/// Amounts per second of the four conserved quantities, and the sum of their magnitudes.
struct Amounts {
    static constexpr const char* names[4] = {"energy", "gas", "water", "coolant"};
    std::array<double, 4> sum{}, magnitude{};

    void add(int quantity, double amount) {
        sum[static_cast<std::size_t>(quantity)] += amount;
        magnitude[static_cast<std::size_t>(quantity)] += std::fabs(amount);
    }
    void add(const Gas::Flow<double>& f, double sign) { add(0, sign * f.H), add(1, sign * f.m), add(2, sign * f.mw); }
    void add(const Coolant::Flow<double>& f, double sign) { add(0, sign * f.H), add(3, sign * f.m); }
};

/// What enters the component: into its own nodes from others, out of other nodes by itself (sign turned), accounts.
Amounts entering(Bench& b) {
    Amounts in;
    for (const auto& n : b.nodes()) {
        const double sign = n.own ? 1 : -1;
        const auto flow = [&]<class D>(D) { return n.own ? b.inject<D>(n.name) : b.flow_into<D>(n.name); };
        if (n.domain == Gas::id) in.add(flow(Gas{}), sign);
        if (n.domain == Coolant::id) in.add(flow(Coolant{}), sign);
        if (n.domain == Heat::id) in.add(0, sign * flow(Heat{}).Q);
        if (n.domain == Shaft::id) in.add(0, sign * flow(Shaft{}).tau * b.shaft(n.name).omega);
    }
    std::size_t account = b.state_count();
    for (const Field& f : b.fields()) {
        if (f.kind != Kind::account) continue;
        const double rate = b.rates()[account++];
        if (f.ledger != Ledger::meter) in.add(static_cast<int>(f.ledger), rate);
    }
    return in;
}

std::array<double, 4> as_array(const Stock& s) { return {s.energy, s.gas, s.water, s.coolant}; }

/// d(stored)/dt along the present rates, and in `noise` the rounding error of the difference.
std::array<double, 4> stored_rate(const Bench& b, std::array<double, 4>& noise) {
    const auto &x = b.states(), &dx = b.rates();
    double h = 1;
    for (std::size_t i = 0; i < b.state_count(); ++i)
        if (dx[i] != 0) h = std::min(h, 1e-3 * scale_of(b.inputs()[i]) / std::fabs(dx[i]));
    const auto at = [&](double steps) {
        auto moved = x;
        for (std::size_t i = 0; i < b.state_count(); ++i) moved[i] += steps * h * dx[i];
        return as_array(b.stored(moved.data()));
    };
    const auto a = at(-2), c = at(-1), d = at(1), e = at(2);
    std::array<double, 4> rate{};
    for (std::size_t q = 0; q < 4; ++q) {
        rate[q] = (8 * (d[q] - c[q]) - (e[q] - a[q])) / (12 * h);
        noise[q] = 1e-15 * std::fabs(d[q]) / h;
    }
    return rate;
}

void check_ledger(Bench& b, Faults& faults, const std::string& where) {
    std::array<double, 4> noise{};
    const auto rate = stored_rate(b, noise);
    const Amounts in = entering(b);
    for (std::size_t q = 0; q < 4; ++q) {
        const double residual = rate[q] - in.sum[q];
        const double allowed = 1e-9 * (std::fabs(rate[q]) + in.magnitude[q]) + noise[q];
        if (!(std::fabs(residual) <= allowed))
            faults.push_back(fmt::format("{}: {} does not close: stores {:.9g}, {:.9g} enters, residual {:.3g}", where,
                                         Amounts::names[q], rate[q], in.sum[q], residual));
    }
}

/// Ends between which a stream runs.
struct Stream {
    const char *from, *to;
};
constexpr Stream streams[] = {{"from", "to"}, {"coolant_in", "coolant_out"}};
constexpr std::string_view pushing_roles[] = {"blower", "pump"};

template <class D> bool has_stream(const Bench& b, const Stream& s) {
    const auto attached = [&](const char* name) {
        const auto& all = b.nodes();
        return std::any_of(all.begin(), all.end(),
                           [&](const auto& n) { return n.name == name && n.domain == D::id && !n.own; });
    };
    return attached(s.from) && attached(s.to);
}

/// The state whose rate depends on the pressure at `from` and that carries the flow out of `to`, or -1.
int carrying_state(Bench& b, const Stream& s) {
    const Derivatives d = b.evaluate_dual();
    const std::string flow = std::string("flow ") + s.to + ".m", p = std::string(s.from) + ".p";
    if (d(flow, p) != 0) return -1;
    for (std::size_t i = 0; i < b.state_count(); ++i)
        if (d.d[Derivatives::index(d.results, flow)][i] != 0 && d.d[i][Derivatives::index(d.inputs, p)] != 0)
            return static_cast<int>(i);
    return -1;
}

/// Flow from `from` to `to`, or the acceleration of the state that carries it, from rest.
template <class D> double push(Bench& b, const Stream& s, int carrier) {
    b.evaluate();
    return carrier < 0 ? b.flow_into<D>(s.to).m : b.rates()[static_cast<std::size_t>(carrier)];
}

template <class D> void check_stream(Bench& b, const Stream& s, Random& r, Faults& faults, const std::string& where) {
    const auto pushing = std::find(std::begin(pushing_roles), std::end(pushing_roles), b.type().role);
    const bool pushes = pushing != std::end(pushing_roles);
    draw(b, r, Regime::anywhere);
    if (pushes) turn_forward(b);
    auto &from = b.potential<D>(s.from), &to = b.potential<D>(s.to);
    if (from.p < to.p) std::swap(from, to);
    if constexpr (std::is_same_v<D, Gas>)  // a machine's flow follows the density that it draws in
        if (pushes) to = media::gas_state(to.p, from.T, from.w);
    const int carrier = carrying_state(b, s);
    if (carrier >= 0) *b.inputs()[static_cast<std::size_t>(carrier)].at = 0;
    const double ahead = push<D>(b, s, carrier);
    std::swap(from, to);
    const double back = push<D>(b, s, carrier);
    from = to;
    const double level = push<D>(b, s, carrier);
    const auto report = [&](const char* what) {
        faults.push_back(fmt::format("{}: {} -> {} {} (falling pressure {:.6g}, rising {:.6g}, level {:.6g})", where,
                                     s.from, s.to, what, ahead, back, level));
    };
    if (!std::isfinite(ahead + back + level)) return report("is not finite");
    if (ahead < back) return report("runs against the pressure");
    if (pushes || (ahead == 0 && back == 0)) return;
    if (!(ahead > 0 && back < 0)) return report("does not reverse");
    if (std::fabs(level) > 1e-6 * (ahead - back)) return report("runs between equal states");
}

void check_finite(Bench& b, Faults& faults, const std::string& where) {
    b.evaluate();
    if (b.rejected()) return faults.push_back(where + ": rejected: " + b.rejected());
    const auto values = b.values();
    for (std::size_t r = 0; r < values.size(); ++r)
        if (!std::isfinite(values[r])) faults.push_back(where + ": '" + b.results()[r] + "' is infinite");
    const Derivatives d = b.evaluate_dual();
    for (std::size_t r = 0; r < d.d.size(); ++r)
        for (std::size_t i = 0; i < d.d[r].size(); ++i)
            if (!std::isfinite(d.d[r][i]))
                faults.push_back(where + ": derivative of '" + d.results[r] + "' by '" + d.inputs[i] + "' is infinite");
}

/// Speeds and carried flows run the other way; pressures of the ends of each stream change places.
void turn_around(Bench& b) {
    for (auto& in : b.inputs()) {
        const bool shaft = in.domain == Shaft::id && !in.injected;
        if (shaft || in.injected) *in.at = -*in.at;
    }
    for (const Field& f : b.fields())
        if (f.kind == Kind::state && (std::string_view(f.unit) == "kg/s" || std::string_view(f.unit) == "rad/s"))
            for (std::size_t k = 0; k < b.cells(f.name); ++k)
                b.state(f.name, k) = std::clamp(-b.state(f.name, k), f.lo, f.hi);
    for (const Stream& s : streams) {
        if (has_stream<Gas>(b, s)) std::swap(b.gas(s.from), b.gas(s.to));
        if (has_stream<Coolant>(b, s)) std::swap(b.coolant(s.from), b.coolant(s.to));
    }
}

void check_review(Bench& b, int points, Random& r, Faults& faults, const std::string& where) {
    Recording before(b);
    for (int k = 0; k < points; ++k) {
        do {
            draw(b, r, Regime::anywhere);
            b.evaluate();
        } while (b.rejected());
        before.add(0.05 * k);
    }
    Recording once = before, again = before;
    once.review(), again.review();
    const auto &old = before.values(), &a = once.values(), &c = again.values();
    for (std::size_t k = 0; k < a.size() && faults.size() < 5; ++k) {
        const auto name = once.name_of(k);
        if (!once.is_own_output(k) && a[k] != old[k]) faults.push_back(where + ": review writes " + name);
        if (once.is_own_output(k) && !std::isfinite(a[k]))
            faults.push_back(where + ": review: " + name + " is not finite");
        if (std::memcmp(&a[k], &c[k], sizeof a[k]) != 0)
            faults.push_back(where + ": review: " + name + " changes from call to call");
    }
}

}  // namespace

Faults conserves(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(100 + variant));
        int accepted = 0;
        constexpr int draws = 200;
        for (int k = 0; k < draws && faults.size() < 5; ++k) {
            draw(b, r, k % 4 == 3 ? Regime::near_rest : Regime::anywhere);
            b.evaluate();
            if (b.rejected()) continue;
            ++accepted;
            check_ledger(b, faults, fmt::format("variant {}, draw {}", variant, k));
        }
        if (accepted < draws / 4 && faults.empty())
            faults.push_back(fmt::format("variant {}: accepts {} of {} plausible states", variant, accepted, draws));
    }
    return faults;
}

Faults reverses(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(200 + variant));
        for (int k = 0; k < 100 && faults.size() < 5; ++k)
            for (const Stream& s : streams) {
                const auto where = fmt::format("variant {}, draw {}", variant, k);
                if (has_stream<Gas>(b, s)) check_stream<Gas>(b, s, r, faults, where);
                if (has_stream<Coolant>(b, s)) check_stream<Coolant>(b, s, r, faults, where);
            }
    }
    return faults;
}

Faults finite(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(300 + variant));
        for (int k = 0; k < 30 && faults.size() < 5; ++k) {
            const auto where = fmt::format("variant {}, draw {}", variant, k);
            draw(b, r, Regime::at_rest);
            check_finite(b, faults, where + ", at rest");
            draw(b, r, Regime::near_rest);
            check_finite(b, faults, where + ", near rest");
            draw(b, r, Regime::anywhere);
            b.evaluate();
            const bool plausible = !b.rejected();
            turn_around(b);
            b.evaluate();
            if (!plausible || b.rejected()) continue;
            check_finite(b, faults, where + ", turned around");
            b.evaluate();
            check_ledger(b, faults, where + ", turned around");
        }
    }
    return faults;
}

Faults reviews(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; type.review && variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(500 + variant));
        for (const int points : {0, 1, 20})
            check_review(b, points, r, faults, fmt::format("variant {}, {} points", variant, points));
    }
    return faults;
}

Faults allocation_free(const ComponentType& type) {
    Faults faults;
    for (int variant = 0; variant < variant_count(type); ++variant) {
        Bench b = make_subject(type, variant);
        Random r(static_cast<std::uint64_t>(400 + variant));
        for (int k = 0; k < 20 && faults.empty(); ++k) {
            draw(b, r, k % 2 ? Regime::near_rest : Regime::anywhere);
            b.recording = k % 4 < 2;
            const auto before = allocation_count();
            b.evaluate();
            b.sweep_dual(0);
            if (const auto made = allocation_count() - before)
                faults.push_back(fmt::format("variant {}: {} heap allocations in one evaluation", variant, made));
        }
    }
    return faults;
}

}  // namespace pullcast::test

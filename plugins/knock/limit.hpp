/// What the knock integral says about operating points: octane required over spark, and from it the knock-limited
/// spark, the octane number in hand, how much hotter the charge could be, and how the limit moves.
///
///   ON_required(theta) = 100 (s I(theta))^(1/3.402)       s: see end_gas.cpp
///   limit:     ON_required(limit) = ON_fuel
///
/// Beyond some 30 degrees a burn that starts earlier is over before its end gas has had time to ignite, and octane
/// required falls again. From where, past its steepest, it rises by less than half an octane number a degree the
/// relation is continued at that slope, so that every point has one limit; sparks as early as that lie beyond best
/// torque. Limits are reported between -20 and 60 degrees before top centre.
///
/// Method: eight points are marched side by side. Octane required is found at five sparks, put through a polynomial and
/// solved; cycles at the root correct it. Sensitivities come from dual numbers at the limit.
#pragma once
#include <algorithm>
#include <span>

#include "trapped.hpp"

namespace pullcast::knock {

/// What an answer needs beside the operating point.
struct Engine {
    Chamber chamber;
    Trapping trapping;
    Fuel fuel;
    Delay delay;
    double octane;     // octane index of the fuel
    double log_scale;  // ln s
};

struct Answer {
    double limit;            // knock-limited spark, rad before top centre
    double octane_required;  // at the spark in use
    double headroom;         // K
    double peak_pressure;    // Pa, at the spark in use
    double k_estimate;       // K of the octane index by 0.0056 T_15 - 4.68
};
/// Of the limit: rad/K, rad/Pa and rad per octane number.
struct Sensitivity {
    double per_temperature, per_pressure, per_octane;
};

constexpr double earliest = 60 * degree, latest = -20 * degree, least_slope = 0.5 / degree;  // 1/rad

template <class S> S octane_required(const Engine& e, const S& knock) {
    using std::exp, std::log;
    return 100 * exp((log(knock) + e.log_scale) * (1 / delay_octane));
}

/// Octane required at one operating point and spark, by one cycle.
template <class S> S required_at(const Engine& e, const Point<S>& at, const S& spark) {
    const auto charge = trapped(e.chamber, e.trapping, e.fuel, at);
    const Cycle<S> cycle(e.chamber, charge, e.delay);
    const int first = e.chamber.step_at(-value(spark));
    return octane_required(e, cycle.burn(first, cycle.compress(first), S(-spark)).knock);
}

/// Octane required over spark at one operating point: a polynomial, continued linearly where it would fall and before
/// the first spark.
class OctaneCurve {
public:
    static constexpr std::array<double, 5> sparks{-5 * degree, 5 * degree, 15 * degree, 25 * degree, 35 * degree};
    using Row = std::array<double, sparks.size()>;

    explicit OctaneCurve(const Row& required) : a_(required) {
        for (std::size_t k = 1; k < a_.size(); ++k)  // divided differences
            for (std::size_t i = a_.size() - 1; i >= k; --i) a_[i] = (a_[i] - a_[i - 1]) / (sparks[i] - sparks[i - k]);
        double lo = sparks.front();  // where the curve is steepest, and from there on
        for (double at = lo; at <= sparks.back(); at += 2 * degree)
            if (slope(at) > slope(lo)) lo = at;
        double hi = lo;
        while (hi < earliest && slope(hi) > least_slope) lo = hi, hi += 2 * degree;
        for (int k = 0; k < 40; ++k) (slope((lo + hi) / 2) > least_slope ? lo : hi) = (lo + hi) / 2;
        turn_ = lo;
    }
    double turn() const { return turn_; }  ///< where the continuation begins
    /// Octane required at a spark.
    double at(double spark) const {
        return spark > turn_ ? polynomial(turn_) + least_slope * (spark - turn_) : polynomial(spark);
    }
    /// The spark at which it is `octane`.
    double solve(double octane) const {
        if (const double gap = octane - polynomial(turn_); gap > 0) return turn_ + gap / least_slope;
        if (const double gap = octane - a_[0]; gap < 0) return sparks.front() + gap / slope(sparks.front());
        double lo = sparks.front(), hi = turn_;
        for (int k = 0; k < 50; ++k) (at((lo + hi) / 2) < octane ? lo : hi) = (lo + hi) / 2;
        return (lo + hi) / 2;
    }
    double slope(double spark) const {
        if (turn_ < spark) return least_slope;
        const double at = std::max(spark, sparks.front());
        double p = 0, d = 0;
        for (std::size_t k = a_.size(); k-- > 0;) d = d * (at - sparks[k]) + p, p = p * (at - sparks[k]) + a_[k];
        return at > sparks.front() ? d : std::max(d, least_slope / 10);
    }
    /// What each of the five numbers adds to octane required at a spark.
    Row weights(double spark) const {
        const double at = std::clamp(spark, sparks.front(), turn_);
        const bool before = spark < sparks.front() && turn_ > sparks.front();  // the slope counts too
        Row w;
        for (std::size_t k = 0; k < w.size(); ++k) {
            double d = 0;
            w[k] = 1;
            for (std::size_t i = 0; i < w.size(); ++i)
                if (i != k) {
                    const double apart = sparks[k] - sparks[i], share = (at - sparks[i]) / apart;
                    d = d * share + w[k] / apart, w[k] *= share;
                }
            if (before) w[k] += d * (spark - at);
        }
        return w;
    }

private:
    /// Linear before the first spark.
    double polynomial(double spark) const {
        if (spark < sparks.front()) return a_[0] + slope(sparks.front()) * (spark - sparks.front());
        double p = 0;
        for (std::size_t k = a_.size(); k-- > 0;) p = p * (spark - sparks[k]) + a_[k];
        return p;
    }
    Row a_;
    double turn_ = 2 * earliest;
};

/// Up to Lanes::count operating points at once.
class Batch {
    const Engine& e_;
    std::span<const Point<double>> points_;
    Charge<Lanes> charge_;
    std::vector<March<Lanes>> trail_;  // compression, to the latest spark
    std::vector<OctaneCurve::Row> rows_;
    std::vector<OctaneCurve> curves_;
    Lanes limit_;

public:
    Batch(const Engine& e, std::span<const Point<double>> points);

    /// The limit of every point, rad before top centre.
    const Lanes& limit() const { return limit_; }
    /// Octane required at the five sparks of an OctaneCurve.
    const OctaneCurve::Row& required(int lane) const { return rows_[static_cast<std::size_t>(lane)]; }
    /// All answers at the sparks in use.
    std::vector<Answer> answer(std::span<const double> sparks) const;
    /// Exact derivatives of one point's limit.
    Sensitivity sensitivity(int lane) const;

private:
    const OctaneCurve& curve(int lane) const { return curves_[static_cast<std::size_t>(lane)]; }
    void correct();
    March<Lanes> burn(const Lanes& spark, int last = -1) const;  // from the compression that all sparks share
    Lanes required_at(const Lanes& spark) const;
    Lanes headroom(const Lanes& spark, const Lanes& required) const;
};

}  // namespace pullcast::knock

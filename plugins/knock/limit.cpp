#include "limit.hpp"

// Where the processor has wider registers the marches use them; the compiler makes both versions, and no product is
// contracted into a sum, so that both give the same bits.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#define PULLCAST_WIDE __attribute__((target_clones("arch=x86-64-v3", "default"), flatten))
#else
#define PULLCAST_WIDE
#endif

namespace pullcast::knock {
namespace {

using D = DualN<4>;

PULLCAST_WIDE void compress(const Cycle<Lanes>& c, int last, March<Lanes>* trail) { c.compress(last, trail); }
PULLCAST_WIDE void burn(const Cycle<Lanes>& c, int first, March<Lanes>& m, const Lanes& spark, int last) {
    m = c.burn(first, m, spark, last);
}
PULLCAST_WIDE void whole(const Cycle<D>& c, int first, const D& spark, D& knock) {
    knock = c.burn(first, c.compress(first), spark).knock;
}

constexpr double coldest = -60, hottest = 120;  // K of headroom that are told apart
constexpr double fifteen_bar = 1.5e6;           // Pa, where K of the octane index is read

/// A charge of numbers as one lane of a charge of lanes: both are rows of numbers.
Charge<Lanes> side_by_side(const Engine& e, std::span<const Point<double>> points) {
    constexpr std::size_t numbers = sizeof(Charge<double>) / sizeof(double);
    static_assert(sizeof(Charge<Lanes>) == numbers * sizeof(Lanes));
    Charge<Lanes> all;
    auto* row = reinterpret_cast<double*>(&all);
    for (std::size_t k = 0; k < Lanes::count; ++k) {
        const auto one = trapped(e.chamber, e.trapping, e.fuel, points[std::min(k, points.size() - 1)]);
        const auto* number = reinterpret_cast<const double*>(&one);
        for (std::size_t i = 0; i < numbers; ++i) row[i * Lanes::count + k] = number[i];
    }
    return all;
}
std::vector<Point<double>> warmed(std::span<const Point<double>> points, const Lanes& by) {
    std::vector<Point<double>> out(points.begin(), points.end());
    for (std::size_t k = 0; k < out.size(); ++k) out[k].T += by[static_cast<int>(k)];
    return out;
}
/// Temperature of the unburned gas at 15 bar, compressed without combustion.
double at_fifteen_bar(const Engine& e, const Charge<Lanes>& c, const std::vector<March<Lanes>>& trail, int lane) {
    double T = c.T[lane], p = c.p[lane];
    for (std::size_t k = 1; k < trail.size() && p < fifteen_bar; ++k) {
        T = trail[k].T[lane];
        p = c.p[lane] * e.chamber.place(0).volume / e.chamber.place(static_cast<int>(k)).volume * T / c.T[lane];
    }
    const double exponent = c.unburned.R[lane] / 1150;  // cp near 650 K, J/(kg K): a short way only
    return T * std::pow(fifteen_bar / p, exponent);
}

/// The compression that all sparks of a charge share, to the latest spark.
std::vector<March<Lanes>> trail_of(const Engine& e, const Charge<Lanes>& charge) {
    std::vector<March<Lanes>> trail(static_cast<std::size_t>(e.chamber.step_at(-latest)) + 1);
    compress(Cycle<Lanes>(e.chamber, charge, e.delay), static_cast<int>(trail.size()) - 1, trail.data());
    return trail;
}
void take_lane(March<Lanes>& to, const March<Lanes>& from, int lane) {
    for (std::size_t i = 0; i < sizeof to / sizeof(Lanes); ++i)
        reinterpret_cast<Lanes*>(&to)[i][lane] = reinterpret_cast<const Lanes*>(&from)[i][lane];
}
/// Burns every lane from the step of its own spark on, so that no lane depends on when its neighbours burn.
March<Lanes> burn_each(const Engine& e, const Charge<Lanes>& charge, std::span<const March<Lanes>> trail,
                       const Lanes& spark, int last) {
    const Cycle<Lanes> cycle(e.chamber, charge, e.delay);
    std::array<std::pair<std::size_t, int>, Lanes::count> begins;  // step and lane
    for (int k = 0; k < Lanes::count; ++k)
        begins[static_cast<std::size_t>(k)] = {
            std::min(static_cast<std::size_t>(e.chamber.step_at(-spark[k])), trail.size() - 1), k};
    std::sort(begins.begin(), begins.end());
    auto at = begins.front().first;
    auto m = trail[at];
    for (const auto& [step, lane] : begins) {
        if (at < step) burn(cycle, static_cast<int>(at), m, -spark, static_cast<int>(step));
        at = step;
        take_lane(m, trail[at], lane);
    }
    burn(cycle, static_cast<int>(at), m, -spark, last);
    return m;
}

}  // namespace

Batch::Batch(const Engine& e, std::span<const Point<double>> points)
    : e_(e), points_(points), charge_(side_by_side(e, points)), trail_(trail_of(e, charge_)) {
    rows_.resize(Lanes::count);
    for (std::size_t k = 0; k < OctaneCurve::sparks.size(); ++k) {
        const Lanes required = required_at(Lanes(OctaneCurve::sparks[k]));
        for (int lane = 0; lane < Lanes::count; ++lane) rows_[static_cast<std::size_t>(lane)][k] = required[lane];
    }
    for (int lane = 0; lane < Lanes::count; ++lane) {
        curves_.emplace_back(rows_[static_cast<std::size_t>(lane)]);
        limit_[lane] = std::clamp(curves_.back().solve(e.octane), latest, earliest);
    }
    correct();
}

/// By cycles at the limits: one with the slope of the polynomial, and more by secants where that moved a limit far.
void Batch::correct() {
    constexpr double far = 0.05 * degree;
    Lanes moved = 1.0, last_spark, last_exact;
    for (int round = 0; round < 4 && largest(moved) > far; ++round) {
        Lanes spark;
        for (int k = 0; k < Lanes::count; ++k) spark[k] = std::min(limit_[k], curve(k).turn());
        const Lanes exact = required_at(spark);
        for (int k = 0; k < Lanes::count; ++k) {
            if (moved[k] <= far) continue;
            const double secant = (exact[k] - last_exact[k]) / (spark[k] - last_spark[k]), before = limit_[k];
            const double slope = round > 0 && secant > least_slope ? secant : curve(k).slope(spark[k]);
            limit_[k] = std::clamp(spark[k] + (e_.octane - exact[k]) / slope, latest, earliest);
            moved[k] = std::fabs(limit_[k] - before);
        }
        last_spark = spark, last_exact = exact;
    }
}

March<Lanes> Batch::burn(const Lanes& spark, int last) const { return burn_each(e_, charge_, trail_, spark, last); }
Lanes Batch::required_at(const Lanes& spark) const { return octane_required(e_, burn(spark).knock); }

std::vector<Answer> Batch::answer(std::span<const double> sparks) const {
    Lanes spark;
    for (int k = 0; k < Lanes::count; ++k) spark[k] = sparks[std::min<std::size_t>(k, sparks.size() - 1)];
    Lanes held = spark;  // what the relation between spark and octane is followed to
    for (int k = 0; k < Lanes::count; ++k) held[k] = std::clamp(spark[k], latest, curves_[k].turn());
    const auto burned = burn(held, e_.chamber.steps());  // past the highest pressure, however late the spark
    const Lanes required = octane_required(e_, burned.knock), warmer = headroom(held, required);
    std::vector<Answer> answers;
    for (int lane = 0; lane < static_cast<int>(points_.size()); ++lane)
        answers.push_back({limit_[lane], required[lane] + least_slope * (spark[lane] - held[lane]), warmer[lane],
                           burned.peak[lane], 0.0056 * at_fifteen_bar(e_, charge_, trail_, lane) - 4.68});
    return answers;
}

/// Through three temperatures, and once more at the root.
Lanes Batch::headroom(const Lanes& spark, const Lanes& required) const {
    constexpr double apart = 50;  // K
    const auto required_warmer = [&](const Lanes& by) {
        const auto points = warmed(points_, by);
        const auto charge = side_by_side(e_, points);
        return octane_required(e_, burn_each(e_, charge, trail_of(e_, charge), spark, -1).knock);
    };
    const Lanes colder = required_warmer(Lanes(-apart)), hotter = required_warmer(Lanes(apart));
    Lanes by, slope;
    for (int k = 0; k < Lanes::count; ++k) {
        const double b = (hotter[k] - colder[k]) / (2 * apart);
        const double c = (hotter[k] + colder[k] - 2 * required[k]) / (2 * apart * apart), gap = e_.octane - required[k];
        const double root = b * b + 4 * c * gap;  // of c by^2 + b by = gap
        by[k] = std::clamp(root > 0 ? 2 * gap / (b + std::sqrt(root)) : gap / b, coldest, hottest);
        slope[k] = b + 2 * c * by[k];
    }
    const Lanes exact = required_warmer(by);
    for (int k = 0; k < Lanes::count; ++k)
        if (by[k] > coldest && by[k] < hottest)
            by[k] = std::clamp(by[k] + (e_.octane - exact[k]) / slope[k], coldest, hottest);
    return by;
}

Sensitivity Batch::sensitivity(int lane) const {
    const auto& at = points_[static_cast<std::size_t>(lane)];
    Point<D> p{at.p, at.T, at.w, at.omega, at.lambda, at.exhaust_pressure, at.coolant};
    p.T.d[0] = 1, p.p.d[1] = 1;
    D spark = std::min(limit_[lane], curves_[static_cast<std::size_t>(lane)].turn());
    spark.d[2] = 1;
    const auto charge = trapped(e_.chamber, e_.trapping, e_.fuel, p);
    D knock;
    whole(Cycle<D>(e_.chamber, charge, e_.delay), e_.chamber.step_at(-spark.v), -spark, knock);
    const D required = octane_required(e_, knock);
    const double per_spark = std::max(required.d[2], least_slope);
    return {-required.d[0] / per_spark, -required.d[1] / per_spark, 1 / per_spark};
}

}  // namespace pullcast::knock

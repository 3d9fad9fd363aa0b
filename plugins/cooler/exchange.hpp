/// Exact steady relations of one wall segment between two streams, written so that they also serve a moving wall.
///
///     N = UA / Ca,   M = UA / Cc                     transfer units on the air and the coolant capacity rate
///     b(x) = x / (1 - exp(-x))                       Bernoulli function: b(0) = 1, b(x) -> x, b(-x) = b(x) - x
///     G  = UA / b(N)                                 heat over (air in - coolant), the coolant at one temperature
///     Q  = G (Ta_in - Tc*),   Tc* = (1 - beta) Tc_in + beta Tc_out
///     beta = (b(n) - 1) / n,  n = G / Cc             crossflow, air unmixed, coolant mixed across the air's path
///     beta = 1 - (b(N) - b(N - M)) / M               counterflow
///     beta = (b(N + M) - b(N)) / M                   parallel flow
///
/// With these beta a segment in its steady state obeys the effectiveness-NTU relation of its arrangement exactly
/// (Kays & London; Incropera; tables in tests/published/heat_exchangers.cpp), and so does any number of them in a row.
/// Derivation: beta = Cc (1/E - 1/G) with E = Q / (Ta_in - Tc_in), the relation itself. beta -> 1 as Cc -> 0: standing
/// coolant answers with its own temperature.
/// The wall's temperature Tw lies between: Q = Ga (Ta_in - Tw) = Gc (Tw - Tc*), 1/Ga + 1/Gc = 1/G. One of the two is
/// free:
///     r = hAc (1/G - 1/Ga0),  Ga0 = Ca (1 - exp(-hAa/Ca))     Ga0: air along a wall of one temperature; the code's
///     form
///                                                             of r does not lose its digits as Ca -> 0
///     Gc = hAc / (r + (1 - r) late(N))                        late: 0 below NTU 4, 1 above 12, smooth between
/// A pull starts with the core at one temperature, so Ga should be Ga0: then air leaves no colder than the wall. Below
/// NTU 4 it is, and Gc > hAc carries the profile that the wall takes on later. With little air Gc must be hAc, or a hot
/// core would give its heat to the coolant too soon; air may then leave colder than the wall by Ca/Gc of its distance,
/// a few per cent at the most. The steady limit is exact in any case.
#pragma once
#include <pullcast/sdk.hpp>

namespace pullcast::cooler {

/// Weight of the coolant side's own conductance, see above.
template <class S> S late(const S& NTU) { return soft_step(NTU, 4, 12); }

enum Arrangement : std::int32_t { crossflow, counterflow };

/// b(x); series near 0, where the fraction loses its digits (error below 1e-13 at the seam).
template <class S> S bernoulli(const S& x) {
    using std::expm1;
    if (value(x) < 1e-2 && value(x) > -1e-2) return 1 + x * (0.5 + x * (1.0 / 12 - x * x / 720));
    if (value(x) > 700) return x;
    if (value(x) < -700) return S(0);
    return x / -expm1(-x);
}
/// (b(x + step) - b(x)) / step, also for a step of nothing.
template <class S> S bernoulli_slope(const S& x, const S& step) {
    constexpr double least = 1e-4;  // below it the difference is taken over `least` about the same middle
    if (value(step) > least || value(step) < -least) return (bernoulli(S(x + step)) - bernoulli(x)) / step;
    const S middle = x + 0.5 * step;
    return (bernoulli(S(middle + 0.5 * least)) - bernoulli(S(middle - 0.5 * least))) / least;
}

/// Conductances of one segment, W/K, and the weight of its own outlet in the coolant temperature that the wall sees.
template <class S>
struct Segment {
    S air, coolant;  // Ga, Gc
    S beta;
};

/// `Ca`, `Cc` > 0: capacity rates that pass this segment. `same_way`: counterflow only, the streams run alike just now.
template <class S>
Segment<S> segment(const S& hA_air, const S& hA_coolant, const S& Ca, const S& Cc, std::int32_t kind, bool same_way) {
    using std::exp, std::expm1;
    const S UA = hA_air * hA_coolant / (hA_air + hA_coolant), N = UA / Ca, M = UA / Cc;
    const S Na = hA_air / Ca, G = UA / bernoulli(N);
    const S r = -hA_coolant / Ca * exp(-N) * expm1(N - Na) * (bernoulli(N) / N) * (bernoulli(Na) / Na);
    const S Gc = hA_coolant / (r + (1 - r) * late(N)), Ga = G * Gc / (Gc - G);
    if (kind == crossflow) return {Ga, Gc, bernoulli_slope(S(0), S(G / Cc))};
    if (same_way) return {Ga, Gc, bernoulli_slope(N, M)};
    return {Ga, Gc, 1 - bernoulli_slope(N, S(-M))};
}

/// Crossflow with both streams unmixed, exact: effectiveness on the smaller capacity rate (Nusselt's series of
/// incomplete gamma functions; all terms positive, so nothing cancels).
///     eps = 1/(Cr NTU) sum_{n>=0} P_n(NTU) P_n(Cr NTU),   P_n(x) = 1 - exp(-x) sum_{m<=n} x^m / m!
/// 0 < NTU <= 30 (P_n is then held to 1e-13), 0 < Cr <= 1.
template <class S> S both_unmixed(const S& NTU, const S& Cr) {
    using std::exp, std::expm1;
    const S b = Cr * NTU;
    S term_a = exp(-NTU), term_b = exp(-b), tail_a = -expm1(-NTU), tail_b = -expm1(-b), sum = tail_a * tail_b;
    for (int n = 1; n < 120 && value(tail_a) > 1e-13 && value(tail_b) > 1e-13; ++n) {
        term_a = term_a * NTU / n, term_b = term_b * b / n;
        tail_a -= term_a, tail_b -= term_b;
        sum += tail_a * tail_b;
    }
    return sum / b;
}

}  // namespace pullcast::cooler

/// Compressible flow through an opening between two gas nodes, in both directions.
///
///     m   = CdA sqrt(p0 rho0) Psi(r)          p0, rho0 upstream (= CdA p0 / sqrt(R T0) Psi), r = p_down / p0
///     Psi^2 = 2 g/(g-1) (r^(2/g) - r^((g+1)/g))   for r > r* = (2/(g+1))^(g/(g-1)),   Psi(r*) below (choked)
///
/// Isentropic nozzle relations; form as in textbooks on internal combustion engines (Heywood, App. C, from memory),
/// critical ratio after API 520. g = 1.4 throughout: Psi* is 0.3 % high at g = 1.39 (moist air at 400 K).
/// Near r = 1 the root turns into a line: sqrt(x) -> x / (x^2 + width^2)^(1/4) with x = Psi^2, width = 2 linear_below:
/// 5 % low where 1 - r is twice `linear_below`, 0.25 % low at ten times. The upstream state changes over that range.
#pragma once
#include <pullcast/sdk.hpp>

namespace pullcast::gas {

/// Psi^2 of a pressure ratio r in 0 .. 1; flat below the critical ratio, so its slope is continuous.
template <class S>
S nozzle_square(const S& r) {
    using std::pow;
    constexpr double g = 1.4, critical = 0.52828178771743735;  // (2/(g+1))^(g/(g-1))
    const S x = value(r) < critical ? S(critical) : r;
    const S z = pow(x, (g - 1) / g);
    return 2 * g / (g - 1) * (x / z) * (x / z) * (1 - z);  // r^(2/g) = (r/z)^2
}

/// Mass flow from `a` to `b` in kg/s. `area` is the effective area CdA in m^2, `linear_below` the width in 1 - r.
template <class S, class Area>
S orifice_flow(const Gas::Potential<S>& a, const Gas::Potential<S>& b, const Area& area, double linear_below) {
    using std::sqrt;
    const double width = 2 * linear_below;  // Psi^2 = 2 (1 - r) near r = 1
    const S x = value(a.p) >= value(b.p) ? nozzle_square(S(b.p / a.p)) : -nozzle_square(S(a.p / b.p));
    const S qa = a.p * a.rho, qb = b.p * b.rho;
    const S upstream = 0.5 * (qa + qb + (qa - qb) * (x / sqrt(x * x + width * width)));
    return area * sqrt(upstream) * signed_sqrt(x, width);
}

}  // namespace pullcast::gas

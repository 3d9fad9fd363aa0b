/// Pressure drop of a smooth round line with fittings, smooth through zero flow.
///
///   laminar    dp = 128 mu L m / (pi rho D^4)                              Hagen-Poiseuille
///   turbulent  dp = f (L/D) m|m| / (2 rho A^2),  f = 0.3164 Re^-1/4        Blasius
///   fittings   dp = zeta m|m| / (2 rho A^2)
///   Re = 4 |m| / (pi D mu); between Re 2300 and 4000 the two are blended by a smooth step.
///
/// Reference: Blasius form as in the open `fluids` library (fluids.friction), checked there: f = 0.031640 at Re 1e4,
/// 0.017792 at 1e5. Validity: smooth wall, Re < 1e5.
#pragma once
#include <cmath>
#include <numbers>
#include <pullcast/sdk.hpp>

namespace coolant_family {
using namespace pullcast;

struct Line {
    double length, bore, fittings, flow_width;

    double area() const { return std::numbers::pi * bore * bore / 4; }
    template <class S> S pressure_drop(const S& m, const S& rho, const S& mu) const {
        using std::fabs, std::pow, std::sqrt;
        const double pi = std::numbers::pi, dynamic = 1 / (2 * area() * area());
        const S square = m * m + flow_width * flow_width;
        const S laminar = m * mu * (128 * length / (pi * std::pow(bore, 4)));
        const S blasius = 0.3164 * m * pow(square, 0.375) * pow(mu * (pi * bore / 4), 0.25) * (length / bore * dynamic);
        const S turbulent = soft_step(S(fabs(m) / mu * (4 / (pi * bore))), 2300, 4000);
        return (laminar + turbulent * (blasius - laminar) + fittings * dynamic * m * sqrt(square)) / rho;
    }
};

}  // namespace coolant_family

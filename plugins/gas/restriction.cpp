/// A loss between two gas nodes: air filter, duct, bend, lid. Transports; holds nothing.
///
///     dp = dp0 (m / m0)^2 rho0 / rho        gas.restriction: one rated point (m0, dp0) at density rho0
///     dp = zeta m^2 / (2 rho A^2)           gas.restriction_zeta: loss coefficient and area
///     m  = K sqrt(rho) sqrt(dp),  rho upstream;  K = m0 / sqrt(dp0 rho0)  or  A sqrt(2 / zeta)
///
/// Bernoulli with a loss coefficient (handbooks of fluid mechanics). Holds for turbulent flow with dp / p below about
/// 0.1 (Mach below 0.3). Near dp = 0 the root is replaced by a line, dp / (dp^2 + width^2)^(1/4), width `linear_below`;
/// the upstream density changes over the same range. The rated point itself is met exactly.
#include "components.hpp"

namespace pullcast::gas {
namespace {

template <bool by_zeta>
struct Restriction {
    double rated_flow, rated_drop, rated_density, zeta, area, linear_below;
    End<Gas> from, to;
    Output flow_rate, drop;
    double k;  // derived: K above

    static void describe(Schema<Restriction>& s) {
        s.role = "restriction";
        s.summary = by_zeta ? "transports: pressure loss from a loss coefficient and an area"
                            : "transports: pressure loss that grows with the square of the flow from one rated point";
        s.reference = "Bernoulli equation with a loss coefficient (fluid mechanics handbooks)";
        s.validity = "turbulent, pressure drop below 10 % of the pressure";
        if constexpr (by_zeta) {
            s.number(&Restriction::zeta, "zeta", "1", "loss coefficient on the velocity head in `area`").in(1e-3, 1e5);
            s.number(&Restriction::area, "area", "m^2", "area that zeta refers to").in(1e-8, 1);
        } else {
            s.number(&Restriction::rated_flow, "rated_flow", "kg/s", "flow at the rated point").in(1e-6, 100);
            s.number(&Restriction::rated_drop, "rated_pressure_drop", "Pa", "pressure drop at the rated point")
                .in(1, 1e6);
            s.number(&Restriction::rated_density, "rated_density", "kg/m^3", "upstream density at the rated point")
                .in(0.01, 100).preset(1.2);
        }
        s.number(&Restriction::linear_below, "linear_below", "Pa", "pressure drop below which the law turns linear")
            .in(1e-3, 1e4).preset(20);
        s.end(&Restriction::from, "from", "one side");
        s.end(&Restriction::to, "to", "the other side; flow from `from` to `to` counts positive");
        s.output(&Restriction::flow_rate, "flow", "kg/s", "mass flow");
        s.output(&Restriction::drop, "pressure_drop", "Pa", "pressure at `from` minus pressure at `to`");
    }

    Problem prepare() {
        if constexpr (by_zeta) k = area * std::sqrt(2 / zeta);
        else k = rated_flow / (std::sqrt(rated_density) * signed_sqrt(rated_drop, linear_below));
        return {};
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt;
        const auto &a = v[from], &b = v[to];
        const S dp = a.p - b.p;
        const S rho = 0.5 * (a.rho + b.rho + (a.rho - b.rho) * (dp / sqrt(dp * dp + linear_below * linear_below)));
        const S m = k * sqrt(rho) * signed_sqrt(dp, linear_below);
        v.transfer(from, to, carried(m, a, b));
        if (!v.recording()) return;
        v.output(flow_rate, m);
        v.output(drop, dp);
    }
};

}  // namespace
}  // namespace pullcast::gas

const pullcast::ComponentType* gas_restriction() {
    return pullcast::component<pullcast::gas::Restriction<false>>("gas.restriction");
}
const pullcast::ComponentType* gas_restriction_zeta() {
    return pullcast::component<pullcast::gas::Restriction<true>>("gas.restriction_zeta");
}

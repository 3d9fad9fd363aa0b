/// Published correlations for the surfaces of a finned core, as pure functions. SI; generic on the scalar.
///
/// Louver fin on flat tubes, Chang & Wang, Int. J. Heat Mass Transfer 40(3) 533-544 (1997), 100 < Re < 3000:
///   j = Re^-0.49 (th/90)^0.27 (Fp/Lp)^-0.14 (Fl/Lp)^-0.29 (Td/Lp)^-0.23 (Ll/Lp)^0.68 (Tp/Lp)^-0.28 (df/Lp)^-0.05
///   Re on the louver pitch Lp; th in degrees; published scatter: 89 % of their data within 15 % (from memory)
/// Offset strip fin, Manglik & Bergles, Exp. Thermal Fluid Sci. 10 (1995), 300 < Re < 5000:
///   j = 0.6522 Re^-0.5403 a^-0.1541 d^0.1499 g^-0.0678 [1 + 5.269e-5 Re^1.340 a^0.504 d^0.456 g^-1.055]^0.1
///   f = 9.6243 Re^-0.7422 a^-0.1856 d^0.3053 g^-0.2659 [1 + 7.669e-8 Re^4.429 a^0.920 d^3.767 g^0.236]^0.1
///   a = s/h, d = t/l, g = t/s, Re on Dh = 4 s h l / (2 (s l + h l + t h) + t s); f is Fanning's
/// h = j Re Pr^(1/3) k / L,  L = Lp or Dh
/// Straight fin, tip insulated: eta = tanh(mL)/(mL), m = sqrt(2 h / (k t)); surface: eta_o = 1 - (Af/A)(1 - eta)
/// Tube: laminar, constant heat flux, rectangle of aspect a (Shah & London):
///   Nu = 8.235 (1 - 2.0421 a + 3.0853 a^2 - 2.4765 a^3 + 1.0578 a^4 - 0.1861 a^5)
/// turbulent (Gnielinski, 0.5 < Pr < 2000, Re > 2300), f = (0.790 ln Re - 1.64)^-2 (Petukhov):
///   Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1))
/// blended over 2300 .. 4000 by a smooth step (Gnielinski 2013 blends linearly, from memory; the step is smooth for the
/// integrator's sake).
#pragma once
#include <numbers>
#include <pullcast/sdk.hpp>

namespace pullcast::cooler {

/// Lengths in m, angle in rad.
struct Louver {
    double angle, fin_pitch, fin_height, depth, louver_length, tube_pitch, fin_thickness, louver_pitch;

    /// j Re^0.49: all that is geometry.
    double factor() const {
        const auto ratio = [&](double length, double power) { return std::pow(length / louver_pitch, power); };
        return std::pow(angle / (std::numbers::pi / 2), 0.27) * ratio(fin_pitch, -0.14) * ratio(fin_height, -0.29) *
               ratio(depth, -0.23) * ratio(louver_length, 0.68) * ratio(tube_pitch, -0.28) *
               ratio(fin_thickness, -0.05);
    }
};

struct OffsetStrip {
    double spacing, height, length, thickness;  // s, h, l, t

    double alpha() const { return spacing / height; }
    double delta() const { return thickness / length; }
    double gamma() const { return thickness / spacing; }
    double hydraulic_diameter() const {
        const double s = spacing, h = height, l = length, t = thickness;
        return 4 * s * h * l / (2 * (s * l + h * l + t * h) + t * s);
    }
    /// The two geometry factors of j: in front, and of Re^1.340 in the bracket.
    double j_factor() const {
        return 0.6522 * std::pow(alpha(), -0.1541) * std::pow(delta(), 0.1499) * std::pow(gamma(), -0.0678);
    }
    double j_bracket() const {
        return 5.269e-5 * std::pow(alpha(), 0.504) * std::pow(delta(), 0.456) * std::pow(gamma(), -1.055);
    }
    double f(double Re) const {
        const double front =
            9.6243 * std::pow(alpha(), -0.1856) * std::pow(delta(), 0.3053) * std::pow(gamma(), -0.2659);
        const double late = 7.669e-8 * std::pow(alpha(), 0.920) * std::pow(delta(), 3.767) * std::pow(gamma(), 0.236);
        return front * std::pow(Re, -0.7422) * std::pow(1 + late * std::pow(Re, 4.429), 0.1);
    }
};

/// j = factor Re^-0.49 (louver) or factor Re^-0.5403 (1 + bracket Re^1.340)^0.1 (offset strip; bracket > 0).
struct Surface {
    double factor = 0, bracket = 0;
    explicit Surface(const Louver& l) : factor(l.factor()) {}
    explicit Surface(const OffsetStrip& o) : factor(o.j_factor()), bracket(o.j_bracket()) {}
    Surface() = default;

    template <class S> S j(const S& Re) const {
        using std::pow;
        if (bracket == 0) return factor * pow(Re, -0.49);
        return factor * pow(Re, -0.5403) * pow(1 + bracket * pow(Re, 1.340), 0.1);
    }
};

/// tanh(x) / x, x >= 0.
template <class S> S fin_efficiency(const S& x) {
    using std::tanh;
    if (value(x) < 1e-3) return 1 - x * x / 3;
    return tanh(x) / x;
}

inline double laminar_nusselt(double a) {
    return 8.235 * (1 + a * (-2.0421 + a * (3.0853 + a * (-2.4765 + a * (1.0578 - 0.1861 * a)))));
}
/// Darcy friction factor of a smooth turbulent duct.
template <class S> S petukhov(const S& Re) {
    using std::log;
    const S root = 0.790 * log(Re) - 1.64;
    return 1 / (root * root);
}
template <class S> S gnielinski(const S& Re, const S& Pr, const S& f) {
    using std::sqrt, std::cbrt;
    const S third = cbrt(Pr);
    return 0.125 * f * (Re - 1000) * Pr / (1 + 12.7 * sqrt(0.125 * f) * (third * third - 1));
}
/// Nu of a tube over the whole range; `laminar` from laminar_nusselt.
template <class S> S tube_nusselt(const S& Re, const S& Pr, double laminar) {
    constexpr double laminar_up_to = 2300, turbulent_from = 4000;
    if (value(Re) <= laminar_up_to) return S(laminar);
    const S turbulent = gnielinski(Re, Pr, petukhov(Re));
    return laminar + soft_step(Re, laminar_up_to, turbulent_from) * (turbulent - laminar);
}

}  // namespace pullcast::cooler

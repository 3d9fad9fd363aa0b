/// Prints what the engine says about humid air, one state a line, for check.mjs to compare with psychrolib:
///   t degC, rh, p Pa, p_v Pa, W kg/kg dry, rho kg/m^3, h J/kg dry air above dry air and liquid water at 0 degC
/// The engine's enthalpies are sensible; 2501 kJ/kg of vapour at 0 degC (ASHRAE 2017 ch. 1 eq. 30) is added here.
#include <cstdio>
#include <pullcast/media/moist_air.hpp>

int main() {
    using namespace pullcast::media;
    constexpr double celsius = 273.15, latent = 2501e3;
    const auto above_zero = [=](double T, double w) { return enthalpy(T, w) - enthalpy(celsius, w); };
    std::puts("t,rh,p,p_v,W,rho,h");
    for (double t = -30; t <= 60; t += 2.5)
        for (double rh : {0.05, 0.3, 0.6, 0.9, 1.0})
            for (double p : {80e3, 95e3, 101325.0, 105e3}) {
                const double T = t + celsius, w = vapour_fraction(rh, T, p), W = humidity_ratio(w);
                const double h = above_zero(T, 0.0) + W * (latent + above_zero(T, 1.0));
                std::printf("%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g\n", t, rh, p, vapour_pressure(w, p), W,
                            gas_state(p, T, w).rho, h);
            }
}

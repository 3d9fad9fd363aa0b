/// Correlations of finned cores against published points, and against values computed by independent libraries.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "../../plugins/cooler/fins.hpp"

namespace fin_surfaces_tests {
using namespace pullcast::cooler;

constexpr double inch = 0.0254;

// Kays & London's points, as data in the tests of the open-source library openconcept (verified); the last two columns
// are Manglik & Bergles' correlation computed there.
// The correlation must give its own value closely, and the measured one within 20 % (j) and 35 % (f): the scatter.
TEST(FinSurfaces, OffsetStripAgainstKaysAndLondon) {
    struct Point {
        double alpha, delta, gamma, Re, j, f, j_mb, f_mb;
    };
    constexpr Point points[] = {
        {.672, .040, .084, 400, .0195, .0750, .02059, .0882}, {.672, .040, .084, 2000, .00940, .0303, .00971, .0405},
        {.244, .032, .067, 400, .0246, .104, .02341, .1052},  {.244, .032, .067, 2000, .0111, .0420, .01083, .0407},
        {.134, .040, .121, 500, .0238, .0922, .02239, .0914}, {.134, .040, .121, 2000, .0113, .0449, .01122, .0433},
        {.162, .043, .051, 500, .0205, .130, .02386, .1136},  {.162, .043, .051, 2000, .0119, .0607, .01248, .0551}};
    for (const Point& p : points) {
        const double s = 1e-3;  // only the three ratios count
        const OffsetStrip fin{s, s / p.alpha, p.gamma * s / p.delta, p.gamma * s};
        const double j = Surface(fin).j(p.Re), f = fin.f(p.Re);
        EXPECT_NEAR(j / p.j, 1, 0.20) << p.alpha << " Re " << p.Re;
        EXPECT_NEAR(f / p.f, 1, 0.35) << p.alpha << " Re " << p.Re;
        EXPECT_NEAR(j / p.j_mb, 1, 0.015) << p.alpha << " Re " << p.Re;  // ratios above are printed with 2 or 3 digits
        EXPECT_NEAR(f / p.f_mb, 1, 0.015) << p.alpha << " Re " << p.Re;
    }
}
// The hydraulic diameters given with the same surfaces, mm, for fins per inch, spacing, length and thickness in inch.
TEST(FinSurfaces, OffsetStripHydraulicDiameter) {
    constexpr double rows[][5] = {{19.35, .075, .1, .004, 1.403}, {15.61, .250, .125, .004, 2.383},
                                  {27.03, .250, .1, .004, 1.423}};
    for (const auto& r : rows) {
        const OffsetStrip fin{(1 / r[0] - r[3]) * inch, (r[1] - r[3]) * inch, r[2] * inch, r[3] * inch};
        EXPECT_NEAR(fin.hydraulic_diameter() * 1e3, r[4], 0.01 * r[4]);
    }
}
// Chang & Wang 1997 as coded in the Modelica Standard Library (verified); values computed from that code.
TEST(FinSurfaces, LouverFin) {
    constexpr double mm = 1e-3;
    const Louver fin{27 * std::numbers::pi / 180, 1.4 * mm, 8 * mm, 20 * mm, 6.5 * mm, 10 * mm, 0.1 * mm, 1.4 * mm};
    constexpr double table[][2] = {{100, 0.04627}, {300, 0.02701}, {500, 0.02103}, {1000, 0.01497}, {3000, 0.00874}};
    for (const auto& [Re, j] : table) EXPECT_NEAR(Surface(fin).j(Re), j, 6e-6) << Re;
}
// tanh(mL)/(mL) (universal, from memory; values computed).
TEST(FinSurfaces, FinEfficiency) {
    constexpr double table[][2] = {{.25, .979675}, {.5, .924234}, {1, .761594},
                                   {1.5, .603432}, {2, .482014},  {3, .331685}};
    for (const auto& [mL, eta] : table) EXPECT_NEAR(fin_efficiency(mL), eta, 1e-6);
    EXPECT_NEAR(fin_efficiency(0.999e-3), fin_efficiency(1.001e-3), 1e-8);  // the seam of the series
}
// Shah & London, rectangular duct, constant heat flux (verified, via ht): aspect 1, .5, .25, .125, 0.
TEST(FinSurfaces, LaminarNusselt) {
    constexpr double table[][2] = {{1, 3.6102}, {.5, 4.1258}, {.25, 5.3327}, {.125, 6.4922}, {0, 8.235}};
    for (const auto& [a, Nu] : table) EXPECT_NEAR(laminar_nusselt(a), Nu, 1.5e-4 * Nu) << a;
}
// Gnielinski with a given f (verified, ht/conv_internal.py), and with Petukhov's f (computed).
TEST(FinSurfaces, TurbulentNusselt) {
    EXPECT_NEAR(gnielinski(1e5, 1.2, 0.0185), 254.62682749359632, 1e-9);
    constexpr double table[][3] = {{1e4, .7, 29.817}, {1e5, .7, 178.623}, {1e4, 6, 74.982},
                                   {5e4, 3, 226.250}, {5e3, 6, 38.222},   {3e3, 10, 25.366}};
    for (const auto& [Re, Pr, Nu] : table) {
        EXPECT_NEAR(gnielinski(Re, Pr, petukhov(Re)), Nu, 6e-4);
        if (Re >= 4000) {
            EXPECT_NEAR(tube_nusselt(Re, Pr, 5.0), Nu, 6e-4);
        }
    }
    // Petukhov's smooth tube (form verified in the library fluids; values computed)
    EXPECT_NEAR(petukhov(1e4), .031480, 1e-6);
    EXPECT_NEAR(petukhov(5e4), .020958, 1e-6);
    EXPECT_NEAR(petukhov(1e5), .017992, 1e-6);
}
TEST(FinSurfaces, TubeNusseltIsContinuousAndRises) {
    double below = tube_nusselt(2000.0, 10.0, 5.0);
    EXPECT_EQ(below, 5.0);
    for (double Re = 2300; Re < 4400; Re += 1) {
        const double Nu = tube_nusselt(Re, 10.0, 5.0);
        EXPECT_GE(Nu, below);
        EXPECT_LT(Nu - below, 0.05);
        below = Nu;
    }
}

}  // namespace fin_surfaces_tests

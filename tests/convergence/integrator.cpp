// The integrator on problems with exact or published answers: accuracy follows the tolerance, sums stay sums.
#include <gtest/gtest.h>

#include <cmath>
#include <iomanip>
#include <sstream>

#include "problems.hpp"

namespace integrator_tests {

using namespace pullcast;
using namespace pullcast::test;

double run(System& s, const Integrator::Options& o, std::vector<double> x0, double t_end, double t0 = 0) {
    Integrator i(s, o);
    i.start(t0, x0.data());
    EXPECT_EQ(i.advance(t_end), Integrator::Stop::reached);
    EXPECT_EQ(i.time(), t_end);
    return i.state()[0];
}

/// Least-squares slope of log10(error) over log10(rtol) from 1e-4 to 1e-9; every rung is printed.
template <class Error>
double ladder_slope(const char* name, Error error) {
    double sx = 0, sy = 0, sxx = 0, sxy = 0;
    std::ostringstream rungs;
    for (int k = 4; k <= 9; ++k) {
        const double e = error(std::pow(10, -k));
        EXPECT_LT(e, 500 * std::pow(10, -k)) << name << " at rtol 1e-" << k;
        rungs << " 1e-" << k << ":" << std::setprecision(2) << e;
        sx += -k, sy += std::log10(e), sxx += k * k, sxy += -k * std::log10(e);
    }
    const double slope = (6 * sxy - sx * sy) / (6 * sxx - sx * sx);
    std::printf("%s: slope %.2f, errors%s\n", name, slope, rungs.str().c_str());
    return slope;
}

// Exact: exp(-3 t).
TEST(Ladder, ExponentialDecay) {
    Problem p = decay(3);
    const double slope = ladder_slope("decay", [&](double rtol) {
        return std::fabs(run(p, tolerance(rtol, {rtol * 1e-3}), {1}, 2) / std::exp(-6) - 1);
    });
    EXPECT_GT(slope, 0.7);
    EXPECT_LT(slope, 1.3);
}

/// Largest error over all steps of Prothero and Robinson's problem, whose exact answer is cos t at any stiffness.
double prothero_robinson_error(double stiffness, double rtol) {
    Problem p = prothero_robinson(stiffness);
    Integrator i(p, tolerance(rtol, {rtol}));
    const double x0 = 1;
    i.start(0, &x0);
    double worst = 0;
    i.advance(10, [&](double t) { worst = std::max(worst, std::fabs(i.state()[0] - std::cos(t))); });
    return worst;
}

TEST(Ladder, ProtheroRobinson) {
    const auto error = [](double rtol) { return prothero_robinson_error(30, rtol); };
    const double slope = ladder_slope("Prothero-Robinson", error);
    EXPECT_GT(slope, 0.7);
    EXPECT_LT(slope, 1.3);
}

// In the stiff limit the state sits on the slow solution: the error must stay below what the weights allow at any one
// step, rtol |x| + atol <= 2 rtol here.
TEST(Ladder, ProtheroRobinsonInTheStiffLimit) {
    for (const double rtol : {1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9})
        for (const double stiffness : {1e4, 1e6, 1e8})
            EXPECT_LT(prothero_robinson_error(stiffness, rtol), 2 * rtol)
                << "rtol " << rtol << ", stiffness " << stiffness;
}

// Exact: (sqrt(x0) - c t / 2)^2.
TEST(Ladder, BlowDown) {
    Problem p = blow_down(0.8);
    const double slope = ladder_slope("blow-down", [&](double rtol) {
        return std::fabs(run(p, tolerance(rtol, {rtol * 1e-3}), {4}, 4) / std::pow(2 - 0.4 * 4, 2) - 1);
    });
    EXPECT_GT(slope, 0.7);
    EXPECT_LT(slope, 1.3);
}

// Exact: x = A exp(-t) + B exp(-1e6 t) along (1, 1) and (1, -1), a stiffness ratio of 1e6.
TEST(Ladder, StiffLinear) {
    Problem p(
        2,
        [](double, const double* x, double* d) {
            const double s = 1e6 / 2, w = 0.5;
            d[0] = -(s + w) * x[0] + (s - w) * x[1], d[1] = (s - w) * x[0] - (s + w) * x[1];
            return true;
        },
        [](double, const double*, double* v) {
            const double s = 1e6 / 2, w = 0.5;
            v[0] = v[3] = -(s + w), v[1] = v[2] = s - w;
        });
    const double slope = ladder_slope("stiff linear", [&](double rtol) {
        return std::fabs(run(p, tolerance(rtol, {rtol * 1e-3, rtol * 1e-3}), {2, 0}, 3) / std::exp(-3) - 1);
    });
    EXPECT_GT(slope, 0.7);
    EXPECT_LT(slope, 1.3);
}

// Test Set for IVP Solvers (University of Bari), problem VDPOL with mu = 1000: reference solution at t = 2000.
TEST(Published, VanDerPol) {
    Problem p = van_der_pol(1000);
    Integrator i(p, tolerance(1e-9, {1e-12, 1e-12}));
    const double x0[] = {2, 0};
    i.start(0, x0);
    i.advance(2000);
    EXPECT_NEAR(i.state()[0], 0.1706167732170469e1, 2e-6);
    EXPECT_NEAR(i.state()[1], -0.8928097010248125e-3, 2e-9);
}

// SUNDIALS, examples/cvode/serial/cvRoberts_dns.c: check_ans holds the solution at 4e10 from rtol 1e-8, atol 1e-14.
// Test Set for IVP Solvers, problem ROBER: reference solution at 1e11.
TEST(Published, Robertson) {
    Problem p = robertson();
    auto o = tolerance(1e-8, {1e-14, 1e-18, 1e-14});
    Integrator i(p, o);
    const double x0[] = {1, 0, 0};
    i.start(0, x0);
    i.advance(4e10);
    EXPECT_NEAR(i.state()[0] / 5.2083495894337328e-08, 1, 1e-5);
    EXPECT_NEAR(i.state()[1] / 2.0833399429795671e-13, 1, 1e-5);
    EXPECT_NEAR(i.state()[2], 9.9999994791629776e-01, 1e-12);
    i.advance(1e11);
    EXPECT_NEAR(i.state()[0] / 0.2083340149701255e-7, 1, 1e-5);
    EXPECT_NEAR(i.state()[1] / 0.8333360770334713e-13, 1, 1e-5);
    EXPECT_NEAR(i.state()[2], 0.9999999791665050, 1e-12);
}

// The same example's root finding and its printed table (rtol 1e-4, so 3 to 4 digits): y3 = 0.01 is met on the way up
// at 0.26391 s, y1 = 1e-4 on the way down at 2.0813e7 s.
TEST(Published, RobertsonRootsAndTable) {
    Problem p = robertson();
    p.g = {[](double, const double* y) { return y[0] - 1e-4; }, [](double, const double* y) { return y[2] - 0.01; }};
    Integrator i(p, tolerance(1e-7, {1e-12, 1e-16, 1e-12}));
    const double x0[] = {1, 0, 0};
    i.start(0, x0);
    ASSERT_EQ(i.advance(0.4), Integrator::Stop::crossing);
    EXPECT_NEAR(i.time() / 2.6391e-1, 1, 5e-4);
    EXPECT_EQ(i.crossed()[0], 0);
    EXPECT_EQ(i.crossed()[1], 1);
    ASSERT_EQ(i.advance(0.4), Integrator::Stop::reached);
    EXPECT_NEAR(i.state()[0], 9.851641e-01, 5e-5);
    ASSERT_EQ(i.advance(40), Integrator::Stop::reached);
    EXPECT_NEAR(i.state()[0], 7.158017e-01, 2e-4);
    ASSERT_EQ(i.advance(4e7), Integrator::Stop::crossing);
    EXPECT_NEAR(i.time() / 2.0813e7, 1, 1e-2);
    EXPECT_EQ(i.crossed()[0], -1);
    EXPECT_EQ(i.crossed()[1], 0);
}

// What leaves one component enters another or an account, so a linear sum is constant, whatever the tolerance is.
TEST(Invariants, SumsOverStatesAndAccountsHoldToRoundOff) {
    Problem p = vessels_with_accounts();
    for (const double rtol : {1e-3, 1e-6}) {
        Integrator i(p, tolerance(rtol, std::vector<double>(5, rtol)));
        const double x0[] = {5, 1, 0, 0, 0};
        i.start(0, x0);
        double worst = 0, inside[5];
        const auto residual = [](const double* x) { return x[0] + x[1] + x[2] - x[3] + x[4] - 6; };
        i.advance(20, [&](double) {
            worst = std::max(worst, std::fabs(residual(i.state())));
            i.interpolate(0.3 * i.step_begin() + 0.7 * i.step_end(), inside);
            worst = std::max(worst, std::fabs(residual(inside)));
        });
        const double passed = i.state()[3] + 6;
        EXPECT_NEAR(i.state()[3], 20 + (1 - std::cos(60)) / 3, 300 * rtol);
        EXPECT_LT(worst / passed, 1e-14) << "rtol " << rtol;
        RecordProperty("residual", std::to_string(worst / passed));
        std::printf("rtol %g: residual %.1e of what passed, %llu steps\n", rtol, worst / passed,
                    static_cast<unsigned long long>(i.statistics().steps));
    }
}

// Accounts that nobody looks at neither cost steps nor loosen the test of the states: their number must not matter.
TEST(Invariants, UntestedAccountsDoNotDiluteTheNorm) {
    const auto steps = [](std::uint32_t accounts) {
        Problem::Rows rows(1 + accounts, {0});
        Problem p(
            1 + accounts,
            [=](double t, const double* x, double* d) {
                d[0] = -50 * (x[0] - std::cos(5 * t));
                for (std::uint32_t k = 1; k <= accounts; ++k) d[k] = 1e6 * x[0];
                return true;
            },
            [=](double, const double*, double* v) {
                v[0] = -50;
                for (std::uint32_t k = 1; k <= accounts; ++k) v[k] = 1e6;
            },
            rows);
        p.tested = 1;
        Integrator i(p, tolerance(1e-6, std::vector<double>(1 + accounts, 1e-9)));
        const std::vector<double> x0(1 + accounts, 0.0);
        i.start(0, x0.data());
        i.advance(3);
        return std::make_pair(i.statistics().steps, i.state()[0]);
    };
    EXPECT_EQ(steps(0), steps(40));
}

// A value with derivatives along two directions as one group: x' = -k x gives d/dk x = -t x, d/dx0 x = x / x0, exactly.
TEST(Groups, DerivativesAreCarriedWithTheValue) {
    struct Group : Problem {
        using Problem::Problem;
        std::size_t size() const override { return 3; }
        std::size_t error_tested() const override { return 3; }
    };
    Group p(1,
            [](double, const double* x, double* d) {
                d[0] = -2 * x[0], d[1] = -2 * x[1] - x[0], d[2] = -2 * x[2];
                return true;
            },
            [](double, const double*, double* v) { v[0] = -2; });
    Integrator i(p, tolerance(1e-8, {1e-10, 1e-10, 1e-10}));
    const double x0[] = {3, 0, 1};
    i.start(0, x0);
    i.advance(1.5);
    EXPECT_NEAR(i.state()[0], 3 * std::exp(-3), 1e-6);
    EXPECT_NEAR(i.state()[1], -1.5 * 3 * std::exp(-3), 1e-6);
    EXPECT_NEAR(i.state()[2], std::exp(-3), 1e-6);
}

TEST(Stock, AgreesWithTheProjectsOwnSolver) {
    Problem p = robertson();
    auto o = tolerance(1e-8, {1e-14, 1e-18, 1e-14});
    const double own = run(p, o, {1, 0, 0}, 4e5);
    o.stock = true;
    EXPECT_NEAR(run(p, o, {1, 0, 0}, 4e5) / own, 1, 2e-6);
}

}  // namespace integrator_tests

// How the integrator stops, repeats and fails. Every message is checked in full or up to figures that it measures.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <new>
#include <numbers>

#include "problems.hpp"

namespace {
std::size_t allocations = 0;
}
// Out of line, or gcc takes the pair of malloc and free for a mismatch.
[[gnu::noinline]] void* operator new(std::size_t size) {
    ++allocations;
    if (void* p = std::malloc(size ? size : 1)) return p;
    throw std::bad_alloc();
}
[[gnu::noinline]] void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations;
    return std::malloc(size ? size : 1);
}
[[gnu::noinline]] void operator delete(void* p) noexcept { std::free(p); }
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept { std::free(p); }

namespace {

using namespace pullcast;
using namespace pullcast::test;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::string failure(System& s, const Integrator::Options& o, std::vector<double> x0, double t_end) {
    Integrator i(s, o);
    i.start(0, x0.data());
    try {
        i.advance(t_end);
    } catch (const SolveError& e) {
        EXPECT_EQ(e.t, i.time());
        return e.what();
    }
    return "no failure";
}
void expect_contains(const std::string& text, const std::string& part) {
    EXPECT_NE(text.find(part), std::string::npos) << "'" << part << "' is not in:\n" << text;
}

/// x' = cos t, so x = sin t.
Problem sine() {
    return {1, [](double t, const double*, double* d) { return d[0] = std::cos(t), true; },
            [](double, const double*, double* v) { v[0] = 0; }};
}

TEST(Crossings, AreFoundWhereTheSolutionPutsThem) {
    Problem p = sine();
    p.g = {[](double, const double* x) { return x[0] - 0.5; }};
    Integrator i(p, tolerance(1e-9, {1e-11}));
    const double x0 = 0;
    i.start(0, &x0);
    const double expected[] = {std::numbers::pi / 6, 5 * std::numbers::pi / 6, 13 * std::numbers::pi / 6};
    for (int k = 0; k < 3; ++k) {
        ASSERT_EQ(i.advance(8), Integrator::Stop::crossing);
        EXPECT_NEAR(i.time(), expected[k], 1e-7);
        EXPECT_NEAR(i.state()[0], 0.5, 1e-12);  // the interpolant's root is met to round-off
        EXPECT_EQ(i.crossed()[0], k == 1 ? -1 : 1);
    }
    EXPECT_EQ(i.advance(8), Integrator::Stop::reached);
    EXPECT_NEAR(i.state()[0], std::sin(8), 1e-7);
}

// The jump needs no more than `t >= 1`: an integrator that looked past the breakpoint would answer with tiny steps.
TEST(Breakpoints, AreLandedOnFromBothSides) {
    double latest = 0;
    Problem p(1,
              [&](double t, const double* x, double* d) {
                  latest = std::max(latest, t);
                  return d[0] = t >= 1 ? 5 - x[0] : -x[0], true;
              },
              [](double, const double*, double* v) { v[0] = -1; });
    Integrator i(p, tolerance(1e-8, {1e-10}));
    double x = 1;
    i.start(0, &x);
    EXPECT_EQ(i.advance(1), Integrator::Stop::reached);
    EXPECT_EQ(i.time(), 1);
    EXPECT_LT(latest, 1);
    x = i.state()[0];
    EXPECT_NEAR(x, std::exp(-1), 1e-7);
    const auto before = i.statistics();
    i.start(1, &x);
    EXPECT_EQ(i.advance(2), Integrator::Stop::reached);
    EXPECT_NEAR(i.state()[0], 5 + (std::exp(-1) - 5) * std::exp(-1), 1e-7);
    // Up to the jump it is the run of a system that never jumps, to the last bit.
    Problem smooth = decay(1);
    Integrator j(smooth, tolerance(1e-8, {1e-10}));
    const double x0 = 1;
    j.start(0, &x0);
    j.advance(1);
    EXPECT_EQ(j.state()[0], x);
    EXPECT_EQ(j.statistics().steps, before.steps);
}

TEST(Breakpoints, OneRoundingErrorApartNeedNoStep) {
    Problem p = sine();
    Integrator i(p, tolerance(1e-6, {1e-9}));
    const double x0 = 0;
    i.start(1, &x0);
    EXPECT_EQ(i.advance(std::nextafter(1.0, 2.0)), Integrator::Stop::reached);
    EXPECT_EQ(i.advance(2), Integrator::Stop::reached);
    EXPECT_NEAR(i.state()[0], std::sin(2) - std::sin(1), 1e-5);
}

TEST(Steps, StopAtTheTimeAskedForAndInterpolateWithin) {
    Problem p = sine();
    Integrator i(p, tolerance(1e-8, {1e-10}));
    const double x0 = 0;
    double at = 0;
    i.start(0, &x0);
    i.interpolate(0, &at);
    EXPECT_EQ(at, 0);
    while (i.step(3) == Integrator::Stop::step) {
        EXPECT_LE(i.step_end(), 3);
        EXPECT_EQ(i.step_end(), i.time());
        const double t = 0.5 * (i.step_begin() + i.step_end());
        i.interpolate(t, &at);
        EXPECT_NEAR(at, std::sin(t), 1e-6);
    }
    EXPECT_EQ(i.time(), 3);
    EXPECT_EQ(i.step(3), Integrator::Stop::reached);
    EXPECT_THROW(i.interpolate(i.step_begin() - 0.1, &at), std::invalid_argument);
    EXPECT_THROW(i.interpolate(3.1, &at), std::invalid_argument);
    EXPECT_THROW(i.step(2), std::invalid_argument);
}

TEST(Steps, KeepToTheLongestAllowed) {
    Problem p = decay(1e-3);
    auto o = tolerance(1e-4, {1e-6});
    o.max_step = 0.01;
    Integrator i(p, o);
    const double x0 = 1;
    i.start(0, &x0);
    i.advance(1, [&](double) { EXPECT_LE(i.step_end() - i.step_begin(), 0.01 * (1 + 1e-9)); });
    EXPECT_GE(i.statistics().steps, 100u);
}

std::vector<double> trace(Integrator& i, const std::vector<double>& x0, double t_end) {
    std::vector<double> all;
    i.start(0, x0.data());
    i.advance(t_end, [&](double t) { all.push_back(t), all.insert(all.end(), i.state(), i.state() + x0.size()); });
    return all;
}

TEST(Repeatable, BitByBitInANewObjectAndInAUsedOne) {
    const std::vector<double> x0{1, 0, 0}, other{0.3, 1e-5, 0.7};
    Problem p = robertson();
    const auto o = tolerance(1e-6, {1e-10, 1e-14, 1e-10});
    Integrator first(p, o), second(p, o);
    const auto expected = trace(first, x0, 4e4);
    EXPECT_GT(expected.size(), 400u);
    EXPECT_EQ(trace(second, x0, 4e4), expected);
    trace(second, other, 77);  // leaves another history behind
    EXPECT_EQ(trace(second, x0, 4e4), expected);
    second.start(0, other.data());
    second.step(10);           // and this one stops in the middle
    EXPECT_EQ(trace(second, x0, 4e4), expected);
}

TEST(Repeatable, AfterAFailureToo) {
    bool broken = false;
    Problem p = decay(3);
    p.f = [&](double t, const double* x, double* d) { return d[0] = broken && t > 0.5 ? nan : -3 * x[0], true; };
    Integrator i(p, tolerance(1e-6, {1e-9}));
    const auto expected = trace(i, {1}, 2);
    broken = true;
    EXPECT_THROW(trace(i, {1}, 2), SolveError);
    broken = false;
    EXPECT_EQ(trace(i, {1}, 2), expected);
}

TEST(Repeatable, StatisticsAddUpOverStarts) {
    Problem p = van_der_pol(50);
    Integrator i(p, tolerance(1e-6, {1e-8, 1e-8}));
    trace(i, {2, 0}, 60);
    const auto once = i.statistics();
    trace(i, {2, 0}, 60);
    const auto twice = i.statistics();
    EXPECT_GT(once.steps, 100u);
    EXPECT_EQ(twice.steps, 2 * once.steps);
    EXPECT_EQ(twice.derivatives, 2 * once.derivatives);
    EXPECT_EQ(twice.jacobians, 2 * once.jacobians);
    EXPECT_EQ(twice.factorisations, 2 * once.factorisations);
    EXPECT_EQ(twice.newton_iterations, 2 * once.newton_iterations);
    EXPECT_EQ(twice.error_test_fails, 2 * once.error_test_fails);
    EXPECT_EQ(once.rejections, 0u);
    EXPECT_GE(once.factorisations, once.steps / 5);
    EXPECT_GE(once.jacobians, once.steps / 10);
    EXPECT_GE(once.factorisations, once.jacobians);
}

TEST(Steps, LeaveTheHeapAlone) {
    Problem p = vessels_with_accounts();
    p.g = {[](double, const double* x) { return x[0] - 1e9; }};
    Integrator i(p, tolerance(1e-7, std::vector<double>(5, 1e-9)));
    const double x0[] = {5, 1, 0, 0, 0};
    double inside[5];
    i.start(0, x0);
    i.step(20);
    const auto counted = allocations;
    EXPECT_GT(counted, 0u) << "the heap is not being watched";
    while (i.step(20) != Integrator::Stop::reached) i.interpolate(i.step_begin(), inside);
    i.start(20, i.state());
    i.advance(21);
    EXPECT_EQ(allocations, counted);
    EXPECT_GT(i.statistics().steps, 100u);
}

// x' = -x + s N x with N = [[1, 1], [-1, -1]], N^2 = 0: both eigenvalues are -1, but s is large. Without exchanges the
// second pivot of I - gamma J keeps only 1 / (gamma s)^2 of what went into it, so the pattern's own LU has to give up.
// Exact: x + y decays as exp(-t), and from (1, -1) so does x.
TEST(LinearSolver, FallsBackToPivotingWhereTheDiagonalFails) {
    const double s = 1e7;
    Problem p(
        2,
        [s](double, const double* x, double* d) {
            d[0] = -x[0] + s * (x[0] + x[1]), d[1] = -x[1] - s * (x[0] + x[1]);
            return true;
        },
        [s](double, const double*, double* v) { v[0] = s - 1, v[1] = s, v[2] = -s, v[3] = -s - 1; });
    auto o = tolerance(1e-6, {1e-8, 1e-8});
    Integrator i(p, o);
    const double x0[] = {1, -1};
    i.start(0, x0);
    i.advance(2);
    EXPECT_GT(i.statistics().dense_factorisations, 0u);
    EXPECT_NEAR(i.state()[0] + i.state()[1], 0, 1e-6);
    EXPECT_NEAR(i.state()[0], std::exp(-2), 1e-4);
}

TEST(Failures, ARateThatIsNoNumberIsNamed) {
    Problem p(3,
              [](double t, const double*, double* d) {
                  d[0] = d[2] = 1, d[1] = t > 0.5 ? nan : 0;
                  return true;
              },
              [](double, const double*, double* v) { std::fill_n(v, 9, 0.0); });
    const std::string text = failure(p, tolerance(1e-6, {1e-9, 1e-9, 1e-9}), {0, 0, 0}, 1);
    expect_contains(text, "run stopped at t = 0.");
    expect_contains(text, "\n   part.b: its rate of change is not a finite number\n");
    expect_contains(text, "\n   try: keep the named value within its limits, or a model that covers it");
}

TEST(Failures, ARejectedStartIsToldInTheSystemsWords) {
    Problem p = decay(1);
    p.f = [](double, const double*, double*) { return false; };
    p.reason = "blower: pressure ratio 4.7 is outside the map (1.0 .. 3.2)";
    EXPECT_EQ(failure(p, tolerance(1e-6, {1e-9}), {1}, 1),
              "run stopped at t = 0 s: the state at the start is rejected\n"
              "   blower: pressure ratio 4.7 is outside the map (1.0 .. 3.2)\n"
              "   try: keep the named value within its limits, or a model that covers it");
}

TEST(Failures, AWallOfRejectionsStopsTheRun) {
    Problem p = decay(-1);
    p.f = [](double, const double* x, double* d) { return d[0] = x[0], x[0] < 2; };
    p.reason = "vessel: mass 2 kg is above 2 kg";
    const std::string text = failure(p, tolerance(1e-6, {1e-9}), {1}, 5);
    expect_contains(text, "run stopped at t = 0.6931");  // ln 2 = 0.69315
    expect_contains(text, " s: step size fell below 1e-12 s\n   vessel: mass 2 kg is above 2 kg\n");
}

TEST(Failures, RejectionsAtEveryStepSizeStopTheRun) {
    Problem p = decay(1);
    p.f = [](double t, const double* x, double* d) { return d[0] = -x[0], t <= 0.5; };
    p.reason = "gate: shut";
    Integrator i(p, tolerance(1e-6, {1e-9}));
    const double x0 = 1;
    i.start(0, &x0);
    i.advance(0.5);
    try {
        i.advance(1);
        ADD_FAILURE();
    } catch (const SolveError& e) {
        expect_contains(e.what(), "run stopped at t = 0.5 s: states are rejected down to a step of ");
        expect_contains(e.what(), "\n   gate: shut\n");
        EXPECT_EQ(e.t, 0.5);
    }
    EXPECT_GT(i.statistics().rejections, 5u);
}

// A rejection that a smaller step got over is no reason for what happens later.
TEST(Failures, OldRejectionsAreNotBlamed) {
    Problem p = decay(1);
    bool reject = true;
    p.f = [&](double t, const double* x, double* d) {
        if (t > 0.1 && std::exchange(reject, false)) return false;
        return d[0] = -x[0], true;
    };
    p.reason = "gate: shut for a moment";
    auto o = tolerance(1e-6, {1e-9});
    o.max_steps = 40;
    const std::string text = failure(p, o, {1}, 1e6);
    EXPECT_FALSE(reject);
    expect_contains(text, "more than 40 steps");
    EXPECT_EQ(text.find("gate"), std::string::npos) << text;
}

// x' = x^2 from 1 is infinite at t = 1.
TEST(Failures, ABlowUpFallsBelowTheSmallestStep) {
    Problem p(1, [](double, const double* x, double* d) { return d[0] = x[0] * x[0], true; },
              [](double, const double* x, double* v) { v[0] = 2 * x[0]; });
    auto o = tolerance(1e-6, {1e-9});
    o.min_step = 1e-6;
    const std::string text = failure(p, o, {1}, 2);
    expect_contains(text, "step size fell below 1e-06 s");
    expect_contains(text, "largest error: part.a");
    expect_contains(text, "try: look for a value that jumps near this time");
}

TEST(Failures, TooManySteps) {
    Problem p = van_der_pol(100);
    auto o = tolerance(1e-6, {1e-9, 1e-9});
    o.max_steps = 50;
    const std::string text = failure(p, o, {2, 0}, 1000);
    expect_contains(text, ": more than 50 steps since the start at 0 s");
    expect_contains(text, "try: a larger rtol");
}

TEST(Failures, ACrossingThatIsNoNumberIsNamed) {
    Problem p = sine();
    p.g = {[](double, const double*) { return 1.0; }, [](double t, const double*) { return t > 0.5 ? nan : 1.0; }};
    const std::string text = failure(p, tolerance(1e-6, {1e-9}), {0}, 1);
    expect_contains(text, ": a crossing is not a number\n   gate 1 is not a finite number");
}

TEST(Failures, AnExceptionDoesNotCrossTheSolver) {
    Problem p = decay(1);
    p.f = [](double t, const double* x, double* d) {
        if (t > 0.1) throw std::runtime_error("pump: no such curve");
        return d[0] = -x[0], true;
    };
    expect_contains(failure(p, tolerance(1e-6, {1e-9}), {1}, 1), "s: the system threw: pump: no such curve");
    p.f = [](double, const double* x, double* d) { return d[0] = -x[0], true; };
    p.j = [](double, const double*, double*) { throw 7; };
    expect_contains(failure(p, tolerance(1e-6, {1e-9}), {1}, 1),
                    "the system threw: something that is not a std::exception");
}

TEST(Options, BadOnesAreRefused) {
    Problem p = decay(1);
    EXPECT_THROW(Integrator(p, tolerance(0, {1})), std::invalid_argument);
    EXPECT_THROW(Integrator(p, tolerance(1e-6, {})), std::invalid_argument);
    try {
        Integrator(p, tolerance(1e-6, {0}));
        ADD_FAILURE();
    } catch (const std::invalid_argument& e) {
        EXPECT_STREQ(e.what(), "the absolute tolerance of part.a must be greater than 0");
    }
    Integrator i(p, tolerance(1e-6, {1e-9}));
    EXPECT_THROW(i.step(1), std::logic_error);
}

}  // namespace

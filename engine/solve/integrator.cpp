#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <pullcast/solve/integrator.hpp>
#include <pullcast/solve/newton_matrix.hpp>
#include <pullcast/solve/sundials.hpp>
#include <pullcast/solve/vectors.hpp>

#include "cvodes_objects.hpp"

namespace pullcast {

namespace {

using sundials::Real;

bool all_finite(const double* x, std::size_t n) {
    double sum[4] = {0, 0, 0, 0};  // of x - x: 0, or NaN for what is not finite
    std::size_t i = 0;
    for (; i + 4 <= n; i += 4)
        for (std::size_t j = 0; j < 4; ++j) sum[j] += x[i + j] - x[i + j];
    for (; i < n; ++i) sum[0] += x[i] - x[i];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]) == 0;
}

constexpr std::size_t nothing = ~std::size_t{0};

}  // namespace

struct Integrator::Impl {
    System& system;
    const Options options;
    const std::size_t n, copies;
    NewtonMatrix matrix;
    ContextOwner context{make_context()};
    VectorOwner x, scratch;
    MatrixOwner sun_matrix;
    SolverOwner solver;
    std::unique_ptr<void, FreeCvodes> cvodes;
    std::vector<int> crossed;

    bool started = false;
    double begun = 0, t = 0, step_begin = 0, step_end = 0;
    double stop = std::numeric_limits<double>::quiet_NaN();   // the stop time that CVODES holds
    double limit = std::numeric_limits<double>::infinity();   // the last time the system may be asked about
    double tried = 0;                                         // time of the last derivative
    std::size_t bad_rate = nothing, bad_crossing = nothing;   // not finite
    std::string thrown;                                       // by the system
    bool low_order = false;                                   // from then on no formula above the second
    std::uint64_t segment_steps = 0, settled_rejections = 0;  // rejections before the last accepted step
    Statistics earlier{}, now{};                              // before the last start; what CVODES does not count

    Impl(System& s, Options o);
    void configure();
    long cvodes_steps() const;
    Statistics from_cvodes() const;
    Stop step(double t_end);
    bool labours() const;
    void set_stop(double t_end);
    void after_step();
    [[noreturn]] void fail(int flag);
    std::string cause(int flag) const;
    std::string largest_errors() const;

    /// Calls into the system from C: nothing may be thrown across.
    template <class F> int guarded(F&& call) noexcept {
        try {
            return call();
        } catch (const std::exception& e) {
            thrown = e.what();
        } catch (...) {
            thrown = "something that is not a std::exception";
        }
        return -1;
    }
    double before_end(double time) const { return time < limit ? time : limit; }

    static int derivative(Real time, N_Vector vx, N_Vector vdx, void* self) {
        return static_cast<Impl*>(self)->guarded(
            [&] { return static_cast<Impl*>(self)->derivative(time, numbers(vx), numbers(vdx)); });
    }
    static int linear_system(Real time, N_Vector vx, N_Vector, SUNMatrix, sundials::Bool jacobian_ok,
                             sundials::Bool* jacobian_current, Real gamma, void* self, N_Vector, N_Vector, N_Vector) {
        *jacobian_current = !jacobian_ok;
        return static_cast<Impl*>(self)->guarded(
            [&] { return static_cast<Impl*>(self)->linear_system(time, numbers(vx), jacobian_ok, gamma); });
    }
    static int roots(Real time, N_Vector vx, Real* g, void* self) {
        return static_cast<Impl*>(self)->guarded([&] { return static_cast<Impl*>(self)->roots(time, numbers(vx), g); });
    }
    static int weights(N_Vector vx, N_Vector vw, void* self) {
        const Options& o = static_cast<Impl*>(self)->options;
        const double* x = numbers(vx);
        double* w = numbers(vw);
        for (std::size_t i = 0; i < o.atol.size(); ++i) w[i] = 1 / (o.rtol * std::fabs(x[i]) + o.atol[i]);
        return 0;
    }

    int derivative(double time, const double* state, double* rate) {
        ++now.derivatives;
        tried = time;
        const bool accepted = system.derivative(before_end(time), state, rate);
        if (accepted && all_finite(rate, n)) return 0;
        ++now.rejections;
        bad_rate = nothing;
        for (std::size_t i = n; accepted && i-- > 0;)
            if (!std::isfinite(rate[i])) bad_rate = i;
        return 1;
    }
    int linear_system(double time, const double* state, bool jacobian_ok, double gamma) {
        while (!jacobian_ok) {
            if (!system.jacobian(before_end(time), state, matrix.jacobian())) return ++now.rejections, 1;
            if (!system.pattern_grew()) break;
            matrix.renew();
        }
        matrix.assemble(gamma);
        return 0;
    }
    int roots(double time, const double* state, double* g) {
        system.crossings(before_end(time), state, g);
        for (std::size_t i = 0; i < crossed.size(); ++i)
            if (!std::isfinite(g[i])) return bad_crossing = i, -1;
        return 0;
    }
};

Integrator::Impl::Impl(System& s, Options o)
    : system(s),
      options(std::move(o)),
      n(s.size()),
      copies(s.pattern().rows() ? n / s.pattern().rows() : 0),
      matrix(s.pattern(), copies),
      crossed(s.crossing_count()) {
    if (n == 0 || copies * s.pattern().rows() != n)
        throw std::invalid_argument("size() of the system must be a multiple of its pattern's rows, and not 0");
    if (!(options.rtol > 0) || options.atol.size() != n)
        throw std::invalid_argument("rtol must be greater than 0, and atol must have one value per component");
    for (std::size_t i = 0; i < n; ++i)
        if (!(options.atol[i] > 0))
            throw std::invalid_argument(
                fmt::format("the absolute tolerance of {} must be greater than 0", s.state_name(i / copies)));
    if (options.stock) {
        x.reset(need(N_VNew_Serial(static_cast<sunindextype>(n), context.get()), "N_VNew_Serial"));
        const auto order = static_cast<sunindextype>(n);
        sun_matrix.reset(need(SUNDenseMatrix(order, order, context.get()), "SUNDenseMatrix"));
        solver.reset(need(SUNLinSol_Dense(x.get(), sun_matrix.get(), context.get()), "SUNLinSol_Dense"));
    } else {
        x.reset(new_vector(n, s.error_tested(), copies, context.get()));
        sun_matrix.reset(placeholder_matrix(context.get()));
        solver.reset(wrap(matrix, context.get()));
    }
    scratch.reset(need(N_VClone(x.get()), "N_VClone"));
    cvodes.reset(need(CVodeCreate(CV_BDF, context.get()), "CVodeCreate"));
    configure();
}

void Integrator::Impl::configure() {
    void* const c = cvodes.get();
    check(sundials::silence(context.get(), c), "silence");
    N_VConst(0, x.get());
    check(CVodeInit(c, derivative, 0, x.get()), "CVodeInit");
    check(CVodeSetUserData(c, this), "CVodeSetUserData");
    check(CVodeWFtolerances(c, weights), "CVodeWFtolerances");
    check(CVodeSetLinearSolver(c, solver.get(), sun_matrix.get()), "CVodeSetLinearSolver");
    if (!options.stock) {
        check(CVodeSetLinSysFn(c, linear_system), "CVodeSetLinSysFn");
        check(CVodeSetJacEvalFrequency(c, options.jacobian_every), "CVodeSetJacEvalFrequency");
        check(CVodeSetLSetupFrequency(c, options.setup_every), "CVodeSetLSetupFrequency");
    }
    check(CVodeSetMaxStep(c, options.max_step), "CVodeSetMaxStep");
    check(CVodeSetMinStep(c, options.min_step), "CVodeSetMinStep");
    check(CVodeSetMaxHnilWarns(c, -1), "CVodeSetMaxHnilWarns");
    if (crossed.empty()) return;
    check(CVodeRootInit(c, static_cast<int>(crossed.size()), roots), "CVodeRootInit");
    check(CVodeSetNoInactiveRootWarn(c), "CVodeSetNoInactiveRootWarn");
}

/// Some oscillation hardly decays, such as coolant that stands between elastic walls, or gas between chambers with next
/// to no flow. Formulas above the second are unstable there and keep their steps short; the second is not. Minutes
/// should take few steps; a pull takes some hundred, and thousands only at tight tolerances.
bool Integrator::Impl::labours() const {
    return !low_order && segment_steps >= (options.max_step > 1 ? 1000u : 3000u) && options.rtol > 1e-7;
}

void Integrator::Impl::set_stop(double t_end) {
    if (t_end == stop) return;
    if (t_end < step_end)
        throw std::invalid_argument(fmt::format("cannot stop at {} s, before the last step's end", t_end));
    check(CVodeSetStopTime(cvodes.get(), t_end), "CVodeSetStopTime");
    stop = t_end;
    limit = std::nextafter(t_end, -std::numeric_limits<double>::infinity());
}

Integrator::Stop Integrator::Impl::step(double t_end) {
    if (!started) throw std::logic_error("step() before start()");
    if (t_end == t) return Stop::reached;
    set_stop(t_end);
    if (segment_steps == 0 && t_end - t <= 4 * std::numeric_limits<double>::epsilon() * std::fabs(t_end)) {
        t = t_end;  // no room for a step between neighbouring numbers
        return Stop::reached;
    }
    if (segment_steps >= options.max_steps) fail(CV_TOO_MUCH_WORK);
    const int flag = CVode(cvodes.get(), t_end, x.get(), &t, CV_ONE_STEP);
    if (flag < 0) fail(flag);
    after_step();
    if (flag == CV_ROOT_RETURN) {
        check(CVodeGetRootInfo(cvodes.get(), crossed.data()), "CVodeGetRootInfo");
        return Stop::crossing;
    }
    if (flag != CV_TSTOP_RETURN) return Stop::step;
    if (t != t_end) throw std::logic_error("CVODES stopped beside its stop time");
    stop = std::numeric_limits<double>::quiet_NaN();
    return Stop::reached;
}

void Integrator::Impl::after_step() {
    double last = 0;
    CVodeGetLastStep(cvodes.get(), &last);
    CVodeGetCurrentTime(cvodes.get(), &step_end);
    step_begin = step_end - last;
    segment_steps = static_cast<std::uint64_t>(cvodes_steps());
    settled_rejections = now.rejections;
    bad_rate = nothing;
}

long Integrator::Impl::cvodes_steps() const {
    long steps = 0;
    CVodeGetNumSteps(cvodes.get(), &steps);
    return steps;
}

Integrator::Statistics Integrator::Impl::from_cvodes() const {
    long jacobians = 0, setups = 0, iterations = 0, error_fails = 0, newton_fails = 0;
    CVodeGetNumJacEvals(cvodes.get(), &jacobians);
    CVodeGetNumLinSolvSetups(cvodes.get(), &setups);
    CVodeGetNumNonlinSolvIters(cvodes.get(), &iterations);
    CVodeGetNumErrTestFails(cvodes.get(), &error_fails);
    CVodeGetNumNonlinSolvConvFails(cvodes.get(), &newton_fails);
    const auto count = [](long a, std::uint64_t b) { return static_cast<std::uint64_t>(a) + b; };
    return {count(cvodes_steps(), earlier.steps),
            now.derivatives,
            count(jacobians, earlier.jacobians),
            count(setups, earlier.factorisations),
            matrix.dense_factorisations,
            count(iterations, earlier.newton_iterations),
            count(error_fails, earlier.error_test_fails),
            count(newton_fails, earlier.newton_fails),
            now.rejections};
}

std::string Integrator::Impl::largest_errors() const {
    VectorOwner weight(N_VClone(x.get()));
    if (!weight || CVodeGetEstLocalErrors(cvodes.get(), scratch.get()) < 0 ||
        CVodeGetErrWeights(cvodes.get(), weight.get()) < 0)
        return {};
    std::vector<std::pair<double, std::size_t>> errors;
    for (std::size_t i = 0; i < system.error_tested(); ++i) {
        const double error = std::fabs(numbers(scratch.get())[i] * numbers(weight.get())[i]);
        if (std::isfinite(error) && error > 0) errors.emplace_back(error, i);
    }
    std::stable_sort(errors.begin(), errors.end(), [](auto a, auto b) { return a.first > b.first; });
    std::string text;
    for (std::size_t k = 0; k < std::min<std::size_t>(errors.size(), 3); ++k)
        text +=
            fmt::format("{}{} {:.2g}", k ? ", " : "", system.state_name(errors[k].second / copies), errors[k].first);
    return text;
}

std::string Integrator::Impl::cause(int flag) const {
    const double smallest = std::fabs(tried - step_end);
    switch (flag) {
        case CV_TOO_MUCH_WORK:
            return fmt::format("more than {} steps since the start at {:.6g} s", options.max_steps, begun);
        case CV_TOO_MUCH_ACC:
            return "more accuracy is asked for than double precision can give";
        case CV_FIRST_RHSFUNC_ERR:
            return "the state at the start is rejected";
        case CV_RTFUNC_FAIL:
            return "a crossing is not a number";
        case CV_ERR_FAILURE:
        case CV_CONV_FAILURE:
        case CV_UNREC_RHSFUNC_ERR:
        case CV_REPTD_RHSFUNC_ERR:
            break;
        default:
            return fmt::format("the solver gave up ({})", CVodeGetReturnFlagName(flag));
    }
    if (smallest <= options.min_step * 1.001) return fmt::format("step size fell below {:g} s", options.min_step);
    const char* why = flag == CV_ERR_FAILURE    ? "the error stays too large"
                      : flag == CV_CONV_FAILURE ? "the Newton iteration does not converge"
                                                : "states are rejected";
    return fmt::format("{} down to a step of {:.2g} s", why, smallest);
}

void Integrator::Impl::fail(int flag) {
    std::string text = fmt::format("run stopped at t = {:.6g} s: ", t);
    if (!thrown.empty()) throw SolveError(t, text + "the system threw: " + thrown);
    text += cause(flag);
    const bool rejected = now.rejections > settled_rejections;  // in the step that failed
    std::string reason = rejected ? system.explain() : std::string();
    if (bad_crossing != nothing) reason = system.crossing_name(bad_crossing) + " is not a finite number";
    if (reason.empty() && bad_rate != nothing)
        reason = fmt::format("{}: its rate of change is not a finite number", system.state_name(bad_rate / copies));
    if (!reason.empty()) text += "\n   " + reason;
    if (const std::string errors = largest_errors(); !errors.empty()) text += "\n   largest error: " + errors;
    if (flag == CV_TOO_MUCH_WORK)
        text += "\n   try: a larger rtol, or look for a value that jumps and declare its times as breakpoints";
    else if (flag == CV_TOO_MUCH_ACC) text += fmt::format("\n   try: a larger rtol than {:g}", options.rtol);
    else if (!reason.empty()) text += "\n   try: keep the named value within its limits, or a model that covers it";
    else
        text += "\n   try: look for a value that jumps near this time and declare it as a breakpoint, or a larger rtol";
    throw SolveError(t, text);
}

Integrator::Integrator(System& system, Options options) : impl_(std::make_unique<Impl>(system, std::move(options))) {}
Integrator::~Integrator() = default;

void Integrator::start(double t0, const double* x0) {
    Impl& i = *impl_;
    if (i.started) i.earlier = i.from_cvodes();
    i.started = true;
    std::copy_n(x0, i.n, numbers(i.x.get()));
    check(CVodeReInit(i.cvodes.get(), t0, i.x.get()), "CVodeReInit");
    i.begun = i.t = i.step_begin = i.step_end = i.tried = t0;
    i.stop = std::numeric_limits<double>::quiet_NaN();
    i.segment_steps = 0;
    i.bad_rate = i.bad_crossing = nothing;
    i.settled_rejections = i.now.rejections;
    i.thrown.clear();
}

Integrator::Stop Integrator::step(double t_end) {
    if (impl_->labours()) {
        impl_->low_order = true;
        check(CVodeSetMaxOrd(impl_->cvodes.get(), 2), "CVodeSetMaxOrd");
        start(time(), state());
    }
    return impl_->step(t_end);
}
double Integrator::time() const { return impl_->t; }
const double* Integrator::state() const { return numbers(impl_->x.get()); }
double Integrator::step_begin() const { return impl_->step_begin; }
double Integrator::step_end() const { return impl_->step_end; }
std::span<const int> Integrator::crossed() const { return impl_->crossed; }
Integrator::Statistics Integrator::statistics() const { return impl_->from_cvodes(); }

void Integrator::interpolate(double t, double* x) const {
    const Impl& i = *impl_;
    N_Vector at = i.t == t ? i.x.get() : i.scratch.get();
    if (i.t != t && (i.segment_steps == 0 || CVodeGetDky(i.cvodes.get(), t, 0, at) != CV_SUCCESS))
        throw std::invalid_argument(
            fmt::format("{} s lies outside the last step, {} .. {} s", t, i.step_begin, i.step_end));
    std::copy_n(numbers(at), i.n, x);
}

}  // namespace pullcast

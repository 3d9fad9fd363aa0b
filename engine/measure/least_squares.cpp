#include <ceres/ceres.h>
#include <fmt/format.h>
#include <glog/logging.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <pullcast/measure/least_squares.hpp>
#include <set>
#include <stdexcept>

#include "identifiability.hpp"
#include "weighted_residuals.hpp"

namespace pullcast::measure {

namespace {

/// What went wrong in the last evaluation that failed; blocks are evaluated side by side.
struct Trouble {
    std::mutex guard;
    std::string text;
};

/// A block as Ceres sees it: one parameter block for each unknown. The last evaluation is kept, since a search within
/// bounds asks for the same place several times. Slopes are always computed: an integrated model takes other steps with
/// them, and residuals of a trial without would differ from those that it is compared with by the integrator's noise.
class Cost final : public ceres::CostFunction {
    const Block& block_;
    const LeastSquaresOptions& options_;
    Trouble& trouble_;
    struct Last {
        std::vector<double> at, residuals, slopes;
    };
    mutable Last last_;

public:
    Cost(const Block& block, const LeastSquaresOptions& options, Trouble& trouble)
        : block_(block), options_(options), trouble_(trouble) {
        set_num_residuals(static_cast<int>(residual_count(block)));
        mutable_parameter_block_sizes()->assign(block.unknowns.size(), 1);
    }

    bool Evaluate(double const* const* at, double* residuals, double** jacobians) const override try {
        const auto n = residual_count(block_), width = block_.unknowns.size();
        std::vector<double> values(width);
        for (std::size_t j = 0; j < width; ++j) values[j] = *at[j];
        if (values != last_.at) {
            Last fresh{values, std::vector<double>(n), std::vector<double>(n * width)};
            std::vector<double> plain(n);
            weighted_residuals(block_, options_, values, plain, fresh.residuals, fresh.slopes.data());
            last_ = std::move(fresh);
        }
        std::copy(last_.residuals.begin(), last_.residuals.end(), residuals);
        for (std::size_t j = 0; jacobians && j < width; ++j)
            for (std::size_t i = 0; jacobians[j] && i < n; ++i) jacobians[j][i] = last_.slopes[i * width + j];
        return true;
    } catch (const std::exception& e) {
        const std::lock_guard lock(trouble_.guard);
        trouble_.text = e.what();
        return false;
    }
};

class PriorCost final : public ceres::SizedCostFunction<1, 1> {
    Prior prior_;

public:
    explicit PriorCost(const Prior& prior) : prior_(prior) {}
    bool Evaluate(double const* const* at, double* residuals, double** jacobians) const override {
        residuals[0] = (at[0][0] - prior_.mean) / prior_.deviation;
        if (jacobians && jacobians[0]) jacobians[0][0] = 1 / prior_.deviation;
        return true;
    }
};

[[noreturn]] void refuse(const std::string& text) { throw std::invalid_argument(text); }

void check(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks, const LeastSquaresOptions& o) {
    if (!(o.loss_scale > 0) || !(o.tolerance > 0) || o.most_steps < 1)
        refuse("the loss scale, the tolerance and the number of steps must be greater than 0");
    std::set<std::string> names;
    for (const Unknown& u : unknowns) {
        if (!names.insert(u.name).second) refuse(fmt::format("unknown '{}' stands twice", u.name));
        if (!(u.lo < u.hi)) refuse(fmt::format("{}: its bounds {} .. {} leave no room", u.name, u.lo, u.hi));
        if (!(u.start >= u.lo && u.start <= u.hi))
            refuse(fmt::format("{}: it starts at {}, outside its bounds {} .. {}", u.name, u.start, u.lo, u.hi));
        if (u.prior && !(u.prior->deviation > 0 && std::isfinite(u.prior->deviation) && std::isfinite(u.prior->mean)))
            refuse(fmt::format("{}: what is known beforehand needs a value and a deviation greater than 0", u.name));
    }
    for (const Block& b : blocks) {
        if (std::set<std::size_t>(b.unknowns.begin(), b.unknowns.end()).size() != b.unknowns.size())
            refuse("a block names an unknown twice");
        for (const auto u : b.unknowns)
            if (u >= unknowns.size()) refuse(fmt::format("a block names unknown {} of {}", u, unknowns.size()));
        for (const Series& s : b.series)
            for (std::size_t k = 0; k < s.accuracy.size(); ++k)
                if (!(s.accuracy[k] > 0 && std::isfinite(s.accuracy[k])))
                    refuse(fmt::format("{}, point {}: its accuracy must be greater than 0", s.name, k + 1));
    }
}

std::string in_words(const ceres::Solver::Summary& s, const Trouble& trouble) {
    switch (s.termination_type) {
        case ceres::CONVERGENCE:
        case ceres::USER_SUCCESS:  // PromisesNothing
            return "converged: no step lowers the sum of squares any further";
        case ceres::NO_CONVERGENCE:
            return fmt::format("stopped after {} steps, not converged", s.iterations.size() - 1);
        default:
            return "stopped: no step could be taken" +
                   (trouble.text.empty() ? "" : "; the last trouble: " + trouble.text);
    }
}

/// Everything at the solution: residuals over accuracies, and the Jacobian of what was minimised.
struct Final {
    Eigen::MatrixXd jacobian;  // measured rows, those of instruments, then other priors; free unknowns only
    Eigen::Index measured = 0;
    double squares = 0;
    std::vector<SeriesFit> series;
};

Final evaluate(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks, const LeastSquaresOptions& o,
               const std::vector<double>& values, const std::vector<Eigen::Index>& column, Eigen::Index width) {
    Final f;
    for (const Block& b : blocks) f.measured += static_cast<Eigen::Index>(residual_count(b));
    Eigen::Index row = f.measured;
    for (const Unknown& u : unknowns) row += u.prior.has_value();
    f.jacobian = Eigen::MatrixXd::Zero(row, width);
    row = 0;
    for (const Block& b : blocks) {
        const auto n = residual_count(b), w = b.unknowns.size();
        std::vector<double> at(w), plain(n), bent(n), slopes(n * w);
        for (std::size_t j = 0; j < w; ++j) at[j] = values[b.unknowns[j]];
        weighted_residuals(b, o, at, plain, bent, slopes.data());
        for (std::size_t i = 0; i < n; ++i, ++row) {
            f.squares += plain[i] * plain[i];
            for (std::size_t j = 0; j < w; ++j)
                if (const auto c = column[b.unknowns[j]]; c >= 0) f.jacobian(row, c) = slopes[i * w + j];
        }
        for (auto& s : judge_series(b, plain)) f.series.push_back(std::move(s));
    }
    for (const bool instruments : {true, false}) {
        for (std::size_t j = 0; j < unknowns.size(); ++j) {
            if (!unknowns[j].prior || unknowns[j].instrument != instruments) continue;
            const auto& [mean, deviation] = *unknowns[j].prior;
            f.squares += std::pow((values[j] - mean) / deviation, 2);
            if (column[j] >= 0) f.jacobian(row, column[j]) = 1 / deviation;
            ++row;
        }
        if (instruments) f.measured = row;
    }
    return f;
}

void warn_of_series(LeastSquaresResult& r) {
    for (const SeriesFit& s : r.series)
        if (s.points >= 10 && s.lag_correlation > 0.5)
            r.warnings.push_back(
                fmt::format("{}: what the fit leaves is no noise, neighbours go together (correlation {:.2f}): {} "
                            "points count as {:.0f}, "
                            "and deviations may be {:.1f} times as large",
                            s.name, s.lag_correlation, s.points, s.effective_points,
                            std::sqrt(static_cast<double>(s.points) / s.effective_points)));
}

void judge(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks, const LeastSquaresOptions& o,
           const std::vector<double>& values, LeastSquaresResult& r) {
    const auto n = unknowns.size();
    std::vector<Eigen::Index> column(n, -1);
    std::vector<std::string> names;
    std::vector<double> prior;
    for (std::size_t j = 0; j < n; ++j) {
        const Unknown& u = unknowns[j];
        const bool bound = values[j] <= u.lo || values[j] >= u.hi;
        r.estimates.push_back({u.name, values[j], 0, bound});
        if (bound)
            r.warnings.push_back(fmt::format("{} ended at its bound, {:.6g}: it would go further", u.name, values[j]));
        if (bound) continue;
        column[j] = static_cast<Eigen::Index>(names.size());
        names.push_back(u.instrument ? "" : u.name);
        prior.push_back(u.prior ? u.prior->deviation : std::numeric_limits<double>::infinity());
    }
    const auto width = static_cast<Eigen::Index>(names.size());
    Final f = evaluate(unknowns, blocks, o, values, column, width);
    r.sum_of_squares = f.squares;
    r.series = std::move(f.series);
    const auto freedom = f.jacobian.rows() - width;
    r.residual_deviation = freedom > 0 ? std::sqrt(f.squares / static_cast<double>(freedom)) : 0;
    Knowledge k = knowledge(f.jacobian);
    r.condition = k.condition;
    if (std::any_of(blocks.begin(), blocks.end(), [](const Block& b) { return residual_count(b) > 0; }))
        for (auto& w : left_open(f.jacobian.topRows(f.measured), prior, k.covariance, names))
            r.warnings.push_back(std::move(w));
    if (f.measured > 0) {
        std::vector<bool> asked;
        std::vector<std::size_t> unknown;
        for (std::size_t j = 0; j < n; ++j)
            if (column[j] >= 0) asked.push_back(!unknowns[j].instrument), unknown.push_back(j);
        r.leaning = leaning(f.jacobian.topRows(f.measured), asked);
        for (auto& l : r.leaning) l.a = unknown[l.a], l.b = unknown[l.b];
    }
    if (!o.known_accuracy) k.covariance *= r.residual_deviation * r.residual_deviation;
    r.covariance.assign(n * n, 0.0);
    for (std::size_t a = 0; a < n; ++a)
        for (std::size_t b = 0; b < n; ++b)
            if (column[a] >= 0 && column[b] >= 0) r.covariance[a * n + b] = k.covariance(column[a], column[b]);
    for (std::size_t a = 0; a < n; ++a) r.estimates[a].deviation = std::sqrt(r.covariance[a * n + a]);
    if (!o.neighbours_allowed_for) warn_of_series(r);
}

}  // namespace

double LeastSquaresResult::correlation(std::size_t a, std::size_t b) const {
    const auto n = estimates.size();
    const double size = estimates[a].deviation * estimates[b].deviation;
    return a == b ? 1 : size > 0 && std::isfinite(size) ? covariance[a * n + b] / size : 0;
}

namespace {

/// Ends the search where a step that is hardly damped promises no more than the tolerance: an integrated model's own
/// noise would refuse it, and the search would go on in ever smaller steps.
class PromisesNothing final : public ceres::IterationCallback {
    double tolerance_, sum_ = 0;  // the sum where the search stands; a refused step tells of its own

public:
    explicit PromisesNothing(double tolerance) : tolerance_(tolerance) {}
    ceres::CallbackReturnType operator()(const ceres::IterationSummary& s) override {
        constexpr double hardly_damped = 1;  // trust region over the damping's scale
        const bool known = std::isfinite(s.relative_decrease) && s.relative_decrease != 0;
        const double promised = known ? std::fabs(s.cost_change / s.relative_decrease) : 0;
        if (s.step_is_successful) sum_ = s.cost;
        return known && s.trust_region_radius > hardly_damped && promised < tolerance_ * sum_
                   ? ceres::SOLVER_TERMINATE_SUCCESSFULLY
                   : ceres::SOLVER_CONTINUE;
    }
};

/// The problem as Ceres holds it; `values` are the unknowns.
class Search {
    const std::vector<Unknown>& unknowns_;
    std::vector<double>& values_;
    Trouble trouble_;
    ceres::Problem problem_;
    PromisesNothing promises_nothing_;
    ceres::Solver::Options options_;
    ceres::Solver::Summary summary_;

public:
    int steps = 0;

    Search(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks, const LeastSquaresOptions& o,
           std::vector<double>& values)
        : unknowns_(unknowns), values_(values), promises_nothing_(o.tolerance) {
        options_.callbacks = {&promises_nothing_};
        for (std::size_t j = 0; j < unknowns.size(); ++j) {
            problem_.AddParameterBlock(&values[j], 1);
            if (std::isfinite(unknowns[j].lo)) problem_.SetParameterLowerBound(&values[j], 0, unknowns[j].lo);
            if (std::isfinite(unknowns[j].hi)) problem_.SetParameterUpperBound(&values[j], 0, unknowns[j].hi);
            if (unknowns[j].prior) problem_.AddResidualBlock(new PriorCost(*unknowns[j].prior), nullptr, &values[j]);
        }
        for (const Block& b : blocks) {
            if (residual_count(b) == 0 || b.unknowns.empty()) continue;
            std::vector<double*> at;
            for (const auto u : b.unknowns) at.push_back(&values[u]);
            problem_.AddResidualBlock(new Cost(b, o, trouble_), nullptr, at);
        }
        FLAGS_minloglevel = google::GLOG_FATAL;  // what Ceres has to say is in its summary
        options_.logging_type = ceres::SILENT;
        options_.linear_solver_type = ceres::DENSE_QR;
        options_.function_tolerance = o.tolerance;
        options_.gradient_tolerance = 1e-14;
        options_.parameter_tolerance = 1e-12;
        options_.max_num_iterations = o.most_steps;
        options_.num_threads = static_cast<int>(o.threads);
    }

    /// Steps that are projected back onto bounds can end short of the solution along them. So what ended at a bound is
    /// held there while the rest is searched again, and let go where the sum then falls towards the inside.
    void run() {
        solve();
        for (int round = 0; round < 5 && hold(); ++round) {
            solve();
            if (!release()) break;
            solve();
        }
    }
    bool converged() const { return summary_.IsSolutionUsable() && summary_.termination_type != ceres::NO_CONVERGENCE; }
    std::string stopped() const { return in_words(summary_, trouble_); }

private:
    void solve() {
        ceres::Solve(options_, &problem_, &summary_);
        if (summary_.termination_type == ceres::FAILURE && summary_.iterations.size() < 2)
            throw FitError("the model cannot be computed at the start: " +
                           (trouble_.text.empty() ? summary_.message : trouble_.text));
        steps += std::max<int>(0, static_cast<int>(summary_.iterations.size()) - 1);
    }
    bool at_bound(std::size_t j) const { return values_[j] <= unknowns_[j].lo || values_[j] >= unknowns_[j].hi; }
    bool hold() {
        bool any = false;
        for (std::size_t j = 0; j < values_.size(); ++j)
            if (at_bound(j)) problem_.SetParameterBlockConstant(&values_[j]), any = true;
        return any;
    }
    bool release() {
        std::vector<double*> all;
        for (double& v : values_) problem_.SetParameterBlockVariable(&v), all.push_back(&v);
        ceres::Problem::EvaluateOptions where;
        where.parameter_blocks = all;
        std::vector<double> gradient;
        if (!problem_.Evaluate(where, nullptr, nullptr, &gradient, nullptr)) return false;
        bool any = false;
        for (std::size_t j = 0; j < values_.size(); ++j)
            any = any || (values_[j] <= unknowns_[j].lo && gradient[j] < 0) ||
                  (values_[j] >= unknowns_[j].hi && gradient[j] > 0);
        return any;
    }
};

}  // namespace

LeastSquaresResult least_squares(const std::vector<Unknown>& unknowns, const std::vector<Block>& blocks,
                                 const LeastSquaresOptions& o) {
    check(unknowns, blocks, o);
    std::vector<double> values;
    for (const Unknown& u : unknowns) values.push_back(u.start);
    Search search(unknowns, blocks, o, values);
    search.run();
    LeastSquaresResult r;
    r.converged = search.converged();
    r.stopped = search.stopped();
    r.steps = search.steps;
    judge(unknowns, blocks, o, values, r);
    return r;
}

}  // namespace pullcast::measure

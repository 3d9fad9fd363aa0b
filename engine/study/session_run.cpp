#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/solve/rig_system.hpp>
#include <pullcast/study/in_parallel.hpp>
#include <pullcast/study/session_run.hpp>

namespace pullcast {
namespace {

using Networks = std::vector<std::shared_ptr<const Network>>;  // by step

constexpr double longest_idle_step = 30;  // s of the integrator, where nothing moves quickly

std::size_t column_of(const Network& network, const std::string& name) {
    const auto& all = network.channels();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Channel& c) { return c.name == name; });
    return static_cast<std::size_t>(at - all.begin());
}

bool holds(const StepEnd& end, double value) { return end.below ? value <= end.value : value >= end.value; }

/// Runs one variant's day.
class Day {
public:
    Day(const Session& session, const Networks& networks, std::size_t variant, const std::atomic<bool>* interrupt)
        : session_(session), networks_(networks), variant_(variant), interrupt_(interrupt) {}

    void run(SessionResult& out) {
        for (const auto& turn : session_.turns)
            for (std::size_t round = 0; round < turn.times; ++round) {
                for (const auto step : turn.steps) out.parts.push_back(run_step(step));
                if (turn.until && holds(*turn.until, last_value(out.parts.back(), turn.until->channel))) break;
            }
    }

private:
    PullPlan plan_of(const SessionStep& step) const {
        auto plan = pull_plan(step.variants[variant_].procedure, interrupt_);
        plan.longest = step.longest, plan.output_step = step.report_step;
        if (step.kind == SessionStep::Kind::pull) return plan;
        plan.settle = 0, plan.stop_speed = 0, plan.longest_step = longest_idle_step, plan.review = false;
        return plan;
    }

    SessionPart run_step(std::size_t index) {
        const auto& step = session_.steps[index];
        SessionPart part;
        part.step = index, part.network = networks_[index];
        const auto& network = *part.network;
        take_over(network, part);
        const auto plan = plan_of(step);
        std::optional<StopAt> until = stop_rule(network, plan.stop_speed);
        if (step.until) until = StopAt{column_of(network, step.until->channel), step.until->value};
        try {
            part.pull = run(network, plan, until, step);
        } catch (const SolveError& e) {
            throw SolveError(e.t, fmt::format("step '{}' at {:.0f} s of the day: {}", step.name, clock_, e.what()));
        }
        part.after = x_;
        part.begin = clock_ + plan.settle;
        clock_ = part.end();
        part.ended_early = step.until && part.pull.reached_stop_speed;
        if (step.kind == SessionStep::Kind::pull) judge_pull(part);
        return part;
    }

    /// What is waited for may be there already; then the step has no length.
    Pull run(const Network& network, PullPlan plan, const std::optional<StopAt>& until, const SessionStep& step) {
        if (step.until) {
            RigSystem system(network, {});
            std::vector<double> row(network.channels().size());
            system.record(-plan.settle, x_.data(), row.data());
            if (holds(*step.until, row[until->channel])) {
                plan.settle = 0, plan.longest = instant;
                auto pull = run_pull(network, plan, std::nullopt, x_);
                pull.reached_stop_speed = true;
                return pull;
            }
        }
        return run_pull(network, plan, until, x_);
    }

    /// States stand as the step before left them; what settings changed of their energy is told.
    void take_over(const Network& network, SessionPart& part) {
        if (x_.empty()) {
            x_.resize(network.size());
            network.start(x_.data());
        } else {
            part.changed_by_hand = network.stored(x_.data()).energy - last_->stored(x_.data()).energy;
        }
        last_ = &network;
    }

    static double last_value(const SessionPart& part, const std::string& channel) {
        return part.pull.at(part.pull.points() - 1, column_of(*part.network, channel));
    }

    static void judge_pull(SessionPart& part) {
        const PullView view(*part.network, part.pull);
        for (const auto& f : figures()) part.figures.push_back(f.compute(view));
        part.warnings = warnings_of(*part.network, part.pull);
    }

    static constexpr double instant = 1e-3;  // s

    const Session& session_;
    const Networks& networks_;
    std::size_t variant_;
    const std::atomic<bool>* interrupt_;
    std::vector<double> x_;
    const Network* last_ = nullptr;
    double clock_ = 0;
};

Networks compile(const Session& session, std::size_t variant) {
    Networks all;
    for (const auto& step : session.steps) {
        const auto& v = step.variants[variant];
        try {
            all.push_back(std::make_shared<const Network>(v.rig));
        } catch (const RigError& e) {
            throw locate(e, v);
        }
    }
    return all;
}

}  // namespace

std::vector<SessionResult> run_sessions(const Study& study, unsigned threads, const std::atomic<bool>* interrupt) {
    if (!study.session) throw std::invalid_argument("the study has no session");
    std::vector<SessionResult> results(study.variants.size());
    std::vector<Networks> networks;
    for (std::size_t v = 0; v < results.size(); ++v) networks.push_back(compile(*study.session, v));
    in_parallel(results.size(), threads, [&](std::size_t v) {
        try {
            Day(*study.session, networks[v], v, interrupt).run(results[v]);
        } catch (const std::exception& e) {
            results[v].failure = e.what();
        }
    });
    if (interrupt && *interrupt) throw Interrupted();
    return results;
}

std::vector<double> steady_figures(const Study& study, std::size_t variant, const SessionPart& pull,
                                   const std::atomic<bool>* interrupt) {
    constexpr double open_before = -1, never = 1e9, long_enough = 1200, rows = 5;  // s
    auto v = study.session->steps[pull.step].variants[variant];
    for (auto& c : v.rig.components) {
        const std::string_view role = c.type->role;
        if (role == "throttle") c.parameters["pull_start"] = open_before;
        if (role == "load") c.parameters["pull_start"] = never, c.parameters["start_speed"] = v.procedure.stop_speed;
    }
    const Network network(v.rig);
    auto plan = pull_plan(v.procedure, interrupt);
    plan.settle = 0, plan.stop_speed = 0, plan.longest = long_enough, plan.output_step = rows, plan.review = false;
    plan.longest_step = longest_idle_step;
    auto x = pull.after;
    const auto run = run_pull(network, plan, std::nullopt, x);
    const PullView view(network, run);
    std::vector<double> all;
    for (const auto& f : figures()) all.push_back(is_reviewed(f) ? std::nan("") : f.compute(view));
    return all;
}

std::vector<std::vector<double>> steady_of_all(const Study& study, const std::vector<SessionResult>& results,
                                               unsigned threads, const std::atomic<bool>* interrupt) {
    std::vector<std::vector<double>> all(results.size());
    in_parallel(results.size(), threads, [&](std::size_t v) {
        const auto pulls = pulls_of(study, results[v]);
        if (pulls.empty() || !results[v].failure.empty()) return;
        try {
            all[v] = steady_figures(study, v, *pulls[0], interrupt);
        } catch (const std::exception&) {  // what cannot be held is no figure
        }
    });
    if (interrupt && *interrupt) throw Interrupted();
    return all;
}

std::vector<const SessionPart*> pulls_of(const Study& study, const SessionResult& result) {
    std::vector<const SessionPart*> all;
    for (const auto& p : result.parts)
        if (study.session->steps[p.step].kind == SessionStep::Kind::pull) all.push_back(&p);
    return all;
}

}  // namespace pullcast

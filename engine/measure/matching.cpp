#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <pullcast/measure/matching.hpp>
#include <pullcast/study/study_run.hpp>

#include "missing_channels.hpp"
#include "reference_runs.hpp"

namespace pullcast::measure {
namespace {

constexpr double stated_pulls = 4;  // the stated repeatability counts as if so many pulls had shown it
constexpr double last_part = 0.85;  // of the speed range: where the end of a pull is judged
constexpr double unlike = 0.5;      // share of what the rig misses alike that may differ all the same
constexpr double two_sided = 0.975, one_sided = 0.95;
constexpr std::size_t most_times = 20;  // so many times the pulls are looked at for how many would do

/// What kind of figure it is: how its scatter is stated, which channel shows it, and which way is better.
struct Sort {
    double Repeatability::*repeatability;
    const char* channel;  // null: none shows it
    bool share;           // stated as a share of the figure
    int better;           // 1: more
};
Sort sort_of(const Figure& f) {
    const std::string_view unit = f.unit, quantity = f.quantity;
    if (unit == "K" || unit == "dK") return {&Repeatability::temperature, "intake_temperature", false, -1};
    if (unit == "Pa") return {&Repeatability::pressure, "manifold_pressure", false, 1};
    if (unit == "rad") return {&Repeatability::spark, nullptr, false, 1};
    return {&Repeatability::power, quantity == "power" || quantity == "torque" ? "wheel_power" : nullptr, true,
            unit == "s" ? -1 : 1};
}

/// How far computed and measured are apart at the end of a pull, of that channel.
std::optional<double> off_at_end(const std::vector<Residuals>& pull, const Sort& sort) {
    for (const auto& r : pull) {
        if (!sort.channel || r.measured->what->kind != std::string_view(sort.channel)) continue;
        const auto& speed = r.measured->speed;
        const double from = speed.front() + last_part * (speed.back() - speed.front());
        double off = 0, size = 0;
        std::size_t n = 0;
        for (std::size_t k = 0; k < speed.size(); ++k)
            if (speed[k] >= from) off += r.computed[k] - r.measured->value[k], size += r.measured->value[k], ++n;
        return sort.share ? off / size : off / static_cast<double>(n);
    }
    return {};
}

struct Scatter {
    double deviation;  // of one pull, in the sort's unit
    double freedom;
    double misfit;  // of the change, as one standard deviation
};

class Matcher {
public:
    Matcher(const Study& study, const MatchChoices& choices, const std::vector<LoggedPull>& pulls,
            const MeasuredFit& fit, const MissingChannels& missing, unsigned threads,
            const std::atomic<bool>* interrupt)
        : study_(study),
          choices_(choices),
          pulls_(pulls),
          fit_(fit),
          interrupt_(interrupt),
          runs_(study, all_figures(choices), fit, threads, interrupt),
          missing_(missing) {}

    std::vector<Comparison> match() {
        std::vector<Comparison> all;
        base_ = base_index(study_);
        base_run_ = runs_.run(base_);
        base_slopes_ = runs_.slopes(base_, nullptr, 0);
        for (std::size_t v = 0; v < study_.variants.size(); ++v)
            for (const auto q : choices_.questions)
                if (v != base_ && pulls_of(v) > 0) all.push_back(compare(v, q));
        return all;
    }

private:
    static std::vector<const Figure*> all_figures(const MatchChoices& choices) {
        auto all = choices.figures;
        const auto want = [&](std::string_view key) {
            for (const auto& f : figures())
                if (key == f.key && std::find(all.begin(), all.end(), &f) == all.end()) all.push_back(&f);
        };
        for (const auto& limit : choices.no_worse) want(limit.figure->key);
        for (const char* key : {"boost_redline", "knock_margin", "knock_smallest_second"}) want(key);
        return all;
    }

    std::size_t pulls_of(std::size_t variant) const {
        return static_cast<std::size_t>(std::count_if(
            pulls_.begin(), pulls_.end(), [&](const LoggedPull& p) { return p.of == study_.variants[variant].name; }));
    }

    Comparison compare(std::size_t to, Question question) {
        Comparison c{base_, to, question, 0, 0, {}, {}, {}};
        const auto* held = held_by(question);
        ReferenceRun run;
        try {
            if (held) {
                c.held = base_run_.figures[runs_.place(held->figure)];
                run = runs_.run(to, *held, c.held);
                c.taken = run.turned;
            } else {
                run = runs_.run(to);
            }
        } catch (const Interrupted&) {
            throw;
        } catch (const std::runtime_error& e) {
            if (!held) throw;
            c.impossible = e.what();
            return c;
        }
        const auto slopes = change_slopes(to, held, run.turned);
        for (std::size_t f = 0; f < choices_.figures.size(); ++f)
            if (!held || choices_.figures[f]->key != std::string_view(held->figure)) add_figure(c, f, run, slopes[f]);
        for (const auto& limit : choices_.no_worse) judge_no_worse(c, limit, run, slopes);
        find_missing(c, slopes);
        return c;
    }

    /// Of the change of each figure over the unknowns, along what keeps the held figure alike.
    std::vector<Eigen::VectorXd> change_slopes(std::size_t to, const Held* held, double turned) {
        const auto own = runs_.slopes(to, held, turned);
        std::vector<double> over(own.size());
        std::vector<double> held_change(own[0].size());
        if (held) {
            over = runs_.slopes_over(to, *held, turned);
            const auto at = runs_.place(held->figure);
            for (std::size_t k = 0; k < held_change.size(); ++k)
                held_change[k] = (own[at][k] - base_slopes_[at][k]) / over[at];
        }
        const auto unknowns = static_cast<Eigen::Index>(fit_.result.solution.estimates.size());
        std::vector<Eigen::VectorXd> all(own.size(), Eigen::VectorXd::Zero(unknowns));
        for (std::size_t f = 0; f < own.size(); ++f)
            for (std::size_t k = 0; k < own[f].size(); ++k)
                all[f][static_cast<Eigen::Index>(k)] = own[f][k] - base_slopes_[f][k] - over[f] * held_change[k];
        return all;
    }

    Scatter scatter(const Sort& sort, std::size_t to) const {
        const double stated = choices_.repeatability.*sort.repeatability;
        std::map<std::string, std::vector<double>> off;
        for (std::size_t p = 0; p < pulls_.size(); ++p)
            if (const auto o = off_at_end(fit_.residuals[p], sort)) off[pulls_[p].of].push_back(*o);
        const auto mean = [](const std::vector<double>& v) {
            double sum = 0;
            for (const double x : v) sum += x;
            return v.empty() ? 0 : sum / static_cast<double>(v.size());
        };
        double squares = 0, freedom = stated_pulls;
        for (const auto& [variant, values] : off) {
            for (const double x : values) squares += std::pow(x - mean(values), 2);
            freedom += static_cast<double>(values.size()) - 1;
        }
        const double variance = (stated_pulls * stated * stated + squares) / freedom;
        const auto &a = off[study_.variants[base_].name], &b = off[study_.variants[to].name];
        if (a.empty() || b.empty()) return {std::sqrt(variance), freedom, 0};
        const double apart = mean(b) - mean(a), by_chance = variance * share_of_pulls(to);
        const double alike = unlike * (mean(a) + mean(b)) / 2;
        return {std::sqrt(variance), freedom, std::sqrt(std::max(apart * apart - by_chance, 0.0) + alike * alike)};
    }
    double share_of_pulls(std::size_t to) const {
        return 1 / static_cast<double>(pulls_of(base_)) + 1 / static_cast<double>(pulls_of(to));
    }

    MatchedFigure matched(const Figure& figure, std::size_t f, std::size_t to, const ReferenceRun& run,
                          const Eigen::VectorXd& slopes) const {
        MatchedFigure m{&figure, base_run_.figures[f], run.figures[f], 0, 0, 0, 0, 0, Verdict::cannot_tell, {}, {}};
        const auto sort = sort_of(figure);
        const auto s = scatter(sort, to);
        const double scale = sort.share ? std::fabs(m.from) : 1;
        m.fit = missing_.deviation(slopes);
        m.scatter = scale * s.deviation * std::sqrt(share_of_pulls(to));
        m.misfit = scale * s.misfit;
        m.model = model_doubt(figure, run, m.change());
        m.half_width = half_width(m, 1, s.freedom, two_sided);
        if (std::fabs(m.change()) > m.half_width) m.verdict = m.change() > 0 ? Verdict::rises : Verdict::falls;
        m.pulls_needed = pulls_needed(m, to, s.freedom);
        return m;
    }
    void add_figure(Comparison& c, std::size_t f, const ReferenceRun& run, const Eigen::VectorXd& slopes) const {
        const auto m = matched(*choices_.figures[f], f, c.to, run, slopes);
        if (!std::isnan(m.change())) c.figures.push_back(m);
    }

    /// Half-width with so many times the pulls.
    static double half_width(const MatchedFigure& m, double times, double freedom, double probability) {
        const double variance =
            (m.fit * m.fit + m.scatter * m.scatter) / times + m.misfit * m.misfit + m.model * m.model;
        return student_quantile(probability, freedom) * std::sqrt(variance);
    }
    std::optional<std::size_t> pulls_needed(const MatchedFigure& m, std::size_t to, double freedom) const {
        const auto now = std::max(pulls_of(base_), pulls_of(to));
        const auto more_freedom = static_cast<double>(pulls_.size());
        for (std::size_t n = now; n <= most_times * now; ++n) {
            const double times = static_cast<double>(n) / static_cast<double>(now);
            if (half_width(m, times, freedom + (times - 1) * more_freedom, two_sided) < std::fabs(m.change())) return n;
        }
        return {};
    }

    double model_doubt(const Figure& figure, const ReferenceRun& run, double change) const {
        if (figure.key != std::string_view("knock_margin")) return 0;
        const auto second = runs_.place("knock_smallest_second");
        const double other = run.figures[second] - base_run_.figures[second];
        return std::isnan(other) ? 0 : std::fabs(other - change) / 2;
    }

    void judge_no_worse(Comparison& c, const NoWorse& limit, const ReferenceRun& run,
                        const std::vector<Eigen::VectorXd>& slopes) const {
        const auto f = runs_.place(limit.figure->key);
        auto at = std::find_if(c.figures.begin(), c.figures.end(),
                               [&](const MatchedFigure& m) { return m.figure == limit.figure; });
        if (at == c.figures.end()) {
            const auto m = matched(*limit.figure, f, c.to, run, slopes[f]);
            if (std::isnan(m.change())) return;
            at = c.figures.insert(c.figures.end(), m);
        }
        const auto sort = sort_of(*limit.figure);
        at->no_worse.limit = limit.share ? limit.limit * std::fabs(at->from) : limit.limit;
        const double worst = sort.better * at->change() - half_width(*at, 1, scatter(sort, c.to).freedom, one_sided);
        at->no_worse.shown = worst > -at->no_worse.limit;
    }

    void find_missing(Comparison& c, const std::vector<Eigen::VectorXd>& slopes) {
        if (c.figures.empty()) return;
        const auto open = std::find_if(c.figures.begin(), c.figures.end(),
                                       [](const MatchedFigure& m) { return m.verdict == Verdict::cannot_tell; });
        const auto& figure = *(open == c.figures.end() ? c.figures.begin() : open)->figure;
        c.missing = missing_.helpful(slopes[runs_.place(figure.key)]);
    }

    const Study& study_;
    const MatchChoices& choices_;
    const std::vector<LoggedPull>& pulls_;
    const MeasuredFit& fit_;
    const std::atomic<bool>* interrupt_;
    ReferenceRuns runs_;
    const MissingChannels& missing_;
    std::size_t base_ = 0;
    ReferenceRun base_run_;
    std::vector<std::vector<double>> base_slopes_;
};

}  // namespace

std::vector<Comparison> match(const Study& study, const MatchChoices& choices, const std::vector<LoggedPull>& pulls,
                              const MeasuredFit& fit, const MissingChannels& missing, unsigned threads,
                              const std::atomic<bool>* interrupt) {
    return Matcher(study, choices, pulls, fit, missing, threads, interrupt).match();
}

int worse_way(const Figure& figure) { return -sort_of(figure).better; }

double student_quantile(double probability, double freedom) {
    return boost::math::quantile(boost::math::students_t(freedom), probability);
}

}  // namespace pullcast::measure

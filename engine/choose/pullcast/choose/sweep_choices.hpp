/// What a study's tables ask of a sweep: which knobs are bought, which are met, and what is wished for.
///
///     [choose]                         all optional
///     combinations = 300               of what can be bought, sampled; "all" if left out
///     met = 16                         conditions, sampled; "all" if left out and all of them are choices, else 16
///     sampling = "Sobol"               or "Latin hypercube"
///     seed = 1
///     figures = ["boost_redline"]      also kept of every run
///     shortlist = 10                   how long it is at most
///     sensitivity = 64                 runs for each column of its design; 0: none
///     [buy.pulley]                     a knob of the study ([knob.pulley]) that one decides about: every choice
///     [buy.duct]                       of a range: so many values, evenly
///     count = 4
///     [meet.weather]                   a knob that one does not decide about: every choice
///     shares = [3, 1, 1]               how often each is met (equal if left out)
///     [meet.humidity]                  of a range: all of it alike, or
///     mean = "60 %"                    a normal distribution, cut at the ends of the knob's range
///     deviation = "10 %"
///     count = 3                        where met is "all": so many values, each as likely
///     [wish.margin]
///     title = "knock margin"           (optional)
///     figure = "knock_margin"          a key of the figures, or "price"
///     at_least = "2 deg"               (or at_most)
///     confidence = "90 %"              of what is met; all of it if left out
///     on = { weather = ["hot-day"] }   (optional) only where these choices are met
///     pull = 3                         (optional) which pull of the study's session
///     prefer = "more"                  or "less": the shortlist is ordered by the first wish that prefers something
#pragma once
#include <pullcast/choose/pareto.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast::choose {

/// A knob as a sweep turns it. A value is the index of a choice, or a number in SI.
struct Axis {
    const Knob* knob = nullptr;
    bool bought = false;         // else met
    std::vector<double> shares;  // of the choices, sum 1; empty of a range
    std::size_t count = 0;       // values of a range, where all are tried
    struct Normal {
        double mean, deviation;
    };
    std::optional<Normal> normal;  // of a range; else all of it alike

    bool is_range() const { return knob->choices.empty(); }
    std::size_t levels() const { return is_range() ? count : knob->choices.size(); }
    double level(std::size_t k) const;  ///< of a range: evenly, ends and all, if bought; middles of equal shares if met
    double share(std::size_t k) const { return is_range() ? 1.0 / static_cast<double>(count) : shares[k]; }
    double quantile(double u) const;  ///< value below which a share u is met; u in (0, 1)
    Value text(double value) const;   ///< as it would stand in the file
};

/// A figure of a run: of its pull, or of one pull of its session.
struct Column {
    const Figure* figure = nullptr;
    std::size_t pull = 0;      // from 1; 0: there is only one
    std::string name() const;  // "intake_redline", "intake_redline:3"
};

struct Wish {
    std::string name, title;
    std::optional<std::size_t> column;  // nothing: the price
    std::optional<double> at_least, at_most;
    std::optional<double> confidence;
    std::optional<Better> prefer;
    std::map<std::size_t, std::vector<double>> on;  // met axis -> its choices that count
    std::string currency;                           // of a limit of the price; "" where it names none
    Place place;

    bool counts(const std::vector<double>& met) const;  ///< the wish is about these values of the met axes
};

enum class Sampling : std::uint8_t { sobol, latin_hypercube };

struct SweepChoices {
    std::vector<Axis> buy, meet;
    std::vector<Column> columns;
    std::vector<Wish> wishes;
    std::optional<std::size_t> combinations, met;  // nothing: all
    Sampling sampling = Sampling::sobol;
    std::uint64_t seed = 1;
    std::size_t shortlist = 10, sensitivity = 64;
    std::size_t pulls = 0;  // which pull of a session is the last that a column needs; 0: runs are single pulls
};

/// What is wrong goes to the diagnostics. The study must outlive the result.
SweepChoices read_sweep_choices(const Study& study, Diagnostics& diagnostics);

}  // namespace pullcast::choose

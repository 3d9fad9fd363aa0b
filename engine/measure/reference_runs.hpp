/// Fitted variants run under the reference: figures, and their slopes over the fit's unknowns.
#pragma once
#include <pullcast/measure/match_choices.hpp>
#include <pullcast/measure/measured_fit.hpp>

namespace pullcast::measure {

/// What is turned to keep something else alike, and what that is.
struct Held {
    const char *role, *key;  // of the component that is turned
    Parameter::Kind kind;
    double step;         // a first one
    const char* figure;  // key of what is kept alike
    double near;         // how near it must come, SI
    const char* title;   // "another pulley"
};
/// Nothing for the same pulley.
const Held* held_by(Question question);

/// Asked figures of a variant, one after the other, and where it was turned to.
struct ReferenceRun {
    std::vector<double> figures;
    double turned = 0;
};

class ReferenceRuns {
public:
    ReferenceRuns(const Study& study, std::vector<const Figure*> figures, const MeasuredFit& fit, unsigned threads,
                  const std::atomic<bool>* interrupt);

    std::size_t place(std::string_view figure) const;  // of a figure, by its key

    ReferenceRun run(std::size_t variant) const;
    /// The variant turned until its held figure is `target`. Throws std::runtime_error, in words, where that cannot be.
    ReferenceRun run(std::size_t variant, const Held& held, double target) const;

    /// By figure and unknown; 0 of unknowns that the variant does not depend on.
    std::vector<std::vector<double>> slopes(std::size_t variant, const Held* held, double turned) const;
    /// By figure: over what is turned.
    std::vector<double> slopes_over(std::size_t variant, const Held& held, double turned) const;

private:
    struct Point {
        std::vector<double> values;
        std::optional<double> turned;
    };
    std::vector<double> figures_at(std::size_t variant, const Held* held, const Point& point) const;
    std::vector<std::vector<double>> all_at(std::size_t variant, const Held* held,
                                            const std::vector<Point>& points) const;

    const Study& study_;
    std::vector<const Figure*> figures_;
    const MeasuredFit& fit_;
    std::vector<double> values_;
    unsigned threads_;
    const std::atomic<bool>* interrupt_;
};

}  // namespace pullcast::measure

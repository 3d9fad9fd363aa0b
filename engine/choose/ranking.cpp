#include <algorithm>
#include <cmath>
#include <limits>
#include <pullcast/choose/ranking.hpp>
#include <pullcast/scenario/units.hpp>
#include <stdexcept>

namespace pullcast::choose {
namespace {

/// Shares add up to 1 within this.
constexpr double rounding = 1e-9;

/// Which side of a wish is the good one.
Better good_side(const Wish& w) {
    if (w.at_least || w.at_most) return w.at_least ? Better::more : Better::less;
    return *w.prefer;
}

bool keeps(const Wish& w, double value) {
    return !(std::isnan(value) || (w.at_least && value < *w.at_least) || (w.at_most && value > *w.at_most));
}

/// What is not shown is no difference: a number to the last digit that figures are shown to, which integration errors
/// do not reach. A price as it is.
double as_shown(const SweepChoices& choices, const Wish& w, double value) {
    if (!w.column) return value;
    const auto& f = *choices.columns[*w.column].figure;
    const double step = std::pow(10, -f.decimals) / display_unit(f.unit, UnitSystem::metric, f.quantity).scale;
    return std::round(value / step) * step;
}

class Judge {
public:
    Judge(const SweepChoices& choices, const SweepPlan& plan, const std::map<std::size_t, Run>& runs)
        : choices_(choices), plan_(plan) {
        if (runs.size() != plan.runs()) throw std::invalid_argument("runs are missing");
        for (const auto& [index, run] : runs) runs_.push_back(&run);
    }

    Ranking rank() {
        for (std::size_t c = 0; c < plan_.combinations.size(); ++c) out_.standings.push_back(standing_of(c));
        count();
        out_.lead = lead();
        find_front();
        find_money_steps();
        find_furthest_steps();
        return std::move(out_);
    }

private:
    const Run& run_of(std::size_t combination, std::size_t condition) const {
        return *runs_[combination * plan_.conditions.size() + condition];
    }
    double value_of(std::size_t combination, std::size_t condition, const Wish& wish) const {
        return wish.column ? run_of(combination, condition).values[*wish.column]
                           : plan_.combinations[combination].price;
    }

    Standing standing_of(std::size_t c) const {
        Standing s;
        s.combination = c;
        for (std::size_t k = 0; k < plan_.conditions.size(); ++k)
            if (const auto& why = run_of(c, k).failure; !why.empty() && s.failed++ == 0) s.failure = why;
        if (s.failed) return s;
        s.eligible = true;
        for (const auto& w : choices_.wishes) {
            s.wishes.push_back(granted(c, w));
            s.eligible &= s.wishes.back().holds;
        }
        return s;
    }

    Granted granted(std::size_t c, const Wish& w) const {
        std::vector<std::pair<double, double>> values;
        double all = 0, sum = 0, kept = 0;
        for (std::size_t k = 0; k < plan_.conditions.size(); ++k) {
            const auto& condition = plan_.conditions[k];
            if (!w.counts(condition.values)) continue;
            const double v = value_of(c, k, w);
            values.emplace_back(v, condition.share);
            all += condition.share, sum += condition.share * v;
            if (keeps(w, v)) kept += condition.share;
        }
        if (values.empty()) return {std::nan(""), std::nan(""), 0, false};
        for (auto& v : values) v.second /= all;
        Granted g{sum / all, sure_value(values, w.confidence.value_or(1), good_side(w)), kept / all, false};
        g.holds = g.share >= w.confidence.value_or(1) - rounding;
        return g;
    }

    void count() {
        out_.refused.assign(choices_.wishes.size(), 0), out_.refused_alone = out_.refused;
        for (std::size_t c = 1; c < out_.standings.size(); ++c) {
            const auto& s = out_.standings[c];
            out_.eligible += s.eligible, out_.failed += s.failed > 0;
            const auto broken =
                std::count_if(s.wishes.begin(), s.wishes.end(), [](const Granted& g) { return !g.holds; });
            for (std::size_t w = 0; w < s.wishes.size(); ++w)
                if (!s.wishes[w].holds) ++out_.refused[w], out_.refused_alone[w] += broken == 1;
        }
    }

    /// The first wish that prefers something and is no price.
    std::size_t lead() const {
        std::size_t w = 0;
        while (!choices_.wishes[w].prefer || !choices_.wishes[w].column) ++w;
        return w;
    }
    double lead_of(std::size_t combination) const {
        return out_.standings[combination].wishes[out_.lead].compared(choices_.wishes[out_.lead]);
    }
    bool leads(double a, double b) const {
        const auto& w = choices_.wishes[out_.lead];
        const double x = as_shown(choices_, w, a), y = as_shown(choices_, w, b);
        return *w.prefer == Better::more ? x > y : x < y;
    }

    std::vector<std::size_t> eligible() const {
        std::vector<std::size_t> all;
        for (const auto& s : out_.standings)
            if (s.eligible) all.push_back(s.combination);
        return all;
    }

    void find_front() {
        std::vector<Better> better;
        for (const auto& w : choices_.wishes)
            if (w.prefer) better.push_back(*w.prefer);
        const auto all = eligible();
        std::vector<std::vector<double>> rows;
        for (const auto c : all) {
            auto& row = rows.emplace_back();
            for (std::size_t w = 0; w < choices_.wishes.size(); ++w)
                if (const auto& wish = choices_.wishes[w]; wish.prefer)
                    row.push_back(as_shown(choices_, wish, out_.standings[c].wishes[w].compared(wish)));
        }
        for (const auto k : pareto_front(rows, better)) out_.front.push_back(all[k]);
        std::stable_sort(out_.front.begin(), out_.front.end(),
                         [&](std::size_t a, std::size_t b) { return leads(lead_of(a), lead_of(b)); });
        out_.shortlist.assign(out_.front.begin(), out_.front.begin() + std::min(choices_.shortlist, out_.front.size()));
    }

    void find_money_steps() {
        auto all = eligible();
        std::stable_sort(all.begin(), all.end(), [&](std::size_t a, std::size_t b) {
            const double pa = plan_.combinations[a].price, pb = plan_.combinations[b].price;
            return pa != pb ? pa < pb : leads(lead_of(a), lead_of(b));
        });
        std::erase_if(all, [&](std::size_t c) { return std::isnan(plan_.combinations[c].price); });
        std::optional<std::size_t> last;
        for (const auto c : all) {
            if (last && !leads(lead_of(c), lead_of(*last))) continue;
            if (last) out_.money.push_back(step(*last, c));
            last = c;
        }
    }

    void find_furthest_steps() {
        const auto& all = out_.money;
        for (std::size_t k = 0; k < all.size();) {
            const auto from = all[k].from;
            MoneyStep best = step(from, all[k].to);
            for (auto next = ++k; next < all.size(); ++next)
                if (const auto s = step(from, all[next].to); s.gain * best.price >= best.gain * s.price)
                    best = s, k = next + 1;
            out_.furthest.push_back(best);
        }
    }

    MoneyStep step(std::size_t from, std::size_t to) const {
        const auto& w = choices_.wishes[out_.lead];
        const double sense = *w.prefer == Better::more ? 1 : -1;
        MoneyStep s{from,
                    to,
                    plan_.combinations[to].price - plan_.combinations[from].price,
                    sense * (lead_of(to) - lead_of(from)),
                    std::numeric_limits<double>::infinity(),
                    -std::numeric_limits<double>::infinity(),
                    0};
        double all = 0;
        for (std::size_t k = 0; k < plan_.conditions.size(); ++k) {
            if (!w.counts(plan_.conditions[k].values)) continue;
            const double gain = sense * (value_of(to, k, w) - value_of(from, k, w)), share = plan_.conditions[k].share;
            s.lowest = std::min(s.lowest, gain), s.highest = std::max(s.highest, gain);
            all += share, s.better += as_shown(choices_, w, gain) > 0 ? share : 0;
        }
        s.better /= all;
        return s;
    }

    const SweepChoices& choices_;
    const SweepPlan& plan_;
    std::vector<const Run*> runs_;
    Ranking out_;
};

}  // namespace

double sure_value(std::vector<std::pair<double, double>> values_and_weights, double confidence, Better better) {
    const bool more = better == Better::more;
    for (const auto& [value, weight] : values_and_weights)
        if (std::isnan(value)) return value;
    std::sort(values_and_weights.begin(), values_and_weights.end(),
              [&](const auto& a, const auto& b) { return more ? a.first > b.first : a.first < b.first; });
    double reached = 0;
    for (const auto& [value, weight] : values_and_weights)
        if ((reached += weight) >= confidence - rounding) return value;
    return values_and_weights.back().first;
}

Ranking rank(const SweepChoices& choices, const SweepPlan& plan, const std::map<std::size_t, Run>& runs) {
    return Judge(choices, plan, runs).rank();
}

}  // namespace pullcast::choose

// A pull: the crank's speed climbs by least_climb or more, for least_duration or longer, at least_rate or more on
// average, at full throttle, without a gap in time. Full throttle is, by the best evidence that the log has,
//   the throttle at full_throttle or above, less the samples in which it still opens or already closes (more than 0.03
//     below the median of its stretch), or
//   manifold pressure of 0.95 barometer or more (101.325 kPa where that is unknown), less the samples at the end in
//     which it has fallen by a twentieth from what it was in the half second before, or
//   nothing (speed alone).
// Within such a stretch a climb ends at its highest reading once the speed has fallen by `dip`, or at the stretch's
// end; it starts at the last reading within a fifth of `dip` of its lowest. Speed is the running median of five
// readings. The end is never later than the highest reading itself, so samples after lift-off do not count.
#include <algorithm>
#include <cmath>
#include <pullcast/measure/measured_log.hpp>

namespace pullcast::measure {
namespace {

constexpr double standard_pressure = 101325, closing = 0.03, fallen = 0.95, before_start = 0.5, longest_hole = 0.25;

double median(std::vector<double> v) {
    const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), middle, v.end());
    return *middle;
}

struct Stretch {
    std::size_t first, last;
};

class PullFinder {
public:
    PullFinder(const MeasuredLog& log, const PullRules& rules)
        : log_(log), rules_(rules), throttle_(log.find("throttle")), pressure_(log.find("manifold_pressure")) {}

    std::vector<Pull> find() {
        const auto* speed = log_.find("speed");
        if (!speed) return {};
        for (std::size_t k = 0; k < log_.size(); ++k)
            if (speed->usable(k)) index_.push_back(k), raw_.push_back(speed->reading[k]);
        smooth();
        for (auto s : stretches())
            if (trim(s)) find_climbs(s);
        return std::move(pulls_);
    }

private:
    Evidence evidence() const {
        if (throttle_ && throttle_->readings > throttle_->masked_count()) return Evidence::throttle;
        return pressure_ && pressure_->readings > pressure_->masked_count() ? Evidence::manifold_pressure
                                                                            : Evidence::speed_alone;
    }
    void smooth() {
        for (std::size_t i = 0; i < raw_.size(); ++i) {
            const auto from = i - std::min<std::size_t>(i, 2), to = std::min(i + 3, raw_.size());
            speed_.push_back(median(
                {raw_.begin() + static_cast<std::ptrdiff_t>(from), raw_.begin() + static_cast<std::ptrdiff_t>(to)}));
        }
    }
    double time(std::size_t i) const { return log_.time[index_[i]]; }

    /// The last usable reading of a channel up to the reading i of the speed, if it is recent; NaN elsewhere.
    double held(const Channel& c, std::size_t i) const {
        const double recent = std::max(longest_hole, 2 * log_.step), now = log_.time[index_[i]];
        for (auto k = index_[i] + 1; k-- > 0 && now - log_.time[k] <= recent;)
            if (c.usable(k)) return c.reading[k];
        return std::nan("");
    }
    double ambient_pressure() const {
        std::vector<double> p;
        if (const auto* barometer = log_.find("barometer"))
            for (std::size_t k = 0; k < log_.size(); ++k)
                if (barometer->usable(k)) p.push_back(barometer->reading[k]);
        return p.empty() ? standard_pressure : median(std::move(p));
    }
    bool full(std::size_t i) const {
        switch (evidence_) {
            case Evidence::throttle:
                return held(*throttle_, i) >= rules_.full_throttle;
            case Evidence::manifold_pressure:
                return held(*pressure_, i) >= 0.95 * ambient_;
            case Evidence::speed_alone:
                break;
        }
        return true;
    }
    /// A gap of time lies between the readings i - 1 and i of the speed.
    bool gap_before(std::size_t i) const {
        const auto at = std::upper_bound(log_.gaps.begin(), log_.gaps.end(), index_[i - 1]);
        return at != log_.gaps.end() && *at <= index_[i] && time(i) - time(i - 1) > longest_hole;
    }
    std::vector<Stretch> stretches() const {
        std::vector<Stretch> all;
        bool open = false;
        for (std::size_t i = 0; i < index_.size(); ++i) {
            if (open && i > 0 && gap_before(i)) open = false;
            if (!full(i)) open = false;
            else if (open) all.back().last = i;
            else all.push_back({i, i}), open = true;
        }
        return all;
    }

    /// Takes off the ends in which the throttle moves or the pressure falls. False where nothing is left.
    bool trim(Stretch& s) const {
        if (evidence_ == Evidence::throttle) {
            std::vector<double> opening;
            for (auto i = s.first; i <= s.last; ++i) opening.push_back(held(*throttle_, i));
            const double least = median(opening) - closing;
            while (s.last > s.first && held(*throttle_, s.last) < least) --s.last;
            while (s.first < s.last && held(*throttle_, s.first) < least) ++s.first;
        } else if (evidence_ == Evidence::manifold_pressure) {
            while (s.last > s.first && held(*pressure_, s.last) < fallen * highest_before(s)) --s.last;
        }
        return s.last > s.first;
    }
    double highest_before(const Stretch& s) const {
        double highest = 0;
        for (auto i = s.last; i > s.first && time(s.last) - time(i) <= before_start; --i)
            highest = std::max(highest, held(*pressure_, i));
        return highest;
    }

    void find_climbs(const Stretch& s) {
        std::size_t low = s.first, high = s.first;
        for (auto i = s.first; i <= s.last; ++i) {
            if (speed_[i] > speed_[high]) high = i;
            if (speed_[i] < speed_[high] - rules_.dip) keep(low, high), low = high = i;
            else if (speed_[i] <= speed_[low]) low = high = i;
        }
        keep(low, high);
    }
    void keep(std::size_t low, std::size_t high) {
        auto first = low;
        for (auto i = low; i <= high; ++i)
            if (speed_[i] <= speed_[low] + rules_.dip / 5) first = i;
        const auto last = highest_reading(first, high);
        const double climb = speed_[last] - speed_[first], duration = time(last) - time(first);
        if (last <= first || climb < rules_.least_climb || duration < rules_.least_duration) return;
        if (climb / duration < rules_.least_rate) return;
        Pull p{index_[first], index_[last], time(first), time(last), speed_[first], raw_[last], evidence_, {}};
        for (const auto& c : log_.channels)
            if (c.kind->unit == "K") add_temperature(p, c);
        pulls_.push_back(std::move(p));
    }
    /// Of the readings themselves, near the end of the smoothed climb: never later than that.
    std::size_t highest_reading(std::size_t first, std::size_t high) const {
        auto at = high;
        for (auto i = std::max(first, high - std::min<std::size_t>(high, 2)); i <= high; ++i)
            if (raw_[i] > raw_[at]) at = i;
        return at;
    }
    void add_temperature(Pull& p, const Channel& c) const {
        std::vector<double> t;
        for (auto k = p.first + 1; k-- > 0 && log_.time[p.first] - log_.time[k] <= before_start;)
            if (c.usable(k)) t.push_back(c.reading[k]);
        if (!t.empty()) p.temperatures.push_back({c.kind, median(t)});
    }

    const MeasuredLog& log_;
    const PullRules& rules_;
    const Channel *throttle_, *pressure_;
    double ambient_ = ambient_pressure();
    Evidence evidence_ = evidence();
    std::vector<std::size_t> index_;   // of the usable readings of the speed
    std::vector<double> raw_, speed_;  // and their values, as read and smoothed
    std::vector<Pull> pulls_;
};

}  // namespace

std::vector<Pull> find_pulls(const MeasuredLog& log, const PullRules& rules) { return PullFinder(log, rules).find(); }

}  // namespace pullcast::measure

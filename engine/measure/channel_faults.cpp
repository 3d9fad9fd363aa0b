// Rules (thresholds: FaultRules and the table of channels):
// out of range: below lowest or above highest.
// spike: further from the median of the seven readings around it than the channel's least spike and than `spike` times
//   the largest of: 1.4826 times the median distance of those seven from their median, the same over the whole channel,
//   the median step between those seven, the channel's resolution (its smallest step). One to three readings wide.
// at a rail: the channel's highest value (of a channel with two rails its lowest too) `rail_samples` times in a row or
// more, reached in flight: over the five
//   readings before it moved three resolutions or more, and the run lasts 15 times as long as one such step took.
// stuck: one value `stuck_samples` times the channel's patience in a row, and ten times as long as nine tenths of its
//   runs of one value (few digits make long ones), while the engine's speed moves by a tenth of its range. Zero is no
//   fault of a channel that rests at zero.
#include <algorithm>
#include <array>
#include <cmath>
#include <pullcast/measure/measured_log.hpp>

namespace pullcast::measure {
namespace {

constexpr std::size_t window = 7, lookback = 5;
constexpr double to_sigma = 1.4826;  // of a normal distribution, from its median absolute deviation

using Window = std::array<double, window>;

double median(Window w, std::size_t n = window) {
    const auto middle = w.begin() + static_cast<std::ptrdiff_t>(n / 2);
    std::nth_element(w.begin(), middle, w.begin() + static_cast<std::ptrdiff_t>(n));
    return *middle;
}

class FaultFinder {
public:
    FaultFinder(Channel& channel, const Channel* moving, const ChannelMap& map, const FaultRules& rules)
        : c_(channel), moving_(moving), map_(map), rules_(rules) {}

    void find() {
        find_out_of_range();
        take_usable();
        if (c_.kind->least_spike > 0) find_spikes();
        take_usable();
        if (c_.kind->rails != Rails::none) find_rails();
        take_usable();
        if (c_.kind->patience > 0 && moving_) find_stuck();
        std::sort(c_.faults.begin(), c_.faults.end(), [](auto& a, auto& b) { return a.first < b.first; });
    }

private:
    void mask(Fault fault, std::size_t k) {
        c_.masked[k] = true;
        auto& all = c_.faults;
        if (!all.empty() && all.back().fault == fault && all.back().last + 1 == k) all.back().last = k;
        else all.push_back({fault, k, k, c_.reading[k]});
    }
    /// Masks the usable readings from..to (indices of index_, `to` excluded), whatever is missing between them.
    void mask_run(Fault fault, std::size_t from, std::size_t to) {
        for (auto i = from; i < to; ++i) c_.masked[index_[i]] = true;
        c_.faults.push_back({fault, index_[from], index_[to - 1], x_[from]});
    }
    void take_usable() {
        index_.clear(), x_.clear();
        for (std::size_t k = 0; k < c_.reading.size(); ++k)
            if (c_.usable(k)) index_.push_back(k), x_.push_back(c_.reading[k]);
        resolution_ = 0;
        for (std::size_t i = 1; i < x_.size(); ++i)
            if (const double step = std::fabs(x_[i] - x_[i - 1]); step > 0 && (resolution_ == 0 || step < resolution_))
                resolution_ = step;
    }

    void find_out_of_range() {
        for (std::size_t k = 0; k < c_.reading.size(); ++k)
            if (c_.reading[k] < map_.low || c_.reading[k] > map_.high) mask(Fault::out_of_range, k);
    }

    // ---- spikes -----------------------------------------------------------------------------------------------------
    Window around(std::size_t i) const {
        const auto from = std::min(i - std::min(i, window / 2), x_.size() - window);
        Window w;
        std::copy_n(x_.begin() + static_cast<std::ptrdiff_t>(from), window, w.begin());
        return w;
    }
    static double scatter(const Window& w, double middle) {
        Window d;
        std::transform(w.begin(), w.end(), d.begin(), [&](double x) { return std::fabs(x - middle); });
        return to_sigma * median(d);
    }
    static double usual_step(const Window& w) {
        Window d{};
        for (std::size_t i = 1; i < window; ++i) d[i - 1] = std::fabs(w[i] - w[i - 1]);
        return median(d, window - 1);
    }
    /// Of the distances from the running median, over up to 2000 places.
    double channel_scatter() const {
        std::vector<double> r;
        const auto stride = std::max<std::size_t>(1, x_.size() / 2000);
        for (std::size_t i = 0; i < x_.size(); i += stride) r.push_back(std::fabs(x_[i] - median(around(i))));
        const auto middle = r.begin() + static_cast<std::ptrdiff_t>(r.size() / 2);
        std::nth_element(r.begin(), middle, r.end());
        return to_sigma * *middle;
    }
    void find_spikes() {
        if (x_.size() < window) return;
        const double floor = std::max(channel_scatter(), resolution_);
        for (std::size_t i = 0; i < x_.size(); ++i) {
            const auto w = around(i);
            const auto [low, high] = std::minmax_element(w.begin(), w.end());
            if (*high - *low < c_.kind->least_spike) continue;
            const double middle = median(w), usual = std::max({floor, scatter(w, middle), usual_step(w)});
            if (std::fabs(x_[i] - middle) > std::max(c_.kind->least_spike, rules_.spike * usual))
                mask(Fault::spike, index_[i]);
        }
    }

    // ---- runs of one value ------------------------------------------------------------------------------------------
    void each_run(std::size_t least, auto&& f) const {
        for (std::size_t from = 0, to; from < x_.size(); from = to) {
            to = from + 1;
            while (to < x_.size() && x_[to] == x_[from]) ++to;
            if (to - from >= least) f(from, to);
        }
    }
    void find_rails() {
        if (x_.empty() || resolution_ == 0) return;
        const double low = *std::min_element(x_.begin(), x_.end()), high = *std::max_element(x_.begin(), x_.end());
        each_run(static_cast<std::size_t>(rules_.rail_samples), [&](std::size_t from, std::size_t to) {
            const bool at_end = x_[from] == high || (c_.kind->rails == Rails::both && x_[from] == low);
            if (!at_end || from < lookback) return;
            const double moved = std::fabs(x_[from] - x_[from - lookback]) / resolution_;
            const double a_step = static_cast<double>(lookback) / moved;
            if (moved >= 2.999 && static_cast<double>(to - from) >= 15 * a_step) mask_run(Fault::at_rail, from, to);
        });
    }
    void find_stuck() {
        const double enough = 0.1 * movement(0, c_.reading.size() - 1);
        const auto least =
            std::max(static_cast<std::size_t>(rules_.stuck_samples * c_.kind->patience), 10 * long_run());
        each_run(least, [&](std::size_t from, std::size_t to) {
            if (c_.kind->rests && x_[from] == 0) return;
            if (enough > 0 && movement(index_[from], index_[to - 1]) > enough) mask_run(Fault::stuck, from, to);
        });
    }
    /// Nine tenths of the runs of one value are no longer.
    std::size_t long_run() const {
        std::vector<std::size_t> lengths;
        each_run(1, [&](std::size_t from, std::size_t to) { lengths.push_back(to - from); });
        if (lengths.empty()) return 0;
        const auto at = lengths.begin() + static_cast<std::ptrdiff_t>(9 * (lengths.size() - 1) / 10);
        std::nth_element(lengths.begin(), at, lengths.end());
        return *at;
    }
    /// Range of the moving channel over the readings.
    double movement(std::size_t first, std::size_t last) const {
        double low = std::numeric_limits<double>::infinity(), high = -low;
        for (auto k = first; k <= last; ++k)
            if (moving_->usable(k))
                low = std::min(low, moving_->reading[k]), high = std::max(high, moving_->reading[k]);
        return high - low;
    }

    Channel& c_;
    const Channel* moving_;
    const ChannelMap& map_;
    const FaultRules& rules_;
    std::vector<std::size_t> index_;  // of the usable readings
    std::vector<double> x_;           // and their values
    double resolution_ = 0;
};

}  // namespace

const char* in_words(Fault fault) {
    constexpr const char* words[] = {"out of range", "spike", "stuck", "at the end of the sensor's range"};
    return words[static_cast<int>(fault)];
}

void find_faults(Channel& channel, const Channel* moving, const ChannelMap& map, const FaultRules& rules) {
    FaultFinder(channel, moving, map, rules).find();
}

}  // namespace pullcast::measure

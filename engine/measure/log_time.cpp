#include "log_time.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/units.hpp>

#include "log_cells.hpp"

namespace pullcast::measure {
namespace {

constexpr double longest_time = 1e11;  // s, some three thousand years: no logger's clock
constexpr double minute = 60, hour = 3600, day = 24 * hour;

/// Takes `n` digits off the front; -1 where they are no digits.
int take_digits(std::string_view& s, std::size_t n) {
    if (s.size() < n) return -1;
    int v = 0;
    for (const char c : s.substr(0, n)) {
        if (c < '0' || c > '9') return -1;
        v = 10 * v + (c - '0');
    }
    s.remove_prefix(n);
    return v;
}
bool take(std::string_view& s, char c) {
    if (!s.starts_with(c)) return false;
    s.remove_prefix(1);
    return true;
}

/// A plain number without sign.
std::optional<double> plain(std::string_view s) {
    if (s.empty() || s[0] < '0' || s[0] > '9') return {};
    const auto c = read_cell(s, s.find(',') == s.npos ? '.' : ',');
    return c.kind == CellKind::number ? std::optional(c.value) : std::nullopt;
}

/// "Z", "+02", "+02:00", "-0530" or nothing, in seconds east of Greenwich.
std::optional<double> offset_seconds(std::string_view s) {
    if (s.empty() || s == "Z" || s == "z") return 0.0;
    const double sign = s[0] == '-' ? -1 : 1;
    if (!take(s, '+') && !take(s, '-')) return {};
    const int hours = take_digits(s, 2);
    take(s, ':');
    const int minutes = s.empty() ? 0 : take_digits(s, 2);
    if (hours < 0 || hours > 14 || minutes < 0 || minutes > 59 || !s.empty()) return {};
    return sign * (hours * hour + minutes * minute);
}

class TimelineMaker {
public:
    TimelineMaker(const LogTable& table, const LogMapping& mapping, Repairs& repairs, Diagnostics& diagnostics)
        : table_(table), map_(mapping.time), gap_(mapping.faults.gap), repairs_(repairs), diagnostics_(diagnostics) {}

    std::optional<Timeline> make() {
        if (!find_column()) return {};
        read_times();
        if (row_.size() < 2) return error({table_.source}, "fewer than 2 rows have a time", "");
        if (map_.style == TimeStyle::clock) pass_midnights();
        if (!put_in_order()) return {};
        leave_out_repeated();
        usual_step();
        if (step_ <= 0) return error({table_.source}, "time never goes on", "all rows have the same time");
        spread_equal();
        return finished();
    }

private:
    std::optional<Timeline> error(const Place& at, std::string message, std::string hint) {
        diagnostics_.error(at, std::move(message), std::move(hint));
        return {};
    }
    bool find_column() {
        if (map_.column.empty()) return true;
        const auto& at = map_.column_place.source ? map_.column_place : Place{table_.source};
        column_ = table_.find(map_.column);
        if (!column_) {
            std::vector<std::string> names;
            for (const auto& c : table_.columns) names.push_back(c.name);
            return error(at, fmt::format("no column '{}' in {}", map_.column, table_.source->name),
                         suggestion(map_.column, names)),
                   false;
        }
        const bool words = map_.style == TimeStyle::clock || map_.style == TimeStyle::date_time;
        if (words == column_->text) return true;
        if (words)
            return error(at, fmt::format("column '{}' holds numbers, no times of day", map_.column),
                         "style = \"number\" and its unit"),
                   false;
        return error(at,
                     fmt::format("column '{}' holds text, first '{}'", map_.column,
                                 column_->words.empty() ? "" : column_->words[0]),
                     "style = \"clock\" for 12:03:04.5, \"date_time\" for 2026-05-01T12:03:04.5"),
               false;
    }

    std::optional<double> time_of(std::size_t row) const {
        if (!column_) return static_cast<double>(row) / map_.rate;
        if (map_.style == TimeStyle::clock) return clock_seconds(column_->words[row]);
        if (map_.style == TimeStyle::date_time) return date_time_seconds(column_->words[row]);
        const double v = column_->numbers[row];
        const double t = map_.style == TimeStyle::samples ? v / map_.rate : factor_(v);
        return std::fabs(t) < longest_time ? std::optional(t) : std::nullopt;
    }
    void read_times() {
        if (map_.style == TimeStyle::number)
            factor_ = std::get<Conversion>(conversion(map_.unit, "s", {}, map_.unit, ""));
        for (std::size_t r = 0; r < table_.rows(); ++r) {
            if (const auto t = time_of(r)) row_.push_back(r), time_.push_back(*t);
            else
                repairs_.leave_out("row without a time that can be read", table_.line[r],
                                   column_->text ? column_->words[r] : "");
        }
    }
    void pass_midnights() {
        double added = 0;
        for (std::size_t k = 1; k < time_.size(); ++k) {
            if (time_[k] + added < time_[k - 1] - day / 2) {
                added += day;
                repairs_.add("time of day passes midnight: 24 h added from here on", table_.line[row_[k]]);
            }
            time_[k] += added;
        }
    }

    bool put_in_order() {
        double latest = time_[0];
        bool sorted = true;
        for (std::size_t k = 1; k < time_.size(); ++k) {
            if (time_[k] >= latest) {
                latest = time_[k];
                continue;
            }
            const auto line = table_.line[row_[k]];
            if (!map_.sort)
                return error({table_.source, line, 1, 1},
                             fmt::format("time falls from {:.6g} to {:.6g} s", latest - time_[0], time_[k] - time_[0]),
                             "two logs in one file are better cut apart; sort = true in [time] sorts the rows"),
                       false;
            repairs_.add("row out of the order of time: sorted in", line);
            sorted = false;
        }
        if (!sorted) sort();
        return true;
    }
    void sort() {
        std::vector<std::size_t> order(time_.size());
        for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
        std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return time_[a] < time_[b]; });
        const auto rows = row_;
        const auto times = time_;
        for (std::size_t k = 0; k < order.size(); ++k) row_[k] = rows[order[k]], time_[k] = times[order[k]];
    }

    bool same_cells(std::size_t a, std::size_t b) const {
        return std::all_of(table_.columns.begin(), table_.columns.end(), [&](const LogColumn& c) {
            if (c.text) return c.words[a] == c.words[b];
            return c.numbers[a] == c.numbers[b] || (std::isnan(c.numbers[a]) && std::isnan(c.numbers[b]));
        });
    }
    void leave_out_repeated() {
        std::size_t kept = 1;
        for (std::size_t k = 1; k < time_.size(); ++k) {
            if (time_[k] == time_[kept - 1] && same_cells(row_[k], row_[kept - 1])) {
                repairs_.leave_out("row repeated, with its time", table_.line[row_[k]]);
                continue;
            }
            row_[kept] = row_[k], time_[kept] = time_[k], ++kept;
        }
        row_.resize(kept), time_.resize(kept);
    }
    /// Median of the steps between times that differ.
    void usual_step() {
        std::vector<double> steps;
        for (std::size_t k = 1; k < time_.size(); ++k)
            if (time_[k] > time_[k - 1]) steps.push_back(time_[k] - time_[k - 1]);
        if (steps.empty()) return;
        const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
        std::nth_element(steps.begin(), middle, steps.end());
        step_ = *middle;
    }
    /// Rows that share a time, because the logger writes few digits, are spread to the next time.
    void spread_equal() {
        bool spread = false;
        for (std::size_t from = 0, to; from < time_.size(); from = to) {
            to = from + 1;
            while (to < time_.size() && time_[to] == time_[from]) ++to;
            if (to == from + 1) continue;
            const double room = to < time_.size() ? std::min(time_[to] - time_[from], step_) : step_;
            for (auto k = from + 1; k < to; ++k) {
                time_[k] = time_[from] + room * static_cast<double>(k - from) / static_cast<double>(to - from);
                repairs_.add("row with the time of the row before: spread to the next time", table_.line[row_[k]]);
            }
            spread = true;
        }
        if (spread) usual_step();
    }
    Timeline finished() {
        Timeline t{std::move(row_), {}, step_, {}};
        for (std::size_t k = 0; k < time_.size(); ++k) {
            t.time.push_back(time_[k] - time_[0]);
            if (k && time_[k] - time_[k - 1] > gap_ * step_) t.gap.push_back(k);
        }
        return t;
    }

    const LogTable& table_;
    const TimeMap& map_;
    double gap_;
    Repairs& repairs_;
    Diagnostics& diagnostics_;
    const LogColumn* column_ = nullptr;
    Conversion factor_;
    std::vector<std::size_t> row_;
    std::vector<double> time_;
    double step_ = 0;
};

}  // namespace

std::optional<double> clock_seconds(std::string_view s) {
    double whole = 0;
    int parts = 0;
    for (auto colon = s.find(':'); colon != s.npos; colon = s.find(':'), ++parts) {
        const auto part = s.substr(0, colon);
        auto digits = part;
        const int v = part.size() == 1 ? take_digits(digits, 1) : part.size() == 2 ? take_digits(digits, 2) : -1;
        if (v < 0 || v > 59 || parts == 2) return {};
        whole = 60 * whole + v;
        s.remove_prefix(colon + 1);
    }
    const auto seconds = plain(s);
    if (parts == 0 || !seconds || *seconds >= 60) return {};
    return 60 * whole + *seconds;
}

std::optional<double> date_time_seconds(std::string_view s) {
    const int year = take_digits(s, 4);
    const bool dashes = take(s, '-');
    const int month = take_digits(s, 2);
    if (dashes && !take(s, '-')) return {};
    const int of_month = take_digits(s, 2);
    if (year < 0 || month < 0 || of_month < 0 || (!take(s, 'T') && !take(s, 't') && !take(s, ' '))) return {};
    const auto date = std::chrono::year(year) / month / of_month;
    if (!date.ok()) return {};
    const auto end = std::min(s.find_first_of("Zz+-"), s.size());
    auto time = clock_seconds(trimmed(s.substr(0, end)));
    const auto offset = offset_seconds(trimmed(s.substr(end)));
    if (std::count(s.begin(), s.begin() + static_cast<std::ptrdiff_t>(end), ':') == 1 && time) *time *= 60;
    if (!time || !offset) return {};
    const double days = static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count());
    return days * day + *time - *offset;
}

std::optional<Timeline> timeline_of(const LogTable& table, const LogMapping& mapping, Repairs& repairs,
                                    Diagnostics& diagnostics) {
    return TimelineMaker(table, mapping, repairs, diagnostics).make();
}

}  // namespace pullcast::measure

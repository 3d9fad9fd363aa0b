#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <pullcast/measure/logged_pull.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/study/causes.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast::measure {
namespace {

constexpr double above_start = 1.02;
constexpr std::size_t fewest_bins = 8;

constexpr ComparedChannel compared[] = {
    {"manifold_pressure", "manifold pressure", "pressure", 1, true, "manifold", "p"},
    {"intake_temperature", "intake temperature (sensor)", "temperature", 1, true, "sensor", "reading"},
    {"blower_outlet_temperature", "blower outlet temperature", "temperature", 1, true, "blower", "outlet_temperature"},
    {"coolant_in_temperature", "coolant before the core", "temperature", 1, true, "cooler", "coolant_in"},
    {"coolant_out_temperature", "coolant after the core", "temperature", 1, true, "cooler", "coolant_out"},
    {"coolant_flow", "coolant flow", "coolant_flow", 1, true, "pump", "flow"},
    {"blower_speed", "blower speed", "speed", 0, true, "blower", "speed"},
    {"wheel_power", "power at the wheels", "power", 1, true, "load", "wheel_power"},
    {"drum_speed", "drum speed", "speed", 0, true, "load", "drum_speed"},
    {"spark", "spark", "spark", 1, false, "calibration", "spark"},
    {"lambda", "lambda", "lambda", 3, false, "calibration", "lambda"}};

constexpr Condition known_conditions[] = {
    {"ambient temperature", "ambient_temperature", false, "temperature", 1, "temperature"},
    {"ambient pressure", "barometer", false, "pressure", 1, "pressure"},
    {"relative humidity", "humidity", false, "humidity", 0, "humidity"},
    {"intake at the start", "intake_temperature", true, "temperature", 1, "start_temperature"},
    {"coolant at the start", "coolant_in_temperature", true, "temperature", 1, "start_coolant_temperature"},
    {"engine at the start", "engine_coolant_temperature", true, "temperature", 1, "engine_temperature"}};

/// Rising values nearest to `y`, by pooling neighbours that fall.
void make_rising(std::vector<double>& y) {
    struct Pool {
        double sum;
        std::size_t count;
        double mean() const { return sum / static_cast<double>(count); }
    };
    std::vector<Pool> pools;
    for (const double v : y) {
        pools.push_back({v, 1});
        while (pools.size() > 1 && pools.end()[-2].mean() >= pools.back().mean()) {
            pools.end()[-2].sum += pools.back().sum, pools.end()[-2].count += pools.back().count;
            pools.pop_back();
        }
    }
    auto at = y.begin();
    for (const auto& p : pools) at = std::fill_n(at, p.count, p.mean());
}

/// The readings of a pull that count, with their speeds.
struct Climb {
    std::vector<std::size_t> reading;
    std::vector<double> speed;
};

Climb climb_of(const MeasuredLog& log, const Pull& range, double lowest) {
    Climb c;
    const auto& speed = *log.find("speed");
    for (std::size_t k = range.first; k <= range.last; ++k)
        if (speed.usable(k)) c.reading.push_back(k), c.speed.push_back(speed.reading[k]);
    make_rising(c.speed);
    std::size_t from = 0;
    while (from < c.speed.size() && (c.speed[from] < lowest || log.time[c.reading[from]] < range.start + boost_settles))
        ++from;
    c.speed.erase(c.speed.begin(), c.speed.begin() + static_cast<std::ptrdiff_t>(from));
    c.reading.erase(c.reading.begin(), c.reading.begin() + static_cast<std::ptrdiff_t>(from));
    return c;
}

void fill_bins(BinnedChannel& out, const Channel& readings, const Climb& climb) {
    if (climb.speed.size() < fewest_bins) return;
    const double low = climb.speed.front(), width = (climb.speed.back() - low) / static_cast<double>(most_bins);
    std::vector<double> speed(most_bins), sum(most_bins);
    std::vector<std::size_t> count(most_bins);
    for (std::size_t k = 0; k < climb.reading.size(); ++k) {
        if (!readings.usable(climb.reading[k])) continue;
        const auto bin = std::min(static_cast<std::size_t>((climb.speed[k] - low) / width), most_bins - 1);
        speed[bin] += climb.speed[k], sum[bin] += readings.reading[climb.reading[k]], ++count[bin];
    }
    for (std::size_t b = 0; b < most_bins; ++b) {
        if (!count[b]) continue;
        out.speed.push_back(speed[b] / static_cast<double>(count[b]));
        out.value.push_back(sum[b] / static_cast<double>(count[b]));
    }
}

double mean_over(const Channel& c, const Pull& range) {
    double sum = 0;
    std::size_t n = 0;
    for (std::size_t k = range.first; k <= range.last; ++k)
        if (c.usable(k)) sum += c.reading[k], ++n;
    return n ? sum / static_cast<double>(n) : std::nan("");
}

double start_of(const Pull& range, std::string_view kind) {
    for (const auto& t : range.temperatures)
        if (t.kind->name == kind) return t.value;
    return std::nan("");
}

double value_of(const Condition& c, const MeasuredLog& log, const Pull& range) {
    if (c.at_start) return start_of(range, c.kind);
    const auto* channel = log.find(c.kind);
    return channel ? mean_over(*channel, range) : std::nan("");
}

template <class Rig> auto* ambient_of(Rig& rig) {
    for (auto& c : rig.components)
        if (c.type->role == std::string_view("ambient")) return &c;
    return static_cast<decltype(&rig.components[0])>(nullptr);
}

class PullLoader {
public:
    PullLoader(const Study& study, const std::vector<std::string>& without, Diagnostics& d)
        : study_(study), without_(without), d_(d) {}

    std::vector<LoggedPull> load() {
        std::vector<LoggedPull> all;
        for (const auto& p : study_.pulls)
            if (auto loaded = load(p)) all.push_back(std::move(*loaded));
        return all;
    }

private:
    std::optional<LoggedPull> load(const StudyPull& p) {
        const auto log = log_of(p);
        if (!log) return {};
        const auto* range = range_of(p, *log);
        if (!range) return {};
        LoggedPull out{p.variant.name, p.variant.title, p.of, p.log, p.variant, log, *range, {}, {}};
        for (const auto& c : measure::conditions())
            out.conditions.push_back(left_aside(c.kind) ? std::nan("") : value_of(c, *log, *range));
        if (!set_ambient(out, p)) return {};
        return bin_channels(out, p) ? std::optional(std::move(out)) : std::nullopt;
    }

    bool left_aside(const char* channel) const {
        return std::find(without_.begin(), without_.end(), channel) != without_.end();
    }

    std::shared_ptr<const MeasuredLog> log_of(const StudyPull& p) {
        const auto key = std::pair(p.log.path, p.mapping.path);
        if (const auto known = logs_.find(key); known != logs_.end()) return known->second;
        return logs_[key] = read_log(p);
    }

    std::shared_ptr<const MeasuredLog> read_log(const StudyPull& p) {
        std::error_code missing;
        for (const auto* f : {&p.log, &p.mapping})
            if (!f->path.empty() && !std::filesystem::is_regular_file(f->path, missing)) {
                d_.error(f->place, fmt::format("{}: no such file", f->path.string()));
                return {};
            }
        std::optional<LogMapping> mapping;
        if (!p.mapping.path.empty() && !(mapping = read_mapping(p.mapping.path, d_))) return {};
        const auto source = read_log_source(p.log.path, d_);
        auto table = source ? read_log_table(source, mapping ? mapping->form : LogForm{}, d_) : std::nullopt;
        if (!table) return {};
        const auto told = d_.all().size();
        if (!mapping) mapping = guess_mapping(*table, false, d_);
        if (d_.all().size() > told) return {};
        auto log = measured_log(std::move(*table), std::move(*mapping), d_);
        return log ? std::make_shared<const MeasuredLog>(std::move(*log)) : nullptr;
    }

    const Pull* range_of(const StudyPull& p, const MeasuredLog& log) {
        const auto found = log.pulls.size();
        const auto hint = fmt::format("'pullcast inspect {}' shows them", p.log.path.string());
        if (p.number > found)
            d_.error(p.number_place, fmt::format("pull {} of {}: the log has {}", p.number, p.log.path.string(), found),
                     hint);
        else if (p.number == 0 && found != 1)
            d_.error(p.log.place,
                     fmt::format("{} has {} pulls", p.log.path.string(), found ? std::to_string(found) : "no"),
                     found ? "say which: number = 1 for the first; " + hint : hint);
        else return &log.pulls[std::max<std::size_t>(p.number, 1) - 1];
        return nullptr;
    }

    /// The weather of the log, where it has one.
    bool set_ambient(LoggedPull& out, const StudyPull& p) {
        for (std::size_t k = 0; k < out.conditions.size(); ++k) {
            const auto& c = measure::conditions()[k];
            auto* ambient = ambient_of(out.variant.rig);
            if (c.at_start || std::isnan(out.conditions[k]) || !ambient) continue;
            if (!parameter_of(*ambient, c.key)) {
                d_.error(p.place,
                         fmt::format("the log of '{}' tells {}, and {} takes no {}", p.variant.name, c.label,
                                     ambient->type->name, c.key),
                         "in [conditions]: \"ambient.model\" = \"gas.ambient\", with a pressure");
                return false;
            }
            ambient->parameters[c.key] = out.conditions[k];
        }
        return true;
    }

    static Network compile(const Variant& v) {
        try {
            return Network(v.rig);
        } catch (const RigError& e) {
            throw locate(e, v);
        }
    }

    bool bin_channels(LoggedPull& out, const StudyPull& p) {
        const auto network = compile(out.variant);
        const auto* speed = out.readings->find("speed");
        const auto start = p.variant.common.find("start_speed");
        const auto climb =
            climb_of(*out.readings, out.range, start == p.variant.common.end() ? 0 : above_start * start->second);
        for (const auto& what : compared_channels()) {
            const auto* readings = out.readings->find(what.kind);
            const auto channel = channel_in(network, what);
            if (!speed || !readings || !channel || left_aside(what.kind)) continue;
            BinnedChannel binned{&what, readings->kind, *channel, {}, {}, readings->accuracy};
            fill_bins(binned, *readings, climb);
            if (binned.value.size() >= fewest_bins) out.channels.push_back(std::move(binned));
        }
        const bool any = std::any_of(out.channels.begin(), out.channels.end(),
                                     [](const BinnedChannel& c) { return c.what->fitted; });
        if (!any)
            d_.error(p.log.place,
                     fmt::format("pull '{}' has no channel that the rig could be compared with", p.variant.name),
                     "intake temperature, manifold pressure or power at the wheels, say");
        return any;
    }

    const Study& study_;
    const std::vector<std::string>& without_;
    Diagnostics& d_;
    std::map<std::pair<std::filesystem::path, std::filesystem::path>, std::shared_ptr<const MeasuredLog>> logs_;
};

}  // namespace

std::span<const ComparedChannel> compared_channels() { return compared; }
std::span<const Condition> conditions() { return known_conditions; }

double condition_of(const Variant& v, const Condition& c) {
    if (c.at_start) {
        const auto shared = v.common.find(c.key);
        return shared == v.common.end() ? std::nan("") : shared->second;
    }
    const auto* ambient = ambient_of(v.rig);
    const auto* field = ambient ? parameter_of(*ambient, c.key) : nullptr;
    const auto value = field ? parameter_in_effect(*ambient, *field) : std::nullopt;
    return value ? std::get<double>(*value) : std::nan("");
}

std::optional<std::string> channel_in(const Network& network, const ComparedChannel& channel) {
    const bool manifold = channel.role == std::string_view("manifold");
    const auto* part = network.find_role(manifold ? "breathing" : channel.role);
    if (!part) return {};
    const auto name = (manifold ? part->connections.at("manifold") : part->name) + "." + channel.item;
    const auto& all = network.channels();
    const bool known = std::any_of(all.begin(), all.end(), [&](const auto& c) { return c.name == name; });
    return known ? std::optional(name) : std::nullopt;
}

const BinnedChannel* LoggedPull::find(std::string_view kind) const {
    const auto at =
        std::find_if(channels.begin(), channels.end(), [&](const BinnedChannel& c) { return kind == c.what->kind; });
    return at == channels.end() ? nullptr : &*at;
}

double LoggedPull::condition(std::string_view kind) const {
    for (std::size_t k = 0; k < conditions.size(); ++k)
        if (kind == measure::conditions()[k].kind) return conditions[k];
    return std::nan("");
}

std::vector<LoggedPull> load_pulls(const Study& study, const std::vector<std::string>& without, Diagnostics& d) {
    return PullLoader(study, without, d).load();
}

}  // namespace pullcast::measure

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/measure/checklist.hpp>
#include <set>

namespace pullcast::measure {
namespace {

constexpr double degree = 0.017453292519943295;
// Common practice, no source: what counts as the same start, the same air, the same spark.
constexpr double same_intake = 3, same_coolant = 2, same_air = 2, same_pressure = 1e3, same_spark = 1 * degree;
constexpr double slips = 0.01, wanders = 0.02;  // of a ratio of speeds
constexpr double falls_early = 1;               // K

struct Range {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    std::size_t known = 0;
    void add(double v) {
        if (std::isnan(v)) return;
        low = std::min(low, v), high = std::max(high, v), ++known;
    }
    double width() const { return high - low; }
};

class Checklist {
public:
    Checklist(const MeasuredResults& r, UnitSystem system) : r_(r), pulls_(r.measured.pulls), system_(system) {}

    std::vector<CheckItem> all() const {
        return {start("intake temperature at the start", "intake_temperature", same_intake),
                start("coolant at the start", "coolant_in_temperature", same_coolant),
                air(),
                fuel(),
                spark(),
                belt(),
                tyres(),
                sensor(),
                days()};
    }

private:
    std::string temperature(double k) const { return show(k, "K", "temperature", 1, system_); }
    std::string pressure(double p) const { return show(p, "Pa", "pressure", 1, system_); }

    Range range_of(std::string_view condition) const {
        Range all;
        for (const auto& p : pulls_) all.add(p.condition(condition));
        return all;
    }

    CheckItem start(const char* item, std::string_view condition, double same) const {
        const auto range = range_of(condition);
        if (range.known < pulls_.size())
            return {item, Alike::unknown,
                    range.known ? "not logged in every pull: what the study expects stands in for it"
                                : "not logged: what the study expects stands in for it"};
        const auto words = fmt::format("{} to {}", temperature(range.low), temperature(range.high));
        if (range.width() <= same) return {item, Alike::alike, words};
        return {item, Alike::differs, words + "; the model brings the pulls to the same start"};
    }

    CheckItem air() const {
        const auto t = range_of("ambient_temperature"), p = range_of("barometer");
        if (t.known < pulls_.size() || p.known < pulls_.size())
            return {"air", Alike::unknown,
                    "temperature or pressure of the day are not logged in every pull, nor stated in its mapping: the "
                    "study's stand in for them"};
        const bool same = t.width() <= same_air && p.width() <= same_pressure;
        return {"air", same ? Alike::alike : Alike::differs,
                fmt::format("{} to {}, {} to {}", temperature(t.low), temperature(t.high), pressure(p.low),
                            pressure(p.high))};
    }

    CheckItem fuel() const {
        std::vector<std::string> names;
        std::set<std::vector<double>> kinds;
        for (const auto& p : pulls_) {
            std::vector<double> figures;
            for (const auto& [key, value] : p.variant.common)
                if (key.starts_with("fuel_")) figures.push_back(value);
            if (!kinds.insert(figures).second) continue;
            for (const auto& part : p.variant.parts)
                if (part.component == "common" && part.slot == "fuel") names.push_back(part.name);
        }
        const auto words = names.empty() ? "as the study says" : listed(names);
        return {"fuel", kinds.size() > 1 ? Alike::differs : Alike::alike, words};
    }

    /// Mean of a channel over the speeds that all pulls share.
    static double mean_between(const BinnedChannel& c, double low, double high) {
        double sum = 0;
        std::size_t n = 0;
        for (std::size_t k = 0; k < c.speed.size(); ++k)
            if (c.speed[k] >= low && c.speed[k] <= high) sum += c.value[k], ++n;
        return n ? sum / static_cast<double>(n) : std::nan("");
    }
    CheckItem spark() const {
        double low = 0, high = std::numeric_limits<double>::infinity();
        for (const auto& p : pulls_) {
            const auto* c = p.find("spark");
            if (!c) return {"spark", Alike::unknown, "not logged in every pull: the study's tables are believed"};
            low = std::max(low, c->speed.front()), high = std::min(high, c->speed.back());
        }
        if (low >= high) return {"spark", Alike::unknown, "the pulls have no speeds in common"};
        Range means;
        double off = 0;
        for (std::size_t k = 0; k < pulls_.size(); ++k) {
            means.add(mean_between(*pulls_[k].find("spark"), low, high));
            for (const auto& r : r_.fit.residuals[k])
                if (r.measured->what->kind == std::string_view("spark")) off = std::max(off, r.rms);
        }
        auto words =
            fmt::format("means over the same speeds from {} to {}", show(means.low, "rad", "spark", 1, system_),
                        show(means.high, "rad", "spark", 1, system_));
        if (off > same_spark)
            words += fmt::format(
                "; the study's tables miss what was logged by {} (rms): the car had other ones, or its "
                "controller took spark away",
                show(off, "rad", "spark", 1, system_));
        return {"spark", means.width() <= same_spark && off <= same_spark ? Alike::alike : Alike::differs, words};
    }

    /// Another speed over the crank's, early in the pull and at its end.
    struct Ratio {
        double early, late;
    };
    static std::optional<Ratio> ratio(const LoggedPull& p, std::string_view channel) {
        const auto* c = p.find(channel);
        if (!c) return {};
        const auto part = [&](double from, double to) {  // NaN where nothing was read
            const double low = c->speed.front(), span = c->speed.back() - low;
            double sum = 0;
            std::size_t n = 0;
            for (std::size_t k = 0; k < c->speed.size(); ++k) {
                const double place = (c->speed[k] - low) / span;
                if (place >= from && place <= to) sum += c->value[k] / c->speed[k], ++n;
            }
            return sum / static_cast<double>(n);
        };
        const Ratio r{part(0.2, 0.5), part(0.9, 1)};
        return std::isnan(r.early + r.late) ? std::nullopt : std::optional(r);
    }
    CheckItem belt() const {
        std::vector<std::string> slipping;
        std::size_t known = 0;
        double most = 0;
        for (const auto& p : pulls_) {
            const auto r = ratio(p, "blower_speed");
            if (!r) continue;
            ++known;
            const double lost = 1 - r->late / r->early;
            if (lost > slips) slipping.push_back(p.name), most = std::max(most, lost);
        }
        if (!slipping.empty())
            return {"belt", Alike::differs,
                    fmt::format("slips in {}: at the end the blower is {:.1f} % behind the crank. Such a pull needs a "
                                "friction of its own, or is left out",
                                listed(slipping), 100 * most)};
        if (known < pulls_.size())
            return {"belt", Alike::unknown,
                    "blower speed is not logged in every pull: a belt that slips looks like boost "
                    "that fades as speed rises"};
        return {"belt", Alike::alike, "the blower keeps its ratio to the crank"};
    }
    CheckItem tyres() const {
        Range all;
        double widest = 0;
        for (const auto& p : pulls_) {
            const auto r = ratio(p, "drum_speed");
            if (!r) return {"tyres", Alike::unknown, "drum speed is not logged in every pull"};
            all.add(r->early), all.add(r->late);
            widest = std::max(widest, std::fabs(1 - r->late / r->early));
        }
        const bool same = all.width() <= wanders * all.high;
        return {"tyres", same ? Alike::alike : Alike::differs,
                fmt::format("drum over crank speed within {:.1f} % of each other, and {:.1f} % within a pull{}",
                            100 * all.width() / all.high, 100 * widest,
                            same ? "" : ": tyres slip, or the gear was another")};
    }

    CheckItem sensor() const {
        std::vector<std::string> early;
        for (const auto& p : pulls_) {
            const auto* c = p.find("intake_temperature");
            if (!c) return {"intake sensor", Alike::unknown, "intake temperature is not logged in every pull"};
            const double least = *std::min_element(c->value.begin(), c->value.end());
            if (c->value.front() - least > falls_early) early.push_back(p.name);
        }
        std::string words;
        for (std::size_t k = 0; k < r_.fit.unknowns.size(); ++k) {
            const auto& u = r_.fit.unknowns[k];
            if (u.choice->paths[0].ends_with(".time_constant"))
                words = fmt::format("lags by {:.1f} s (fitted, +- {:.1f} s)", r_.fit.result.solution.estimates[k].value,
                                    r_.fit.result.solution.estimates[k].deviation);
        }
        if (words.empty()) words = "its lag is the study's";
        if (early.empty()) return {"intake sensor", Alike::alike, words + "; no reading falls early in the pull"};
        return {"intake sensor", Alike::differs,
                fmt::format("{}; in {} it first falls: it had soaked up heat before the pull", words, listed(early))};
    }

    CheckItem days() const {
        std::map<std::string, std::set<std::string>> logs;
        std::map<std::string, std::size_t> count;
        for (const auto& p : pulls_) logs[p.of].insert(p.log.path.string()), ++count[p.of];
        if (logs.size() < 2) return {"repeats", Alike::alike, fmt::format("{} pulls of one variant", pulls_.size())};
        std::set<std::string> seen;
        bool bridged = false;
        for (const auto& [variant, files] : logs)
            for (const auto& f : files) bridged = !seen.insert(f).second || bridged;
        std::vector<std::string> counts;
        for (const auto& [variant, n] : count) counts.push_back(fmt::format("{} of {}", n, variant));
        if (bridged) return {"repeats", Alike::alike, fmt::format("{} pulls, some in the same log", listed(counts))};
        return {
            "repeats", Alike::differs,
            fmt::format("{} pulls, in different logs: day and part are told apart by the model alone. One pull of the "
                        "old part on the new day would check it",
                        listed(counts))};
    }

    const MeasuredResults& r_;
    const std::vector<LoggedPull>& pulls_;
    UnitSystem system_;
};

}  // namespace

const char* in_words(Alike state) {
    constexpr const char* words[] = {"alike", "differs", "unknown"};
    return words[static_cast<int>(state)];
}

std::vector<CheckItem> checklist(const MeasuredResults& results, UnitSystem system) {
    return Checklist(results, system).all();
}

}  // namespace pullcast::measure

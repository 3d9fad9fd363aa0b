#include <fmt/format.h>

#include <cmath>
#include <pullcast/study/headline.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {
namespace {

const char* verb(const Moved& m) { return m.sense > 0 ? "adds" : "takes away"; }

/// A rig without a load makes no power, one without an ambient has no boost: then the size is empty.
std::string power_and_boost(const Moved& power, const Moved& boost) {
    const bool one_only = power.size.empty() || boost.size.empty();
    if (power.sense == 0 && boost.sense == 0) return one_only ? "runs" : "changes neither boost nor power";
    if (boost.sense == 0) return fmt::format("{} {}{}", verb(power), power.size, one_only ? "" : " at the same boost");
    if (power.sense == 0)
        return fmt::format("{} {} of boost{}", verb(boost), boost.size, one_only ? "" : " at the same power");
    if (power.sense == boost.sense) return fmt::format("{} {} of boost and {}", verb(power), boost.size, power.size);
    return fmt::format("{} {} with {} {} boost", verb(power), power.size, boost.size,
                       boost.sense > 0 ? "more" : "less");
}

std::string intake(const VariantResult& base, const VariantResult& other, UnitSystem system) {
    const bool sensor = !std::isnan(figure(other, "intake_redline"));
    const auto change = moved(base, other, sensor ? "intake_redline" : "charge_redline", system);
    const char* what = sensor ? "the intake" : "the charge";
    if (change.sense == 0) return fmt::format(", {} ends as warm as before", what);
    return fmt::format(", {} ends {} {}", what, change.size, change.sense > 0 ? "hotter" : "cooler");
}

std::string knock(const VariantResult& base, const VariantResult& other, UnitSystem system) {
    const double before = figure(base, "knock_margin"), after = figure(other, "knock_margin");
    if (std::isnan(after)) return "";
    const auto change = moved(base, other, "knock_margin", system);
    const auto now = show(after, "rad", "spark", 1, system);
    if (change.sense == 0) return fmt::format(", the knock margin stays at {}", now);
    if (after < 0 && before < 0)
        return fmt::format(", the knock margin stays below zero ({}, from {})", now,
                           show(before, "rad", "spark", 1, system));
    return fmt::format(", the knock margin {} to {}{}", change.sense > 0 ? "rises" : "falls", now,
                       after < 0 ? ": knock is to be expected" : "");
}

/// Of those that ran: the one with the most power that `admits`.
template <class Admits>
std::optional<std::size_t> most_power(const std::vector<VariantResult>& results, Admits admits) {
    std::optional<std::size_t> best;
    for (std::size_t k = 0; k < results.size(); ++k) {
        const double power = figure(results[k], "crank_power");
        if (std::isnan(power) || !admits(results[k])) continue;
        if (!best || power > figure(results[*best], "crank_power")) best = k;
    }
    return best;
}

std::string title_in_sentence(const Study& study, std::size_t k) { return "'" + study.variants[k].title + "'"; }

std::string without_margin(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    std::optional<std::size_t> nearest;
    for (std::size_t k = 0; k < results.size(); ++k) {
        const double m = figure(results[k], "knock_margin");
        if (!std::isnan(m) && (!nearest || m > figure(results[*nearest], "knock_margin"))) nearest = k;
    }
    if (!nearest) return "";
    return fmt::format("No variant leaves a knock margin here; {} comes nearest ({}).",
                       title_in_sentence(study, *nearest),
                       show(figure(results[*nearest], "knock_margin"), "rad", "spark", 1, system));
}

}  // namespace

std::string headline_of(const Study& study, const std::vector<VariantResult>& results, std::size_t variant,
                        UnitSystem system) {
    const auto base = base_index(study);
    if (variant == base) return "";
    const auto name = title_in_sentence(study, variant);
    if (!results[variant].failure.empty()) return name + " did not finish.";
    if (!results[base].failure.empty()) return "";
    const auto &from = results[base], &to = results[variant];
    const auto power = moved(from, to, "crank_power", system), boost = moved(from, to, "boost_redline", system);
    return fmt::format("{} {}{}{}.", name, power_and_boost(power, boost), intake(from, to, system),
                       knock(from, to, system));
}

std::string headline(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    const auto base = base_index(study);
    if (results.size() < 2 || !results[base].failure.empty()) return "";
    if (results.size() == 2) return headline_of(study, results, 1 - base, system);
    const auto any = [](const VariantResult&) { return true; };
    const auto safe = [](const VariantResult& r) { return !(figure(r, "knock_margin") < 0); };
    const auto most = most_power(results, any), best = most_power(results, safe);
    if (!most) return "";
    if (!best) return without_margin(study, results, system);
    const bool known = !std::isnan(figure(results[*best], "knock_margin"));
    if (*best != base)
        return fmt::format("Most power{}: {}", known ? " with knock margin left" : "",
                           headline_of(study, results, *best, system));
    std::string text = fmt::format("No variant makes more power than {}{}.", title_in_sentence(study, base),
                                   known ? " with knock margin left" : "");
    if (*most != base) text += fmt::format(" Without regard to knock: {}", headline_of(study, results, *most, system));
    return text;
}

}  // namespace pullcast

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/study/headline.hpp>
#include <pullcast/study/knock_words.hpp>
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

std::string margin(const VariantResult& r, UnitSystem system) {
    return show(figure(r, "knock_margin"), "rad", "spark", 1, system);
}
/// "(two models differ by 2.5 deg)", "(-0.5 deg, from -2.0 deg; two models differ by 2.5 deg)"; "" for nothing.
std::string aside(const std::string& text, const VariantResult& r, UnitSystem system) {
    const auto doubt = knock_doubt(r, system);
    const auto all = text + (text.empty() || doubt.empty() ? "" : "; ") + doubt;
    return all.empty() ? "" : " (" + all + ")";
}

std::string knock(const VariantResult& base, const VariantResult& other, UnitSystem system) {
    const auto side = knock_side(other);
    if (side == KnockSide::not_computed) return "";
    const auto change = moved(base, other, "knock_margin", system);
    const bool beyond = side == KnockSide::beyond && change.sense != 0;
    if (beyond && knock_side(base) == side) {
        const auto sizes = fmt::format("{}, from {}", margin(other, system), margin(base, system));
        return ", the knock margin stays below zero" + aside(sizes, other, system);
    }
    return fmt::format(", the knock margin {} {}{}{}",
                       change.sense == 0  ? "stays at"
                       : change.sense > 0 ? "rises to"
                                          : "falls to",
                       margin(other, system), aside("", other, system),
                       beyond                       ? ": knock is to be expected"
                       : side == KnockSide::unknown ? ": on which side of the limit is not known"
                                                    : "");
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

bool has_second_opinion(const VariantResult& r) { return !std::isnan(figure(r, "knock_doubt")); }

/// No variant is clear of the limit; `doubtful`: some may be.
std::string without_margin(const Study& study, const std::vector<VariantResult>& results, bool doubtful,
                           UnitSystem system) {
    std::optional<std::size_t> nearest;
    for (std::size_t k = 0; k < results.size(); ++k) {
        const double m = figure(results[k], "knock_margin");
        if (!std::isnan(m) && (!nearest || m > figure(results[*nearest], "knock_margin"))) nearest = k;
    }
    if (!nearest) return "";
    const auto& r = results[*nearest];
    return fmt::format("No variant leaves a knock margin {}; {} comes nearest{}.",
                       doubtful ? "by both models" : "here", title_in_sentence(study, *nearest),
                       aside(margin(r, system), r, system));
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
    const auto safe = [](const VariantResult& r) {
        return knock_side(r) == KnockSide::clear || knock_side(r) == KnockSide::not_computed;
    };
    const auto most = most_power(results, any), best = most_power(results, safe);
    if (!most) return "";
    const auto regardless = [&] {
        return *most == base ? "" : " Without regard to knock: " + headline_of(study, results, *most, system);
    };
    if (!best) {
        const auto unknown = [](const VariantResult& r) { return knock_side(r) == KnockSide::unknown; };
        const bool doubtful = std::any_of(results.begin(), results.end(), unknown);
        return without_margin(study, results, doubtful, system) + (doubtful ? regardless() : "");
    }
    const bool known = knock_side(results[*best]) != KnockSide::not_computed;
    const char* left = !known                               ? ""
                       : has_second_opinion(results[*best]) ? " with knock margin left by both models"
                                                            : " with knock margin left";
    if (*best != base) return fmt::format("Most power{}: {}", left, headline_of(study, results, *best, system));
    return fmt::format("No variant makes more power than {}{}.{}", title_in_sentence(study, base), left, regardless());
}

}  // namespace pullcast

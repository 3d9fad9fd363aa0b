#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/study/knock_words.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {
namespace {

constexpr std::string_view rest = "the rest";
constexpr const char* trend = " A trend, not a promise.";

std::string degrees(double si, UnitSystem system) { return show(si, "rad", "spark", 1, system); }
std::string size_of(double si, UnitSystem system) { return degrees(std::fabs(si), system); }
std::string rpm(double si, UnitSystem system) { return show(si, "rad/s", "speed", 0, system); }
bool shows(double si, UnitSystem system) { return size_of(si, system) != degrees(0, system); }
const char* takes(double si) { return si < 0 ? "take" : "give"; }

/// What turned, by how much, and what that does to the margin.
struct Cause {
    std::string_view name;
    double part;       // rad of margin
    std::string what;  // "21.3 K hotter"
};

/// Those that show, the largest first.
std::vector<Cause> causes(const KnockPoint& from, const KnockPoint& to, UnitSystem system) {
    const auto s = split_margin(from, to);
    const auto change = [&](double d, const char* unit, const char* quantity, const char* up, const char* down) {
        return show(std::fabs(d), unit, quantity, 1, system) + (d > 0 ? up : down);
    };
    const auto before = rpm(from.speed, system), now = rpm(to.speed, system);
    std::vector<Cause> all = {
        {"heat", s.heat, change(to.temperature - from.temperature, "dK", "temperature", " hotter", " cooler")},
        {"pressure", s.pressure, change(to.pressure - from.pressure, "Pa", "boost", " more", " less")},
        {"spark", s.spark, to.spark > from.spark ? "set earlier" : "set later"},
        {"fuel", s.fuel,
         change(to.octane - from.octane, "1", "octane", " octane numbers more", " octane numbers less")},
        {rest, s.rest,
         before == now ? "mixture, back pressure and the like"
                       : fmt::format("mixture and the like; worst at {}, not {}", now, before)}};
    std::erase_if(all, [&](const Cause& c) { return !shows(c.part, system); });
    std::stable_sort(all.begin(), all.end(),
                     [](const Cause& a, const Cause& b) { return std::fabs(a.part) > std::fabs(b.part); });
    return all;
}

std::string told(const std::vector<Cause>& all, UnitSystem system) {
    std::string text, last;
    for (const auto& c : all) {
        const std::string verb = takes(c.part);
        text += fmt::format("{}{} {}{} ({})", text.empty() ? "" : ", ", c.name, verb == last ? "" : verb + "s ",
                            size_of(c.part, system), c.what);
        last = verb;
    }
    return text;
}

/// "Of the 3.2 deg less knock margin, heat takes 1.9 deg (21.3 K hotter), ...: heat moves it most."; "" where nothing
/// did.
std::string moved_by(const KnockPoint& from, const KnockPoint& to, UnitSystem system) {
    const auto all = causes(from, to, system);
    if (all.empty()) return "";
    const double total = to.margin - from.margin;
    if (!shows(total, system)) return fmt::format("The knock margin hardly moves: {}.", told(all, system));
    const auto with_it = [&](const Cause& c) { return (c.part < 0) == (total < 0); };
    const auto most = std::find_if(all.begin(), all.end(), with_it);
    std::string text = fmt::format("Of the {} {} knock margin, {}", size_of(total, system), total < 0 ? "less" : "more",
                                   told(all, system));
    const bool known = most != all.end() && most->name != rest;
    if (all.size() > 1 && known) text += fmt::format(": {} moves it most", most->name);
    return text + ".";
}

/// Round steps of the units shown.
std::string what_would_move(const KnockPoint& p, UnitSystem system) {
    const bool us = system == UnitSystem::us;
    const double heat = us ? 20 / 1.8 : 10, pressure = us ? 6894.757293168 : 10e3;  // 20 degF, 1 psi
    const auto one_degree = std::acos(-1) / 180;
    const double by_heat = p.per_temperature * heat, by_pressure = p.per_pressure * pressure;
    const auto effect = [&](double part, const char* before) {
        const std::string verb = takes(part);
        return (verb == before ? "" : verb + " ") + size_of(part, system);
    };
    return fmt::format(
        "At the worst point ({}) {} hotter charge would {}, {} more pressure {}, one octane number less {}, one degree "
        "more spark {}.",
        rpm(p.speed, system), show(heat, "dK", "temperature", 0, system), effect(by_heat, ""),
        show(pressure, "Pa", "boost", 0, system), effect(by_pressure, takes(by_heat)),
        effect(-p.per_octane, takes(by_pressure)), effect(-one_degree, takes(-p.per_octane)));
}

/// "knock.octane_rules", with the component's name where both have the same model.
std::string model(const VariantResult& r, std::size_t n) {
    const PullView view(*r.network, r.pull);
    const auto *own = view.part("knock", n), *other = view.part("knock", 1 - n);
    return own->type == other->type ? fmt::format("{} ({})", own->type->name, own->name) : own->type->name;
}

/// Where two models do not agree that a margin is left.
std::string doubt_in_words(const VariantResult& r, UnitSystem system) {
    const auto side = knock_side(r);
    const double second = figure(r, "knock_margin_second"), smallest = figure(r, "knock_smallest_second");
    if (std::isnan(second) || side == KnockSide::clear || side == KnockSide::not_computed) return "";
    const bool lower = smallest < 0 && degrees(smallest, system) != degrees(second, system);
    const char* verdict = side == KnockSide::unknown ? "on which side of the knock limit this pull is, is not known"
                          : second < 0               ? "both say that this fuel would knock"
                                                     : "each says that it would knock somewhere";
    return fmt::format("At the worst point ({}) the margin is {} by {} and {} by {}{}: {}.",
                       rpm(figure(r, "knock_margin_speed"), system), degrees(figure(r, "knock_margin"), system),
                       model(r, 0), degrees(second, system), model(r, 1),
                       lower ? fmt::format(", which falls to {} elsewhere", degrees(smallest, system)) : "", verdict);
}

/// The spark that trims and knock limit took, where that costs power.
std::string spark_taken(const VariantResult& r, UnitSystem system) {
    const PullView view(*r.network, r.pull);
    const auto power = [&](double si) { return show(si, "W", "power", 1, system); };
    const double loss = figure(r, "retard_loss_peak_power"), all = figure(r, "spark_loss_peak_power");
    const double taken = view.at("calibration", "table_spark", view.peak_power()) - figure(r, "spark_peak_power");
    if (!(loss > 0 && taken > 0) || power(loss) == power(0) || !shows(taken, system)) return "";
    return fmt::format(
        "The calibration took {} of spark for heat and knock limit: {} at peak power, of {} lost there "
        "against spark of best torque.",
        degrees(taken, system), power(loss), power(all));
}

}  // namespace

std::optional<KnockPoint> knock_point(const VariantResult& r) {
    if (!r.failure.empty()) return std::nullopt;
    const PullView v(*r.network, r.pull);
    const auto worst = worst_knock(v);
    if (!worst) return std::nullopt;
    const auto knock = [&](const char* item) { return v.at("knock", item, *worst); };
    const KnockPoint p = {v.speed(*worst),
                          knock("margin"),
                          v.manifold("T", *worst),
                          v.manifold("p", *worst),
                          v.at("calibration", "spark", *worst),
                          knock("fuel_octane"),
                          knock("per_temperature"),
                          knock("per_pressure"),
                          knock("per_octane")};
    const double all = p.speed + p.margin + p.temperature + p.pressure + p.spark + p.octane + p.per_temperature +
                       p.per_pressure + p.per_octane;
    return std::isfinite(all) ? std::optional(p) : std::nullopt;
}

MarginSplit split_margin(const KnockPoint& from, const KnockPoint& to) {
    const auto part = [&](double KnockPoint::*slope, double KnockPoint::*cause) {
        return (from.*slope + to.*slope) / 2 * (to.*cause - from.*cause);
    };
    MarginSplit s = {to.margin - from.margin,
                     part(&KnockPoint::per_temperature, &KnockPoint::temperature),
                     part(&KnockPoint::per_pressure, &KnockPoint::pressure),
                     from.spark - to.spark,
                     part(&KnockPoint::per_octane, &KnockPoint::octane),
                     0};
    s.rest = s.total - (s.heat + s.pressure + s.spark + s.fuel);
    return s;
}

KnockSide knock_side(const VariantResult& r) {
    const double first = figure(r, "knock_margin"), second = figure(r, "knock_smallest_second");
    if (std::isnan(first)) return KnockSide::not_computed;
    if (std::isnan(second)) return first < 0 ? KnockSide::beyond : KnockSide::clear;
    if ((first < 0) != (second < 0)) return KnockSide::unknown;
    return first < 0 ? KnockSide::beyond : KnockSide::clear;
}

std::string knock_doubt(const VariantResult& r, UnitSystem system) {
    const double doubt = figure(r, "knock_doubt");
    return std::isnan(doubt) ? "" : "two models differ by " + degrees(doubt, system);
}

std::vector<std::string> knock_in_words(const Study& study, const std::vector<VariantResult>& results,
                                        std::size_t variant, UnitSystem system) {
    const auto base = base_index(study);
    const auto& r = results[variant];
    std::vector<std::string> out;
    if (!r.failure.empty()) return out;
    const auto add = [&](const std::string& text) {
        if (!text.empty()) out.push_back(text);
    };
    const auto from = knock_point(results[base]), to = knock_point(r);
    if (variant != base && from && to) add(moved_by(*from, *to, system));
    if (out.empty() && to) add(what_would_move(*to, system));
    add(doubt_in_words(r, system));
    if (!out.empty()) out.back() += trend;
    add(spark_taken(r, system));
    return out;
}

}  // namespace pullcast

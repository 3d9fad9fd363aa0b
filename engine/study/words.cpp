#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/media/correction.hpp>
#include <pullcast/study/words.hpp>

namespace pullcast {
namespace {

std::size_t index_of(std::string_view key) {
    const auto all = figures();
    return static_cast<std::size_t>(std::find_if(all.begin(), all.end(), [&](const Figure& f) { return key == f.key; }) - all.begin());
}

/// Two results side by side.
struct Pair {
    const VariantResult &base, &other;
    UnitSystem system;

    double value(const VariantResult& r, std::string_view key) const { return r.figures[index_of(key)]; }
    double change(std::string_view key) const { return value(other, key) - value(base, key); }
    double ratio(std::string_view key) const { return value(other, key) / value(base, key) - 1; }
    /// "41.2 hp more", "3.1 psi lower"
    std::string moved(std::string_view key, const char* up, const char* down) const {
        const Figure& f = figures()[index_of(key)];
        const char* unit = std::string_view(f.unit) == "K" ? "dK" : f.unit;
        const double d = change(key);
        return fmt::format("{} {}", show(std::fabs(d), unit, f.quantity, f.decimals, system), d >= 0 ? up : down);
    }
};

bool same_pulley(const VariantResult& a, const VariantResult& b) {
    const auto key = index_of("blower_speed");
    return std::fabs(a.figures[key] / b.figures[key] - 1) < 0.01;
}

void expected_boost_loss(const Pair& p, std::vector<std::string>& out) {
    const double flow = p.ratio("air_flow_redline");
    if (!same_pulley(p.base, p.other) || p.change("boost_redline") > -200 || p.change("charge_redline") > -1 || std::fabs(flow) > 0.03) return;
    out.push_back(fmt::format("Boost is {} although nothing leaks: at the same pulley the blower moves the same air ({:+.1f} % here), "
                              "and cooler charge needs less pressure for it. This drop is expected.",
                              p.moved("boost_redline", "higher", "lower"), flow * 100));
}

/// Gross slip: boost that fades as speed rises.
void fading_boost(const VariantResult& r, std::vector<std::string>& out) {
    const auto slipping = std::find_if(r.warnings.begin(), r.warnings.end(), [](const Warning& w) { return w.channel.ends_with(".slip_margin"); });
    if (slipping == r.warnings.end()) return;
    out.push_back("The belt slips: on a boost gauge this looks like boost that fades as speed rises. A clogged filter or a leak can look "
                  "alike; blower speed against crank speed tells them apart.");
}

}  // namespace

std::string show(double si, const char* unit, const char* quantity, int decimals, UnitSystem system) {
    if (std::isnan(si)) return "n/a";
    const auto d = display_unit(unit, system, quantity);
    const auto number = decimals < 0 ? fmt::format("{:.1e}", d(si)) : fmt::format("{:.{}f}", d(si), decimals);
    return d.unit.empty() || d.unit == "1" ? number : number + " " + d.unit;
}

std::vector<std::string> compare_in_words(const Study& study, const std::vector<VariantResult>& results, std::size_t variant, UnitSystem system) {
    const auto base = base_index(study);
    std::vector<std::string> out;
    if (variant == base || !results[variant].failure.empty() || !results[base].failure.empty()) return out;
    const Pair p{results[base], results[variant], system};
    out.push_back(fmt::format("{}: boost at redline {}, peak crank power {}, charge at redline {}, blower drive power {}, knock margin {}.",
                              study.variants[variant].title, p.moved("boost_redline", "higher", "lower"), p.moved("crank_power", "more", "less"),
                              p.moved("charge_redline", "hotter", "cooler"), p.moved("drive_power", "more", "less"), p.moved("knock_margin", "larger", "smaller")));
    expected_boost_loss(p, out);
    fading_boost(results[variant], out);
    return out;
}

std::vector<std::string> warnings_in_words(const VariantResult& result, UnitSystem system) {
    std::vector<std::string> out;
    if (!result.failure.empty()) out.push_back("the pull did not finish: " + result.failure);
    for (const auto& w : result.warnings) {
        const auto item = w.channel.substr(w.channel.find('.') + 1);
        out.push_back(fmt::format("{}: {} (first at {:.2f} s, {}; worst {}, limit {})", w.channel, w.text, w.time, show(w.speed, "rad/s", "speed", 0, system),
                                  show(w.worst, w.unit, item.c_str(), 2, system), show(w.limit, w.unit, item.c_str(), 2, system)));
    }
    if (result.failure.empty() && !result.pull.reached_stop_speed)
        out.push_back("the pull ended by time before the stop speed: figures at redline are figures at its end");
    return out;
}

std::vector<std::string> corrections_in_words(const VariantResult& result) {
    std::vector<std::string> out;
    if (!result.failure.empty()) return out;
    const PullView view(*result.network, result.pull);
    for (const auto& [standard, name] : {std::pair{Standard::sae_j1349, "SAE J1349"}, {Standard::iso_1585, "ISO 1585"}}) {
        const auto c = correction(view, standard);
        out.push_back(fmt::format("{} factor {:.4f}{}{}", name, c.factor, c.in_range ? "" : ": OUT OF ITS RANGE: ", c.note));
    }
    out.push_back(fmt::format("on a boosted engine {}; none of the standards describes a pull of a few seconds", media::boosted_note));
    return out;
}

std::vector<std::string> assumptions(const Variant& variant) {
    std::vector<std::string> out;
    for (const auto& c : variant.rig.components)
        out.push_back(fmt::format("{} ({}): {}. Valid: {}. Source: {}", c.name, c.type->name, c.type->summary, c.type->validity, c.type->reference));
    return out;
}

std::vector<std::string> cautions() {
    return {
        "A simulated knock margin is not permission to add boost or spark: knock detection, the plugs and a licensed tuner decide.",
        "On the rollers: follow the room's restraint rules; keep people clear of belts, drums and tyres; mind the tyre's speed rating.",
        "Stop at the first sign of knock or of a lean mixture.",
        "After a smaller pulley check rotor and belt speed at the fuel cut, not only at the redline.",
        "Coolant is hot and under pressure. A core that leaks into the ports can lock the engine hydraulically; check before cranking.",
        "With ice, water condenses and coolant dilutes: check for freezing and for water in the intake.",
        "Fuel and hot parts: keep an extinguisher at hand, and run with ventilation.",
        "Local codes, and the practice of licensed people, go before anything printed here.",
    };
}

}  // namespace pullcast

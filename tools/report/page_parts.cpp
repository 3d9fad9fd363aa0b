#include "page_parts.hpp"

#include <cmath>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/version.hpp>
#include <pullcast/study/words.hpp>

#include "page.hpp"

namespace pullcast {

using Json = nlohmann::ordered_json;

Json exact(double v) { return std::isfinite(v) ? Json(v) : Json(nullptr); }

Json rounded(double v) {
    constexpr int digits = 6;
    if (!std::isfinite(v)) return nullptr;
    if (v == 0) return 0.0;
    const int places = digits - 1 - static_cast<int>(std::floor(std::log10(std::fabs(v))));
    constexpr int exact_powers = 22;  // of ten, as doubles
    if (std::abs(places) > exact_powers) return v;
    const double scale = std::pow(10.0, std::abs(places));
    return places >= 0 ? std::round(v * scale) / scale : std::round(v / scale) * scale;
}

Json figures_json() {
    Json out = Json::array();
    for (const auto& f : figures())
        out.push_back({{"key", f.key},
                       {"label", f.label},
                       {"group", f.group},
                       {"unit", unit_key(f.unit, f.quantity)},
                       {"difference", difference_key(f.unit, f.quantity)},
                       {"decimals", f.decimals},
                       {"doc", f.doc}});
    return out;
}

Json curves_json(std::span<const PullCurve> curves) {
    Json out = Json::array();
    for (const auto& c : curves)
        out.push_back({{"key", c.key},
                       {"label", c.label},
                       {"unit", unit_key(c.unit, c.quantity)},
                       {"difference", difference_key(c.unit, c.quantity)},
                       {"decimals", c.decimals},
                       {"doc", c.doc},
                       {"band", c.band ? Json(c.band) : Json(nullptr)}});
    return out;
}

Json charts_json(const std::vector<Chart>& charts) {
    Json out = Json::array();
    for (const auto& c : charts)
        out.push_back({{"key", c.key}, {"title", c.title}, {"doc", c.doc}, {"curves", c.curves}});
    return out;
}

Json ledger_json(const LedgerLine& energy, const LedgerLine& gas, const LedgerLine& water, const LedgerLine& coolant) {
    const auto line = [](const LedgerLine& l, const char* unit) -> Json {
        return {{"unit", unit}, {"stored_change", l.stored_change}, {"into", l.into},
                {"out", l.out}, {"residual", l.residual()},         {"relative", exact(l.relative())}};
    };
    return {{"energy", line(energy, "J")},
            {"gas", line(gas, "kg")},
            {"water", line(water, "kg")},
            {"coolant", line(coolant, "kg")}};
}

Json parts_json(const Variant& v) {
    Json out = Json::array();
    for (const auto& p : v.parts)
        out.push_back({{"component", p.component},
                       {"slot", p.slot},
                       {"name", p.name},
                       {"file", p.file},
                       {"price", p.price ? show_price(*p.price) : ""}});
    return out;
}

Json changes_json(const Variant& v) {
    Json out = Json::array();
    for (const auto& c : v.changes)
        out.push_back({{"path", c.path}, {"before", c.before}, {"after", c.after}, {"everywhere", c.everywhere}});
    return out;
}

nlohmann::ordered_json page_head(const char* mode, const Study& study, UnitSystem shown_first) {
    return {{"schema", "pullcast.page"},
            {"schema_version", 1},
            {"mode", mode},
            {"program", {{"name", "pullcast"}, {"version", version}}},
            {"study",
             {{"title", title_of(study)},
              {"question", study.question},
              {"note", study.note},
              {"file", study.file},
              {"hash", study.hash}}},
            {"system", shown_first == UnitSystem::us ? "us" : "metric"}};
}

}  // namespace pullcast

#include "page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <pullcast/study/curves.hpp>
#include <pullcast/study/headline.hpp>
#include <pullcast/study/heat_flow.hpp>
#include <pullcast/study/results.hpp>
#include <pullcast/study/rig_graph.hpp>
#include <pullcast/study/words.hpp>

#include "bundle.hpp"
#include "in_systems.hpp"
#include "page_parts.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

Json display_json(const Display& d) {
    return {{"unit", d.unit == "1" ? "" : d.unit}, {"scale", d.scale}, {"offset", d.offset}};
}

Json heat_json() {
    constexpr const char* roles[] = {"source", "through", "end"};
    Json places = Json::array(), flows = Json::array();
    for (const auto& p : heat_places()) places.push_back({{"key", p.key}, {"label", p.label}, {"role", roles[p.role]}});
    for (const auto& f : heat_flows())
        flows.push_back({{"key", f.key}, {"from", f.from}, {"to", f.to}, {"doc", f.doc}, {"derived", f.derived}});
    return {{"places", places}, {"flows", flows}};
}

/// The rig, and which channels of the network stand on the drawing.
Json rig_json(const Network& network, std::vector<std::size_t>& shown) {
    constexpr const char* kinds[] = {"storage", "link", "watch"};
    constexpr const char* domains[] = {"gas", "coolant", "heat", "shaft", "signal"};
    const auto graph = rig_graph(network);
    Json components = Json::array(), edges = Json::array(), channels = Json::array();
    for (const auto& c : graph.components) {
        Json own = Json::array();
        for (const auto k : c.channels) {
            const auto& channel = network.channels()[k];
            own.push_back(shown.size());
            shown.push_back(k);
            channels.push_back(
                {{"name", channel.name}, {"unit", unit_key(channel.unit, channel.item)}, {"doc", channel.doc}});
        }
        components.push_back({{"name", c.name},
                              {"model", c.model},
                              {"role", c.role},
                              {"summary", c.summary},
                              {"kind", kinds[static_cast<int>(c.kind)]},
                              {"channels", own}});
    }
    for (const auto& e : graph.edges)
        edges.push_back(
            {{"from", e.from}, {"to", e.to}, {"domain", domains[e.domain]}, {"moves", e.moves}, {"label", e.label}});
    return {{"components", std::move(components)}, {"edges", std::move(edges)}, {"channels", std::move(channels)}};
}

std::vector<std::size_t> instants_of(const Pull& pull, std::size_t count) {
    std::vector<std::size_t> points;
    const std::size_t last = pull.points() - 1, steps = std::min(count - 1, last);
    for (std::size_t k = 0; k <= steps; ++k) points.push_back(steps ? k * last / steps : 0);
    return points;
}

std::vector<std::size_t> every(std::size_t step, const Pull& pull) {
    std::vector<std::size_t> points;
    for (std::size_t k = 0; k + 1 < pull.points(); k += step) points.push_back(k);
    points.push_back(pull.points() - 1);
    return points;
}

/// Room for members: an object of this library that grows copies what it holds, all the way down.
void make_room(Json& object, std::size_t members) { object.get_ref<Json::object_t&>().reserve(members); }

Json heat_values(const PullView& view, const std::vector<std::size_t>& points) {
    const HeatBooks books(view);
    if (!books.complete()) return nullptr;
    Json out = Json::object();
    make_room(out, heat_flows().size());
    for (const auto point : points) {
        const auto values = books.until(point);
        for (std::size_t k = 0; k < values.size(); ++k) out[heat_flows()[k].key].push_back(exact(values[k]));
    }
    return out;
}

Json curve_values(const PullView& view, const std::vector<std::size_t>& points) {
    Json out = Json::object();
    make_room(out, curves().size());
    for (const auto& c : curves()) {
        const auto values = c.compute(view);
        Json& list = out[c.key];
        for (std::size_t k = 0; !values.empty() && k < points.size(); ++k) list.push_back(rounded(values[points[k]]));
    }
    return out;
}

Json solver_json(const Integrator::Statistics& s) {
    return {{"steps", s.steps},
            {"right-hand sides", s.derivatives},
            {"Jacobians", s.jacobians},
            {"factorisations", s.factorisations},
            {"failed error tests", s.error_test_fails},
            {"rejections", s.rejections}};
}

/// What only a finished pull has.
Json pull_json(const VariantResult& r, Json& rigs, const PageDetail& detail) {
    const PullView view(*r.network, r.pull);
    Json speed = Json::array(), time = Json::array(), instants = Json::array(), rig_values = Json::array();
    const auto drawn = every(detail.every, r.pull), points = instants_of(r.pull, detail.instants);
    for (const auto k : drawn) {
        time.push_back(rounded(view.time(k)));
        speed.push_back(rounded(view.speed(k)));
    }
    for (const auto k : points) instants.push_back(rounded(view.time(k)));

    std::vector<std::size_t> shown;
    Json rig = rig_json(*r.network, shown);
    for (const auto channel : shown) {
        Json row = Json::array();
        for (const auto k : points) row.push_back(rounded(r.pull.at(k, channel)));
        rig_values.push_back(std::move(row));
    }
    const auto same = std::find(rigs.begin(), rigs.end(), rig);
    const auto index = same - rigs.begin();
    if (same == rigs.end()) rigs.push_back(std::move(rig));
    Json out = Json::object();
    make_room(out, 9);
    out["time"] = std::move(time);
    out["speed"] = std::move(speed);
    out["curves"] = curve_values(view, drawn);
    out["instants"] = std::move(instants);
    out["heat"] = heat_values(view, points);
    out["rig"] = index;
    out["rig_values"] = std::move(rig_values);
    out["ledger"] = ledger_json(r.pull.energy, r.pull.gas, r.pull.water, r.pull.coolant);
    out["solver"] = solver_json(r.pull.statistics);
    return out;
}

Json no_pull_json() {
    return {{"time", Json::array()},       {"speed", Json::array()}, {"curves", Json::object()},
            {"instants", Json::array()},   {"heat", nullptr},        {"rig", 0},
            {"rig_values", Json::array()}, {"ledger", nullptr},      {"solver", nullptr}};
}

/// Warnings of each variant without those that all share, and these.
struct SharedWarnings {
    std::vector<std::vector<std::string>> own;
    std::vector<std::string> common;
    SharedWarnings(const std::vector<VariantResult>& results, UnitSystem system) {
        for (const auto& r : results) own.push_back(warnings_in_words(r, system));
        common = take_common(own);
    }
};

std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (c == '&') out += "&amp;";
        else if (c == '<') out += "&lt;";
        else out += c;
    return out;
}

/// No text of the document can end the element that it stands in.
std::string json_in_html(const Json& page) {
    const auto text = page.dump(-1, ' ', false, Json::error_handler_t::replace);
    std::string out;
    out.reserve(text.size());
    for (const char c : text)
        if (c == '<') out += "\\u003c";
        else out += c;
    return out;
}

}  // namespace

std::string unit_key(std::string_view unit, std::string_view quantity) { return fmt::format("{}|{}", unit, quantity); }
std::string difference_key(std::string_view unit, std::string_view quantity) {
    return unit_key(unit == "K" ? "dK" : unit, quantity);
}

void add_units(const Json& part, Json& units) {
    const auto add = [&](const std::string& key) {
        const auto bar = key.find('|');
        if (bar == key.npos || units.contains(key)) return;
        units[key] = in_systems(
            [&](UnitSystem s) { return display_json(display_unit(key.substr(0, bar), s, key.substr(bar + 1))); });
    };
    for (const auto& [key, value] : part.items()) {
        if (value.is_structured()) add_units(value, units);
        else if (value.is_string() &&
                 (key == "unit" || key == "difference" || key == "step_unit" || key == "speed_unit"))
            add(value.get<std::string>());
    }
}

Json variant_json(const Study& study, const std::vector<VariantResult>& results, std::size_t k, Json& rigs,
                  const PageDetail& detail) {
    const auto& v = study.variants[k];
    const auto& r = results[k];
    Json values = Json::object();
    for (std::size_t f = 0; f < figures().size(); ++f) values[figures()[f].key] = exact(r.figures[f]);
    Json out = {
        {"name", v.name},
        {"title", v.title},
        {"base", k == base_index(study)},
        {"failure", r.failure.empty() ? Json(nullptr) : Json(r.failure)},
        {"new_parts", new_parts(study, k)},
        {"headline", in_systems([&](UnitSystem s) { return headline_of(study, results, k, s); })},
        {"words", in_systems([&](UnitSystem s) { return explain_in_words(study, results, k, s); })},
        {"warnings", in_systems([&](UnitSystem s) { return warnings_in_words(r, s); })},
        {"corrections", corrections_in_words(r)},
        {"figures", values},
        {"parts", parts_json(v)},
        {"changes", changes_json(v)},
    };
    Json pull = r.failure.empty() ? pull_json(r, rigs, detail) : no_pull_json();
    make_room(out, out.size() + pull.size());
    for (auto& [key, value] : pull.items()) out[key] = std::move(value);
    return out;
}

Json page_json(const Study& study, const std::vector<VariantResult>& results, UnitSystem shown_first) {
    Json rigs = Json::array(), variants = Json::array(), units = Json::object();
    const SharedWarnings shared[] = {{results, UnitSystem::metric}, {results, UnitSystem::us}};
    for (std::size_t k = 0; k < results.size(); ++k) {
        auto v = variant_json(study, results, k, rigs);
        v["warnings"] = {{"metric", shared[0].own[k]}, {"us", shared[1].own[k]}};
        variants.push_back(std::move(v));
    }
    Json page = page_head("report", study, shown_first);
    page.update(Json{
        {"headline", in_systems([&](UnitSystem s) { return headline(study, results, s); })},
        {"speed_unit", unit_key("rad/s", "speed")},
        {"figures", figures_json()},
        {"curves", curves_json(curves())},
        {"charts", charts_json(charts())},
        {"heat", heat_json()},
        {"common_warnings", {{"metric", shared[0].common}, {"us", shared[1].common}}},
        {"correction_caution", correction_caution(results)},
        {"load_notes", study.notes},
        {"assumptions", assumptions(study)},
        {"cautions", cautions()},
        {"live", nullptr},
    });
    units[unit_key("J", "heat")] = in_systems([](UnitSystem s) { return display_json(display_unit("J", s, "heat")); });
    add_units(page, units);
    add_units(rigs, units);
    page["units"] = std::move(units);
    page["rigs"] = std::move(rigs);
    page["variants"] = std::move(variants);
    return page;
}

std::string page_html(const Json& page, const std::string& title, const std::string& plain_text) {
    constexpr std::string_view of_pulls[] = {"report", "live", "explained", "matched"};
    const bool pulls = std::ranges::count(of_pulls, page.at("mode").get<std::string>()) > 0;
    const auto bundle = pulls ? page_bundle() : more_bundle();
    return fmt::format(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n<noscript><pre>{}</pre></noscript>\n"
        "<script type=\"application/json\" id=\"pullcast-page\">{}</script>\n<script>{}</script>\n</body>\n</html>\n",
        escaped(title), bundle.style, escaped(plain_text), json_in_html(page), bundle.script);
}

std::string report_html(const Study& study, const std::vector<VariantResult>& results, UnitSystem shown_first) {
    return page_html(page_json(study, results, shown_first), title_of(study), notes_text(study, results, shown_first));
}

}  // namespace pullcast

#include "day_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <pullcast/study/heat_flow.hpp>
#include <pullcast/study/session_words.hpp>

#include "day_curves.hpp"
#include "in_systems.hpp"
#include "page.hpp"
#include "page_parts.hpp"

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;
using Results = std::vector<SessionResult>;
using Steady = std::vector<std::vector<double>>;

constexpr std::size_t text_width = 100;

const char* name_of(SessionStep::Kind kind) {
    constexpr const char* names[] = {"pull", "held", "idle"};
    return names[static_cast<int>(kind)];
}

struct HeatItem {
    const char *key, *label, *side, *doc;
    double HeatOfPull::*value;
};
constexpr HeatItem heat_items[] = {
    {"compression", "work of compression", "in", "what the blower's shaft puts into the charge",
     &HeatOfPull::compression},
    {"pump", "pump", "in", "electricity of the coolant pump", &HeatOfPull::pump},
    {"core", "metal of the core", "stored", "tubes and fins that warm", &HeatOfPull::core},
    {"loop", "coolant", "stored", "the rest of the loop: coolant, hoses, reservoir and its ice", &HeatOfPull::loop},
    {"casing", "blower casing", "stored", "metal that warms", &HeatOfPull::casing},
    {"walls", "walls of the charge side", "stored", "lid, boxes, manifold", &HeatOfPull::walls},
    {"air", "air in the boxes", "stored", "denser or hotter than before", &HeatOfPull::air},
    {"outside", "front exchanger", "left", "to the outside air; to the left: from it", &HeatOfPull::outside},
    {"surroundings", "hoses and tank", "left", "to their surroundings; to the left: from them",
     &HeatOfPull::surroundings},
    {"cylinders", "cylinders", "left", "with the charge, above what it was drawn in with", &HeatOfPull::cylinders},
};

Json heat_items_json() {
    Json out = Json::array();
    for (const auto& i : heat_items)
        out.push_back({{"key", i.key}, {"label", i.label}, {"side", i.side}, {"doc", i.doc}});
    return out;
}

Json values_json(const std::vector<double>& values) {
    Json out = Json::object();
    for (std::size_t k = 0; k < values.size(); ++k) out[figures()[k].key] = exact(values[k]);
    return out;
}

/// The thinned curves of one variant, step after step.
class DrawnDay {
public:
    explicit DrawnDay(const SessionResult& r) : values_(day_curves().size(), Json::array()), has_(day_curves().size()) {
        for (const auto& part : r.parts) append(part);
    }

    std::pair<std::size_t, std::size_t> rows(std::size_t part) const { return rows_[part]; }

    void move_to(Json& out) {
        Json all = Json::object();
        for (std::size_t c = 0; c < values_.size(); ++c)
            all[day_curves()[c].key] = has_[c] ? std::move(values_[c]) : Json(nullptr);
        out["time"] = std::move(time_), out["speed"] = std::move(speed_), out["curves"] = std::move(all);
    }

private:
    void append(const SessionPart& part) {
        const PullView view(*part.network, part.pull);
        std::vector<std::vector<double>> columns;
        for (const auto& c : day_curves()) columns.push_back(c.compute(view));
        if (time_.size() > 0 && part.begin > last_) gap((last_ + part.begin) / 2);
        const auto points = points_to_draw(part.pull.time, day_curves(), columns);
        rows_.emplace_back(time_.size(), time_.size() + points.size() - 1);
        for (const auto k : points) {
            time_.push_back(part.begin + part.pull.time[k]);
            speed_.push_back(rounded(view.speed(k)));
            for (std::size_t c = 0; c < columns.size(); ++c) {
                has_[c] = has_[c] || !columns[c].empty();
                values_[c].push_back(columns[c].empty() ? Json(nullptr) : rounded(columns[c][k]));
            }
        }
        last_ = part.end();
    }

    /// While a pull settles nothing is kept: no line goes through it.
    void gap(double time) {
        time_.push_back(time);
        speed_.push_back(Json(speed_.back()));
        for (auto& v : values_) v.push_back(nullptr);
    }

    Json time_ = Json::array(), speed_ = Json::array();
    std::vector<Json> values_;
    std::vector<bool> has_;
    std::vector<std::pair<std::size_t, std::size_t>> rows_;
    double last_ = 0;
};

/// One variant's part of the document.
class VariantPart {
public:
    VariantPart(const Study& study, const Results& results, std::size_t variant, const std::vector<double>& steady)
        : study_(study), results_(results), v_(variant), r_(results[variant]), steady_(steady) {
        for (const auto system : {UnitSystem::metric, UnitSystem::us})
            words_.push_back(session_words(study, results, variant, steady, system));
    }

    Json json() const {
        const auto& v = study_.variants[v_];
        DrawnDay drawn(r_);
        Json out = {
            {"name", v.name},
            {"title", v.title},
            {"base", v_ == base_index(study_)},
            {"failure", r_.failure.empty() ? Json(nullptr) : Json(r_.failure)},
            {"new_parts", new_parts(study_, v_)},
            {"headline", in_systems([&](UnitSystem s) { return session_headline(study_, r_, s); })},
            {"words", said([](const SessionWords& w) { return w.against_base; })},
            {"steps", steps(drawn)},
            {"pulls", pulls()},
            {"start", start()},
            {"steady", steady_.empty() ? Json(nullptr) : values_json(steady_)},
            {"steady_words", said([](const SessionWords& w) { return w.steady; })},
            {"ledger", ledger()},
            {"parts", parts_json(v)},
            {"changes", changes_json(v)},
        };
        drawn.move_to(out);
        return out;
    }

private:
    template <class F> Json said(F of) const { return {{"metric", of(words_[0])}, {"us", of(words_[1])}}; }

    Json steps(const DrawnDay& drawn) const {
        Json out = Json::array();
        double from = 0;
        for (std::size_t p = 0; p < r_.parts.size(); ++p) {
            const auto& part = r_.parts[p];
            const auto& step = study_.session->steps[part.step];
            const auto [first, last] = drawn.rows(p);
            out.push_back({{"name", step.name},
                           {"title", step.title},
                           {"kind", name_of(step.kind)},
                           {"from", from},
                           {"begin", part.begin},
                           {"end", part.end()},
                           {"early", part.ended_early},
                           {"ended", in_systems([&](UnitSystem s) { return ended_by(study_, part, s); })},
                           {"rows", {first, last}}});
            from = part.end();
        }
        return out;
    }

    Json pulls() const {
        Json out = Json::array();
        for (std::size_t k = 0; k < r_.parts.size(); ++k) {
            const auto& part = r_.parts[k];
            if (study_.session->steps[part.step].kind != SessionStep::Kind::pull) continue;
            const auto p = out.size();
            out.push_back({{"step", k},
                           {"figures", values_json(part.figures)},
                           {"heat", heat(part)},
                           {"heat_words", said([&](const SessionWords& w) { return w.heat[p]; })},
                           {"residual", exact(part.pull.energy.relative())},
                           {"recovery", recovered(p)}});
        }
        return out;
    }

    static Json heat(const SessionPart& part) {
        const auto h = heat_of(part);
        if (!h) return nullptr;
        Json out = Json::object();
        for (const auto& i : heat_items) out[i.key] = (*h).*i.value;
        return out;
    }

    Json recovered(std::size_t pull) const {
        const auto back = recovery(study_, r_, pull);
        return {{"after", back.after ? Json(*back.after) : Json(nullptr)},
                {"watched", back.watched},
                {"intake_left", exact(back.intake_left)},
                {"coolant_left", exact(back.coolant_left)},
                {"words", said([&](const SessionWords& w) { return w.recovery[pull]; })}};
    }

    Json start() const {
        const auto all = pulls_of(study_, r_);
        if (all.empty()) return {{"intake", nullptr}, {"coolant", nullptr}};
        const auto s = readiness(*all[0], 0);
        return {{"intake", exact(s.intake)}, {"coolant", exact(s.coolant)}};
    }

    Json ledger() const {
        if (r_.parts.empty()) return nullptr;
        const auto books = ledger_of(r_);
        return ledger_json(books.energy, books.gas, books.water, books.coolant);
    }

    const Study& study_;
    const Results& results_;
    std::size_t v_;
    const SessionResult& r_;
    const std::vector<double>& steady_;
    std::vector<SessionWords> words_;  // metric, US
};

/// A pull of the day as if it stood alone, for what is said of pulls.
VariantResult alone(const SessionPart& pull) { return {pull.network, pull.pull, pull.figures, pull.warnings, ""}; }

/// Warnings of a variant's pulls, each with its pull unless all have it.
std::vector<std::string> warnings_of_day(const Study& study, const SessionResult& r, UnitSystem system) {
    std::vector<std::vector<std::string>> own;
    for (const auto* p : pulls_of(study, r)) own.push_back(warnings_in_words(alone(*p), system));
    auto all = own.size() > 1 ? take_common(own) : std::vector<std::string>();
    for (auto& line : all) line = "every pull: " + line;
    for (std::size_t p = 0; p < own.size(); ++p)
        for (const auto& line : own[p]) all.push_back(fmt::format("pull {}: {}", p + 1, line));
    return all;
}

void add_warnings(const Study& study, const Results& results, Json& page) {
    Json common = Json::object();
    for (const auto system : {UnitSystem::metric, UnitSystem::us}) {
        const char* name = system == UnitSystem::us ? "us" : "metric";
        std::vector<std::vector<std::string>> own;
        for (const auto& r : results) own.push_back(warnings_of_day(study, r, system));
        common[name] = own.size() > 1 ? take_common(own) : std::vector<std::string>();
        for (std::size_t v = 0; v < own.size(); ++v) page["variants"][v]["warnings"][name] = own[v];
    }
    page["common_warnings"] = std::move(common);
}

std::string caution_of_corrections(const Study& study, const Results& results) {
    std::vector<VariantResult> all;
    for (const auto& r : results)
        for (const auto* p : pulls_of(study, r)) all.push_back(alone(*p));
    return correction_caution(all);
}

Json comparable_json() {
    const auto step = [](double k, UnitSystem s) { return show(k, "dK", "temperature", 1, s); };
    return {{"intake", same_intake},
            {"coolant", same_coolant},
            {"intake_curve", "intake_temperature"},
            {"coolant_curve", "coolant_in"},
            {"words", in_systems([&](UnitSystem s) {
                 return fmt::format(
                     "A pull is comparable with the first when its intake starts within {} and its coolant "
                     "within {} of it: common practice, no source.",
                     step(same_intake, s), step(same_coolant, s));
             })}};
}

}  // namespace

Json day_json(const Study& study, const Results& results, const Steady& steady, UnitSystem shown_first) {
    Json variants = Json::array();
    for (std::size_t v = 0; v < results.size(); ++v)
        variants.push_back(VariantPart(study, results, v, steady[v]).json());
    Json page = page_head("day", study, shown_first);
    page.update(Json{
        {"speed_unit", unit_key("rad/s", "speed")},
        {"headline", in_systems([&](UnitSystem s) { return session_headline(study, results, s); })},
        {"figures", figures_json()},
        {"told", told_figures()},
        {"curves", curves_json(day_curves())},
        {"charts", charts_json(day_charts())},
        {"first", {{"day", first_over_the_day()}, {"pulls", first_over_the_pulls()}}},
        {"heat", heat_items_json()},
        {"comparable", comparable_json()},
        {"correction_caution", caution_of_corrections(study, results)},
        {"load_notes", study.notes},
        {"assumptions", assumptions(study)},
        {"cautions", cautions()},
    });
    Json units = Json::object();
    const auto joules = unit_key("J", "heat");
    add_units(page, units);
    add_units(Json{{"unit", joules}}, units);
    page["units"] = std::move(units);
    page["variants"] = std::move(variants);
    add_warnings(study, results, page);
    return page;
}

std::string day_html(const Study& study, const Results& results, const Steady& steady, UnitSystem shown_first) {
    return page_html(day_json(study, results, steady, shown_first), title_of(study),
                     session_text(study, results, steady, shown_first, text_width));
}

}  // namespace pullcast

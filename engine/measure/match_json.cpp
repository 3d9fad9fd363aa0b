#include <nlohmann/json.hpp>
#include <pullcast/measure/match_words.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast::measure {
namespace {

using Json = nlohmann::ordered_json;  // writes what is not finite as null

Json figure_json(const MatchedFigure& m) {
    const char* difference = std::string_view(m.figure->unit) == "K" ? "dK" : m.figure->unit;
    Json f = {{"key", m.figure->key},
              {"label", figure_name(*m.figure)},
              {"unit", m.figure->unit},
              {"difference_unit", difference},
              {"from", m.from},
              {"to", m.to},
              {"change", m.change()},
              {"low", m.change() - m.half_width},
              {"high", m.change() + m.half_width},
              {"deviations", {{"fit", m.fit}, {"scatter", m.scatter}, {"misfit", m.misfit}, {"model", m.model}}},
              {"verdict", in_words(m.verdict)},
              {"smallest_shown", m.half_width},
              {"pulls_needed", m.pulls_needed ? Json(*m.pulls_needed) : Json(nullptr)}};
    if (m.no_worse.limit > 0) f["no_worse"] = {{"limit", m.no_worse.limit}, {"shown", m.no_worse.shown}};
    return f;
}

Json comparison_json(const MeasuredResults& r, const Comparison& c) {
    Json figures = Json::array(), missing = Json::array();
    for (const auto& m : c.figures) figures.push_back(figure_json(m));
    for (const auto& m : c.missing) missing.push_back({{"channel", m.channel->kind}, {"remains", m.remains}});
    Json out = {{"from", r.measured.study.variants[c.from].name},
                {"to", r.measured.study.variants[c.to].name},
                {"question", in_words(c.question)}};
    if (!c.impossible.empty()) out["impossible"] = c.impossible;
    if (c.question == Question::same_manifold_pressure)
        out["held"] = {{"boost_redline", c.held}}, out["taken"] = {{"pulley_diameter_factor", c.taken}};
    if (c.question == Question::same_knock_margin)
        out["held"] = {{"knock_margin", c.held}}, out["taken"] = {{"spark_offset", c.taken}};
    out["figures"] = figures;
    out["missing_channels"] = missing;
    out["words"] = comparison_in_words(r, c, UnitSystem::metric);
    return out;
}

Json fit_json(const MeasuredResults& r) {
    const auto& solution = r.fit.result.solution;
    Json unknowns = Json::array(), errors = Json::array(), correlations = Json::array();
    const auto n = r.fit.unknowns.size();
    for (std::size_t k = 0; k < n; ++k) {
        const auto& u = r.fit.unknowns[k];
        const auto& e = solution.estimates[k];
        const auto& prior = u.parameter.prior;
        unknowns.push_back(
            {{"name", u.choice->name},
             {"title", u.choice->title},
             {"of", u.of},
             {"unit", u.choice->unit},
             {"value", e.value},
             {"deviation", e.deviation},
             {"at_bound", e.at_bound},
             {"expected", prior ? Json{{"value", prior->mean}, {"deviation", prior->deviation}} : Json(nullptr)}});
        Json row = Json::array();
        for (std::size_t j = 0; j < n; ++j) row.push_back(solution.correlation(k, j));
        correlations.push_back(row);
    }
    for (std::size_t k = 0; k < r.fit.result.errors.size(); ++k) {
        const auto& e = solution.estimates[n + k];
        errors.push_back({{"name", r.fit.result.errors[k]}, {"value", e.value}, {"deviation", e.deviation}});
    }
    Json leaning = Json::array();
    for (const auto& l : solution.leaning)
        leaning.push_back({{"unknowns", {l.a, l.b}}, {"correlation", l.correlation}});
    return {{"converged", solution.converged},
            {"stopped", solution.stopped},
            {"condition", solution.condition},
            {"residual_deviation", solution.residual_deviation},
            {"unknowns", unknowns},
            {"correlations", correlations},
            {"shared_errors", errors},
            {"leaning", leaning},
            {"warnings", solution.warnings}};
}

Json pulls_json(const MeasuredResults& r) {
    Json all = Json::array();
    for (std::size_t p = 0; p < r.measured.pulls.size(); ++p) {
        const auto& pull = r.measured.pulls[p];
        Json known = Json::object(), channels = Json::array();
        for (std::size_t k = 0; k < pull.conditions.size(); ++k)
            known[std::string(conditions()[k].kind) + (conditions()[k].at_start ? "_at_start" : "")] =
                pull.conditions[k];
        for (const auto& x : r.fit.residuals[p])
            channels.push_back({{"channel", x.measured->what->kind},
                                {"fitted", x.measured->what->fitted},
                                {"unit", x.measured->kind->unit},
                                {"speed", x.measured->speed},
                                {"measured", x.measured->value},
                                {"computed", x.computed},
                                {"rms", x.rms},
                                {"worst", x.worst},
                                {"worst_speed", x.worst_speed},
                                {"lag_correlation", x.lag_correlation}});
        const auto lines = pull.lines();
        all.push_back({{"name", pull.name},
                       {"variant", pull.of},
                       {"log", pull.log.path.string()},
                       {"lines", {lines.first, lines.last}},
                       {"conditions", known},
                       {"channels", channels}});
    }
    return all;
}

}  // namespace

std::string measured_json(const MeasuredResults& r) {
    Json comparisons = Json::array(), checks = Json::array();
    for (const auto& c : r.comparisons) comparisons.push_back(comparison_json(r, c));
    for (const auto& c : checklist(r, UnitSystem::metric))
        checks.push_back({{"item", c.item}, {"state", in_words(c.state)}, {"words", c.words}});
    const auto& study = r.measured.study;
    Json all = {{"schema", measured_schema},
                {"schema_version", measured_schema_version},
                {"program", {{"name", "pullcast"}, {"version", version}}},
                {"study", {{"title", study.title}, {"file", study.file}, {"hash", study.hash}}},
                {"headline", headline(r, UnitSystem::metric)},
                {"checklist", checks},
                {"comparisons", comparisons},
                {"fit", fit_json(r)},
                {"pulls", pulls_json(r)}};
    if (r.explained) {
        const auto& e = *r.explained;
        all["explained"] = Json::parse(explanation_json({study, e.from, e.to, e.explanation}));
    }
    all["how_to_read"] = how_to_read_matches();
    all["cautions"] = cautions();
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace pullcast::measure

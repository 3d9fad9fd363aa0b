#include <nlohmann/json.hpp>
#include <pullcast/study/session_words.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;  // writes what is not finite as null

const char* kind_of(SessionStep::Kind kind) {
    constexpr const char* names[] = {"pull", "held", "idle"};
    return names[static_cast<int>(kind)];
}

Json figures_json(const std::vector<double>& values) {
    Json all = Json::object();
    for (std::size_t k = 0; k < values.size(); ++k)
        all[figures()[k].key] = {{"value", values[k]}, {"unit", figures()[k].unit}};
    return all;
}

Json heat_json(const SessionPart& pull) {
    const auto h = heat_of(pull);
    if (!h) return nullptr;
    return {
        {"unit", "J"},
        {"in", {{"compression", h->compression}, {"pump", h->pump}}},
        {"stored", {{"core", h->core}, {"loop", h->loop}, {"casing", h->casing}, {"walls", h->walls}, {"air", h->air}}},
        {"left", {{"outside", h->outside}, {"surroundings", h->surroundings}, {"cylinders", h->cylinders}}}};
}

Json line_json(const LedgerLine& l, const char* unit) {
    return {{"unit", unit}, {"stored_change", l.stored_change}, {"into", l.into},
            {"out", l.out}, {"residual", l.residual()},         {"relative", l.relative()}};
}

Json parts_json(const Study& study, const SessionResult& r) {
    Json all = Json::array();
    for (const auto& p : r.parts) {
        const auto& step = study.session->steps[p.step];
        Json warnings = Json::array();
        for (const auto& w : p.warnings) warnings.push_back({{"channel", w.channel}, {"text", w.text}});
        Json part = {{"step", step.name},
                     {"kind", kind_of(step.kind)},
                     {"begin_s", p.begin},
                     {"end_s", p.end()},
                     {"ended_early", p.ended_early},
                     {"changed_by_hand_J", p.changed_by_hand},
                     {"energy", line_json(p.pull.energy, "J")}};
        if (step.kind == SessionStep::Kind::pull)
            part.update({{"figures", figures_json(p.figures)}, {"heat", heat_json(p)}, {"warnings", warnings}});
        all.push_back(std::move(part));
    }
    return all;
}

Json recovery_json(const Study& study, const SessionResult& r) {
    Json all = Json::array();
    for (std::size_t p = 0; p < pulls_of(study, r).size(); ++p) {
        const auto back = recovery(study, r, p);
        all.push_back({{"pull", p + 1},
                       {"comparable_after_s", back.after ? Json(*back.after) : Json(nullptr)},
                       {"watched_s", back.watched},
                       {"intake_left_K", back.intake_left},
                       {"coolant_left_K", back.coolant_left}});
    }
    return all;
}

}  // namespace

std::string session_json(const Study& study, const std::vector<SessionResult>& results,
                         const std::vector<std::vector<double>>& steady) {
    Json variants = Json::array();
    for (std::size_t v = 0; v < results.size(); ++v) {
        const auto& r = results[v];
        const auto books = ledger_of(r);
        variants.push_back({{"name", study.variants[v].name},
                            {"title", study.variants[v].title},
                            {"failure", r.failure.empty() ? Json(nullptr) : Json(r.failure)},
                            {"steps", parts_json(study, r)},
                            {"recovery", recovery_json(study, r)},
                            {"comparable_within", {{"intake_K", same_intake}, {"coolant_K", same_coolant}}},
                            {"steady_figures", figures_json(steady[v])},
                            {"ledger",
                             {{"energy", line_json(books.energy, "J")},
                              {"gas", line_json(books.gas, "kg")},
                              {"water", line_json(books.water, "kg")},
                              {"coolant", line_json(books.coolant, "kg")}}},
                            {"in_words", session_in_words(study, results, v, steady[v], UnitSystem::metric)}});
    }
    const Json all = {{"schema", session_schema},
                      {"schema_version", session_schema_version},
                      {"program", {{"name", "pullcast"}, {"version", version}}},
                      {"study",
                       {{"title", study.title},
                        {"question", study.question},
                        {"note", study.note},
                        {"file", study.file},
                        {"hash", study.hash}}},
                      {"variants", variants},
                      {"cautions", cautions()}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace pullcast

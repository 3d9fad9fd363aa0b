#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <pullcast/study/results.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

Json number(double v) { return std::isfinite(v) ? Json(v) : Json(nullptr); }

Json ledger_json(const LedgerLine& l, const char* unit) {
    return {{"unit", unit}, {"stored_change", l.stored_change}, {"into", l.into}, {"out", l.out}, {"residual", l.residual()}, {"relative", number(l.relative())}};
}

const char* ledger_name(Ledger k) {
    constexpr const char* names[] = {"energy", "gas", "water", "coolant", "meter"};
    return names[static_cast<int>(k)];
}

Json inputs_json(const Variant& variant) {
    Json parts = Json::array(), changes = Json::array();
    for (const auto& p : variant.parts) {
        Json part = {{"component", p.component}, {"slot", p.slot}, {"name", p.name}, {"file", p.file}};
        if (p.price) part["price"] = {{"amount", p.price->amount}, {"currency", p.price->currency}};
        parts.push_back(part);
    }
    for (const auto& c : variant.changes) changes.push_back({{"path", c.path}, {"before", c.before}, {"after", c.after}, {"everywhere", c.everywhere}});
    return {{"parts", parts}, {"changes", changes}};
}

Json run_json(const VariantResult& r) {
    Json figures_json = Json::object(), warnings = Json::array(), accounts = Json::array();
    const auto all = figures();
    for (std::size_t k = 0; k < all.size(); ++k) figures_json[all[k].key] = {{"value", number(r.figures[k])}, {"unit", all[k].unit}};
    for (const auto& w : r.warnings)
        warnings.push_back({{"channel", w.channel}, {"text", w.text}, {"unit", w.unit}, {"limit", number(w.limit)}, {"worst", number(w.worst)}, {"first_at_s", w.time}, {"first_at_speed_rad_s", number(w.speed)}});
    for (const auto& a : r.pull.accounts) accounts.push_back({{"component", a.component}, {"name", a.name}, {"kind", ledger_name(a.ledger)}, {"total", number(a.total)}});
    const auto& s = r.pull.statistics;
    return {{"figures", figures_json},
            {"warnings", warnings},
            {"ledger", {{"energy", ledger_json(r.pull.energy, "J")}, {"gas", ledger_json(r.pull.gas, "kg")}, {"water", ledger_json(r.pull.water, "kg")}, {"coolant", ledger_json(r.pull.coolant, "kg")}, {"accounts", accounts}}},
            {"solver", {{"steps", s.steps}, {"right_hand_sides", s.derivatives}, {"jacobians", s.jacobians}, {"factorisations", s.factorisations}, {"error_test_failures", s.error_test_fails}, {"rejections", s.rejections}}}};
}

/// Writes a file whole or throws.
void write_file(const fs::path& path, const std::string& text) {
    std::ofstream out(path, std::ios::binary);
    out << text;
    out.flush();
    if (!out) throw OutputError(fmt::format("{}: cannot be written: {}", path.string(), std::strerror(errno)));
}

std::string paragraph(const std::string& title, const std::vector<std::string>& lines) {
    if (lines.empty()) return "";
    std::string text = "\n" + title + "\n";
    for (const auto& l : lines) text += "  - " + l + "\n";
    return text;
}

}  // namespace

void check_destination(const fs::path& folder, bool replace) {
    std::error_code error;
    if (fs::exists(folder, error) && !replace)
        throw OutputError(fmt::format("{}: is there already; give another folder by --out, or --force to replace it", folder.string()));
    const auto parent = fs::absolute(folder).parent_path();
    fs::create_directories(parent, error);
    if (error || access(parent.c_str(), W_OK) != 0)
        throw OutputError(fmt::format("{}: cannot be made: {} is not a folder that can be written to", folder.string(), parent.string()));
}

void write_results(const Study& study, const std::vector<VariantResult>& results, const fs::path& folder, UnitSystem system, bool replace) {
    check_destination(folder, replace);
    const auto target = fs::absolute(folder).lexically_normal();
    const auto beside = [&](const char* what) { return target.parent_path() / fmt::format(".{}.{}-{}", target.filename().string(), what, getpid()); };
    const auto fresh = beside("new"), old = beside("old");
    std::error_code error;
    try {
        fs::create_directories(fresh);
        for (std::size_t k = 0; k < results.size(); ++k)
            if (results[k].failure.empty()) write_file(fresh / (study.variants[k].name + ".csv"), channels_csv(results[k], system));
        write_file(fresh / "summary.json", summary_json(study, results));
        write_file(fresh / "notes.txt", notes_text(study, results, system));
        if (fs::exists(target)) fs::rename(target, old);
        fs::rename(fresh, target);
        fs::remove_all(old, error);
    } catch (const fs::filesystem_error& e) {
        fs::remove_all(fresh, error);
        throw OutputError(fmt::format("{}: cannot be written: {}", folder.string(), e.code().message()));
    } catch (...) {
        fs::remove_all(fresh, error);
        throw;
    }
}

std::string summary_json(const Study& study, const std::vector<VariantResult>& results) {
    Json variants = Json::array();
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        Json j = {{"name", v.name}, {"title", v.title}, {"base", k == base_index(study)}};
        j.update(inputs_json(v));
        j["failure"] = results[k].failure.empty() ? Json(nullptr) : Json(results[k].failure);
        if (results[k].failure.empty()) j.update(run_json(results[k]));
        j["in_words"] = compare_in_words(study, results, k, UnitSystem::metric);
        variants.push_back(j);
    }
    const Json all = {{"schema", summary_schema},
                      {"schema_version", summary_schema_version},
                      {"program", {{"name", "pullcast"}, {"version", version}}},
                      {"study", {{"title", study.title}, {"question", study.question}, {"note", study.note}, {"file", study.file}}},
                      {"variants", variants},
                      {"cautions", cautions()}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string notes_text(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    std::string text = fmt::format("{}\n{}", study.title, study.note.empty() ? "" : study.note + "\n");
    if (!study.question.empty()) text += fmt::format("Question answered: {}\n", study.question);
    for (std::size_t k = 0; k < results.size(); ++k) {
        text += fmt::format("\n== {}{}\n", study.variants[k].title, k == base_index(study) ? " (base)" : "");
        text += paragraph("Against the base", compare_in_words(study, results, k, system));
        text += paragraph("Warnings", warnings_in_words(results[k], system));
        text += paragraph("Correction to standard conditions", corrections_in_words(results[k]));
    }
    text += paragraph("Notes of the load", study.notes);
    text += paragraph("Assumptions (models of the base)", assumptions(study.variants[base_index(study)]));
    text += paragraph("Cautions", cautions());
    return text;
}

std::string channels_csv(const VariantResult& r, UnitSystem system) {
    std::vector<Display> units;
    fmt::memory_buffer out;
    const auto to = std::back_inserter(out);
    fmt::format_to(to, "time [s]");
    for (const auto& c : r.network->channels()) {
        units.push_back(display_unit(c.unit, system, c.item));
        fmt::format_to(to, ",{} [{}]", c.name, units.back().unit);
    }
    for (std::size_t k = 0; k < r.pull.points(); ++k) {
        fmt::format_to(to, "\n{:.9g}", r.pull.time[k]);
        for (std::size_t c = 0; c < units.size(); ++c) {
            const double v = r.pull.at(k, c);
            if (std::isnan(v)) fmt::format_to(to, ",");
            else fmt::format_to(to, ",{:.9g}", units[c](v));
        }
    }
    fmt::format_to(to, "\n");
    return fmt::to_string(out);
}

}  // namespace pullcast

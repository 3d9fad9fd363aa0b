#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <csignal>
#include <cstring>
#include <fstream>
#include <nlohmann/json.hpp>
#include <pullcast/study/channel_rows.hpp>
#include <pullcast/study/knock_words.hpp>
#include <pullcast/study/results.hpp>
#include <pullcast/study/text.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

Json number(double v) { return std::isfinite(v) ? Json(v) : Json(nullptr); }

Json ledger_json(const LedgerLine& l, const char* unit) {
    return {{"unit", unit}, {"stored_change", l.stored_change}, {"into", l.into},
            {"out", l.out}, {"residual", l.residual()},         {"relative", number(l.relative())}};
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
    for (const auto& c : variant.changes)
        changes.push_back({{"path", c.path}, {"before", c.before}, {"after", c.after}, {"everywhere", c.everywhere}});
    return {{"parts", parts}, {"changes", changes}};
}

Json run_json(const VariantResult& r) {
    Json figures_json = Json::object(), warnings = Json::array(), accounts = Json::array();
    const auto all = figures();
    for (std::size_t k = 0; k < all.size(); ++k)
        figures_json[all[k].key] = {{"value", number(r.figures[k])}, {"unit", all[k].unit}};
    for (const auto& w : r.warnings)
        warnings.push_back({{"channel", w.channel},
                            {"text", w.text},
                            {"unit", w.unit},
                            {"limit", number(w.limit)},
                            {"worst", number(w.worst)},
                            {"first_at_s", w.time},
                            {"first_at_speed_rad_s", number(w.speed)},
                            {"worst_at_speed_rad_s", number(w.worst_speed)}});
    for (const auto& a : r.pull.accounts)
        accounts.push_back({{"component", a.component},
                            {"name", a.name},
                            {"kind", ledger_name(a.ledger)},
                            {"total", number(a.total)}});
    const auto& s = r.pull.statistics;
    return {{"figures", figures_json},
            {"warnings", warnings},
            {"ledger",
             {{"energy", ledger_json(r.pull.energy, "J")},
              {"gas", ledger_json(r.pull.gas, "kg")},
              {"water", ledger_json(r.pull.water, "kg")},
              {"coolant", ledger_json(r.pull.coolant, "kg")},
              {"accounts", accounts}}},
            {"solver",
             {{"steps", s.steps},
              {"right_hand_sides", s.derivatives},
              {"jacobians", s.jacobians},
              {"factorisations", s.factorisations},
              {"error_test_failures", s.error_test_fails},
              {"rejections", s.rejections}}}};
}

/// What decides the margin at the worst point of the first knock model, and what moved it from the base's, rad.
Json knock_json(const VariantResult& r, const VariantResult& base) {
    constexpr const char* sides[] = {"not computed", "clear", "unknown", "beyond"};
    const auto to = knock_point(r), from = knock_point(base);
    if (!to) return nullptr;
    Json change = nullptr;
    if (&r != &base && from) {
        const auto s = split_margin(*from, *to);
        change = {{"unit", "rad"},    {"total", s.total}, {"heat", s.heat}, {"pressure", s.pressure},
                  {"spark", s.spark}, {"fuel", s.fuel},   {"rest", s.rest}};
    }
    return {{"side_of_limit", sides[static_cast<int>(knock_side(r))]},
            {"margin_slopes",
             {{"per_temperature", {{"value", to->per_temperature}, {"unit", "rad/K"}}},
              {"per_pressure", {{"value", to->per_pressure}, {"unit", "rad/Pa"}}},
              {"per_octane", {{"value", to->per_octane}, {"unit", "rad"}}},
              {"per_spark", {{"value", -1}, {"unit", "1"}}}}},
            {"margin_change", change}};
}

/// Writes a file whole or throws.
void write_file(const fs::path& path, const std::string& text) {
    std::ofstream out(path, std::ios::binary);
    out << text;
    out.flush();
    if (!out) throw OutputError(fmt::format("{}: cannot be written: {}", path.string(), std::strerror(errno)));
}

constexpr std::size_t notes_width = 100;

/// Lines with a dash under a title; nothing where there are none.
std::string paragraph(const std::string& title, const std::vector<std::string>& lines) {
    if (lines.empty()) return "";
    std::string text = "\n" + title + "\n";
    for (const auto& l : lines) text += wrapped(l, notes_width, "  - ", "    ");
    return text;
}

std::string heading(const std::string& title) {
    return fmt::format("\n{}\n{}\n", title, std::string(shown_width(title), '-'));
}

/// The folder's absolute path, without a slash at its end.
fs::path destination(const fs::path& folder) {
    const auto path = fs::absolute(folder).lexically_normal();
    return path.has_filename() ? path : path.parent_path();
}

/// What stands there may be taken away: nothing, an empty folder, or results of an earlier run.
void check_replaceable(const fs::path& folder, bool replace) {
    std::error_code error;
    if (!fs::exists(fs::symlink_status(folder, error))) return;
    if (!replace)
        throw OutputError(fmt::format("{}: is there already; give another folder by --out, or --force to replace it",
                                      folder.string()));
    const auto holds = [&](const char* file) { return fs::exists(folder / file, error); };
    if (fs::is_directory(folder, error) && (holds("summary.json") || holds(explanation_file) || holds(measured_file) ||
                                            holds(session_file) || holds(choice_file) || fs::is_empty(folder, error)))
        return;
    throw OutputError(fmt::format("{}: is no results folder (no summary.json in it), so --force does not replace it",
                                  folder.string()));
}

/// Removes what an earlier process, killed while it wrote, left beside the destination.
void remove_leftovers(const fs::path& target) {
    const auto prefix = fmt::format(".{}.new-", target.filename().string());
    std::error_code error;
    std::vector<fs::path> dead;
    for (const auto& entry : fs::directory_iterator(target.parent_path(), error)) {
        const auto name = entry.path().filename().string();
        if (!name.starts_with(prefix)) continue;
        const int process = std::atoi(name.c_str() + prefix.size());
        if (process > 0 && kill(process, 0) != 0 && errno == ESRCH) dead.push_back(entry.path());
    }
    for (const auto& path : dead) fs::remove_all(path, error);
}

/// Puts `fresh` in the place of `target`; what was there is in `fresh` afterwards. In one stroke where the system can.
void exchange(const fs::path& fresh, const fs::path& target) {
    if (!fs::exists(fs::symlink_status(target))) return fs::rename(fresh, target);
    if (renameat2(AT_FDCWD, fresh.c_str(), AT_FDCWD, target.c_str(), RENAME_EXCHANGE) == 0) return;
    const auto old = target.parent_path() / fmt::format(".{}.old-{}", target.filename().string(), getpid());
    fs::rename(target, old);
    fs::rename(fresh, target);
    fs::rename(old, fresh);
}

}  // namespace

void check_destination(const fs::path& folder, bool replace) {
    const auto target = destination(folder);
    check_replaceable(folder.has_filename() ? folder : folder.parent_path(), replace);
    auto parent = target.parent_path();
    std::error_code error;
    while (parent.has_relative_path() && !fs::exists(parent, error)) parent = parent.parent_path();
    if (!fs::is_directory(parent, error))
        throw OutputError(fmt::format("{}: cannot be made: {} is not a folder", folder.string(), parent.string()));
    if (access(parent.c_str(), W_OK) != 0)
        throw OutputError(fmt::format("{}: cannot be made: {} cannot be written to", folder.string(), parent.string()));
}

void write_folder(const fs::path& folder, bool replace, const std::function<void(const FileWriter&)>& fill) {
    check_destination(folder, replace);
    const auto target = destination(folder);
    const auto fresh = target.parent_path() / fmt::format(".{}.new-{}", target.filename().string(), getpid());
    std::error_code error;
    try {
        fs::create_directories(fresh);
        remove_leftovers(target);
        fill([&](const std::string& name, const std::string& text) { write_file(fresh / name, text); });
        exchange(fresh, target);
        fs::remove_all(fresh, error);
    } catch (const fs::filesystem_error& e) {
        fs::remove_all(fresh, error);
        throw OutputError(fmt::format("{}: cannot be written: {}", folder.string(), e.code().message()));
    } catch (...) {
        fs::remove_all(fresh, error);
        throw;
    }
}

void write_results(const Study& study, const std::vector<VariantResult>& results, const fs::path& folder,
                   UnitSystem system, bool replace, const std::map<std::string, std::string>& further) {
    write_folder(folder, replace, [&](const FileWriter& write) {
        for (std::size_t k = 0; k < results.size(); ++k)
            if (results[k].failure.empty()) write(study.variants[k].name + ".csv", channels_csv(results[k], system));
        write("summary.json", summary_json(study, results));
        write("notes.txt", notes_text(study, results, system));
        for (const auto& [name, text] : further) write(name, text);
    });
}

std::string summary_json(const Study& study, const std::vector<VariantResult>& results) {
    Json variants = Json::array();
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        Json j = {{"name", v.name}, {"title", v.title}, {"base", k == base_index(study)}};
        j.update(inputs_json(v));
        j["failure"] = results[k].failure.empty() ? Json(nullptr) : Json(results[k].failure);
        if (results[k].failure.empty()) j.update(run_json(results[k]));
        j["knock"] = knock_json(results[k], results[base_index(study)]);
        j["in_words"] = compare_in_words(study, results, k, UnitSystem::metric);
        variants.push_back(j);
    }
    const Json all = {
        {"schema", summary_schema},
        {"schema_version", summary_schema_version},
        {"program", {{"name", "pullcast"}, {"version", version}}},
        {"study", {{"title", study.title}, {"question", study.question}, {"note", study.note}, {"file", study.file}}},
        {"variants", variants},
        {"cautions", cautions()}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string notes_text(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    std::vector<std::vector<std::string>> warnings, corrections;
    for (const auto& r : results) {
        warnings.push_back(warnings_in_words(r, system));
        corrections.push_back(corrections_in_words(r));
    }
    const auto all_warn = take_common(warnings), all_correct = take_common(corrections);
    const auto title = title_of(study);
    std::string text = title + "\n" + std::string(shown_width(title), '=') + "\n";
    if (!study.note.empty()) text += wrapped(study.note, notes_width, "", "");
    if (!study.question.empty()) text += wrapped("Question: " + study.question, notes_width, "", "");
    text += heading("Figures") + figure_table(study, results, system, notes_width);
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        text += heading(v.name + (v.title == v.name ? "" : ": " + v.title) + (k == base_index(study) ? " (base)" : ""));
        if (const auto parts = new_parts(study, k); !parts.empty())
            text += wrapped("New parts: " + parts, notes_width, "", "  ");
        text +=
            paragraph(k == base_index(study) ? "In words" : "Comparison", compare_in_words(study, results, k, system));
        text += paragraph("Warnings", warnings[k]);
        text += paragraph("Correction to standard conditions", corrections[k]);
    }
    if (results.size() > 1 && !(all_warn.empty() && all_correct.empty())) text += heading("All variants");
    text += paragraph("Warnings", all_warn) + paragraph("Correction to standard conditions", all_correct);
    text += heading("About these numbers") + paragraph("Warnings while reading the files", study.notes);
    text += paragraph("Models, with what each is good for", assumptions(study));
    return text + paragraph("Cautions", cautions());
}

std::string channels_csv(const VariantResult& r, UnitSystem system) {
    const ChannelRows rows(*r.network, system);
    auto out = fmt::format("time [s],{}", rows.header());
    for (std::size_t k = 0; k < r.pull.points(); ++k) {
        fmt::format_to(std::back_inserter(out), "\n{:.9g},", r.pull.time[k]);
        rows.append(r.pull, k, out);
    }
    return out + "\n";
}

}  // namespace pullcast

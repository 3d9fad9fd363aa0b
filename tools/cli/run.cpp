#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/study/results.hpp>
#include <spdlog/spdlog.h>
#include <thread>

#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

std::string cell(double si, const Figure& f, const Display& unit) {
    if (std::isnan(si)) return "-";
    return f.decimals < 0 ? fmt::format("{:.0e}", unit(si)) : fmt::format("{:.{}f}", unit(si), f.decimals);
}

std::string figure_table(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    std::vector<std::string> heads;
    for (const auto& v : study.variants) heads.push_back(v.name);
    std::vector<TableRow> rows;
    const auto all = figures();
    for (std::size_t k = 0; k < all.size(); ++k) {
        const Figure& f = all[k];
        const bool known = std::any_of(results.begin(), results.end(), [&](const VariantResult& r) { return !std::isnan(r.figures[k]); });
        if (!known) continue;
        if (rows.empty() || std::string_view(f.group) != std::string_view(all[k - 1].group)) rows.push_back({f.group, "", {}});
        const auto unit = display_unit(f.unit, system, f.quantity);
        TableRow row{"  " + std::string(f.label), unit.unit == "1" ? "" : unit.unit, {}};
        for (const auto& r : results) row.cells.push_back(cell(r.figures[k], f, unit));
        rows.push_back(row);
    }
    return table(heads, rows, terminal_width());
}


/// What the base's and the variant's parts differ in, with prices: "cooler.core: deep core (640 EUR)".
std::string new_parts(const Variant& base, const Variant& v) {
    std::string text;
    for (const auto& p : v.parts) {
        const bool same = std::any_of(base.parts.begin(), base.parts.end(), [&](const PartUse& b) { return b.file == p.file && b.component == p.component && b.slot == p.slot; });
        if (same) continue;
        const auto price = p.price ? fmt::format(" ({:.0f} {})", p.price->amount, p.price->currency) : "";
        text += fmt::format("{}{}{}", text.empty() ? "" : "; ", p.name, price);
    }
    return text;
}

void print_words(const Study& study, const std::vector<VariantResult>& results, UnitSystem system) {
    const auto width = terminal_width();
    const auto base = base_index(study);
    for (std::size_t k = 0; k < results.size(); ++k) {
        const auto& v = study.variants[k];
        fmt::print("\n{}{}\n", v.name, v.title == v.name ? "" : ": " + v.title);
        if (k == base && study.variants.size() > 1) fmt::print("  the base of the comparison\n");
        if (const auto parts = new_parts(study.variants[base], v); k != base && !parts.empty()) fmt::print("{}", wrapped("new parts: " + parts, width));
        for (const auto& line : compare_in_words(study, results, k, system)) fmt::print("{}", wrapped(line, width));
        for (const auto& line : warnings_in_words(results[k], system)) fmt::print("{}", wrapped("warning: " + line, width));
    }
    fmt::print("\n{}", wrapped(cautions().front(), width, "", ""));
}

}  // namespace

int run_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    for (const auto& note : study.notes) spdlog::warn("{}", note);
    check_destination(o.out, o.force);
    const auto results = run_study(study, o.threads ? o.threads : std::max(1u, std::thread::hardware_concurrency()));
    write_results(study, results, o.out, o.units, o.force);
    if (o.json) {
        fmt::print("{}", summary_json(study, results));
    } else {
        fmt::print("{}\n\n{}", study.title, figure_table(study, results, o.units));
        print_words(study, results, o.units);
        fmt::print("results: {}\n", o.out.string());
    }
    const bool failed = std::any_of(results.begin(), results.end(), [](const VariantResult& r) { return !r.failure.empty(); });
    for (std::size_t k = 0; k < results.size(); ++k)
        if (!results[k].failure.empty()) fmt::print(stderr, "error: {}: {}\n", study.variants[k].name, results[k].failure);
    return failed ? Exit::solver : Exit::ok;
}

int check_command(const Options& o) {
    const auto registry = load_plugins(o);
    const auto study = read_study(o.file, registry);
    for (const auto& v : study.variants) {
        try {
            const Network network(v.rig);
            fmt::print("{}: {} components, {} states; breakpoints and names resolve\n", v.name, network.parts().size(), network.state_count());
        } catch (const RigError& e) {
            throw locate(e, v);
        }
    }
    for (const auto& note : study.notes) spdlog::warn("{}", note);
    fmt::print("{}: no mistakes found\n", o.file.string());
    return Exit::ok;
}

}  // namespace pullcast

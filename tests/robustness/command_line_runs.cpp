// What a run prints and writes: data on stdout, messages on stderr, the same numbers everywhere, failures in names.
#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <nlohmann/json.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/figures.hpp>
#include <regex>
#include <set>

#include "command_line.hpp"

namespace command_line_runs_tests {

using namespace command_line;
using Json = nlohmann::json;

const std::string demo = "scenarios/studies/pulley-or-core.toml";

std::vector<std::string> lines(const std::string& text) {
    std::vector<std::string> all;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) all.push_back(line);
    return all;
}
std::vector<std::string> split(const std::string& line, char at) {
    std::vector<std::string> all;
    std::istringstream in(line);
    for (std::string piece; std::getline(in, piece, at);) all.push_back(piece);
    return all;
}
/// Numbers that the demo's data may move, as '#'.
std::string without_numbers(const std::string& text) {
    return std::regex_replace(text, std::regex("-?[0-9]+(\\.[0-9]+)?(e-?[0-9]+)?"), "#");
}
/// Text without its line breaks.
std::string joined(const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); }

class Runs : public CommandLine {};

TEST_F(Runs, ModelThatMakesNanIsNamedAndOthersAreReported) {
    write_nan_study([&](auto... a) { write(a...); }, "");
    const auto ended = run({"run", "s.toml", "--plugin", "bad/makes_nan.so", "--out", "r"});
    const std::string said =
        "run stopped at t = 0.5 s: step size fell below 1e-12 s\n   filter: a gas flow is not a number\n"
        "   try: keep the named value within its limits, or a model that covers it";
    EXPECT_TRUE(ended.err.ends_with("error: bad: " + said + "\n" + written_to("r"))) << ended.err;
    EXPECT_EQ(ended.code, 4);
    EXPECT_NE(ended.out.find("  pull time              s    1.00    -\n"), std::string::npos) << ended.out;
    EXPECT_NE(
        joined(ended.out).find("bad warning: the pull did not finish: run stopped at t = 0.5 s: step size fell below "
                               "1e-12 s; filter: a gas flow is not a number; try: keep"),
        std::string::npos)
        << ended.out;
    EXPECT_EQ(names(), "parts r rigs s.toml");
    EXPECT_TRUE(fs::exists(folder / "r/good.csv"));
    EXPECT_FALSE(fs::exists(folder / "r/bad.csv"));
    const auto summary = Json::parse(read("r/summary.json"));
    EXPECT_EQ(summary["variants"][0]["failure"], nullptr);
    EXPECT_EQ(summary["variants"][1]["failure"], said);
    EXPECT_FALSE(summary["variants"][1].contains("figures"));
    EXPECT_NE(read("r/notes.txt").find("the pull did not finish"), std::string::npos);
}

TEST_F(Runs, BaseThatFailsLeavesNothingToCompareWith) {
    write_nan_study([&](auto... a) { write(a...); }, "base = \"bad\"\n");
    const auto ended = run({"run", "s.toml", "--plugin", "bad/makes_nan.so", "--out", "r"});
    EXPECT_EQ(ended.code, 4);
    EXPECT_NE(ended.out.find("good\n  new parts: filter\n  No comparison: bad did not finish.\n"), std::string::npos)
        << ended.out;
}

TEST_F(Runs, VariantThatCannotBeBuiltStopsTheStudyBeforeItRuns) {
    write("small.toml", small_rig);
    write("s.toml", "rig = \"small.toml\"\n[variant.good]\n[variant.bad.set]\n\"filter.to\" = \"bxo\"\n");
    for (const char* command : {"run", "check"}) {
        const auto ended = run({command, "s.toml"});
        EXPECT_EQ(ended.err,
                  "s.toml:4:15: error: filter.to = \"bxo\" names no component of this rig: 'bxo'\n    4 | "
                  "\"filter.to\" = \"bxo\"\n"
                  "      |               ^^^^^ did you mean 'box'?\n");
        EXPECT_EQ(ended.code, 3);
        EXPECT_EQ(names(), "s.toml small.toml");
    }
}

TEST_F(Runs, BlowerMapThatThePullLeavesIsAWarning) {
    write("s.toml",
          "rig = \"scenarios/rigs/hillclimb-v6.toml\"\n[variant.a.set]\n\"blower.parts.unit\" = \"lobe-19-map\"\n"
          "\"drive.parts.pulley\" = \"pulley-74\"\n\"drive.pulley_diameter\" = \"66 mm\"\n");
    const auto ended = run({"run", "s.toml", "--out", "r"});
    EXPECT_EQ(ended.code, 0);
    const std::string said =
        "blower.map_distance: the blower runs outside its map: efficiencies are extrapolated (from ";
    EXPECT_NE(joined(ended.out).find("warning: " + said), std::string::npos) << ended.out;
    EXPECT_NE(joined(read("r/notes.txt")).find(said), std::string::npos);
    EXPECT_EQ(ended.err.find("error"), std::string::npos) << ended.err;
}

TEST_F(Runs, BlowerFarFromItsMapStopsTheRunInNames) {
    write("s.toml",
          "rig = \"scenarios/rigs/hillclimb-v6.toml\"\n[variant.a.set]\n\"blower.parts.unit\" = \"lobe-19-map\"\n"
          "\"blower.isentropic_floor\" = 0.01\n\"drive.model\" = \"drive.rigid\"\n"
          "\"drive.pulley_diameter\" = \"20 mm\"\n");
    const auto ended = run({"run", "s.toml", "--out", "r"});
    const auto at = std::min(ended.err.find("error: "), ended.err.size());
    EXPECT_EQ(without_numbers(ended.err.substr(at)),
              "error: a: run stopped at t = # s: step size fell below # s\n"
              "   lid: gas temperature # is outside # .. # (rejected # times)\n"
              "   try: keep the named value within its limits, or a model that covers it\n" +
                  written_to("r"));
    EXPECT_EQ(ended.code, 4);
    EXPECT_FALSE(fs::exists(folder / "r/a.csv"));
}

/// The table's rows in words, the last `variants` of which are its cells.
std::vector<std::string> rows_of_table(const std::string& out) {
    std::vector<std::string> rows;
    for (const auto& line : lines(out.substr(out.find("Power\n")))) {
        if (line.empty()) break;
        if (line.starts_with("  ")) rows.push_back(line);
    }
    return rows;
}
std::vector<std::string> last_words(const std::string& line, std::size_t n) {
    std::istringstream in(line);
    std::vector<std::string> words{std::istream_iterator<std::string>(in), {}};
    return {words.end() - static_cast<std::ptrdiff_t>(std::min(n, words.size())), words.end()};
}

TEST_F(Runs, TableShowsTheSummarysNumbersInEverySystemOfUnits) {
    using pullcast::UnitSystem;
    for (const auto& [name, system] :
         {std::pair{"metric", UnitSystem::metric}, {"us", UnitSystem::us}, {"si", UnitSystem::si}}) {
        const auto ended = run({"run", demo, "--out", name, "--units", name});
        ASSERT_EQ(ended.err, written_to(name));
        const auto summary = Json::parse(read(fs::path(name) / "summary.json"));
        EXPECT_EQ(summary["schema"], "pullcast.study");
        EXPECT_EQ(summary["schema_version"], 1);
        const auto& variants = summary["variants"];
        const auto rows = rows_of_table(ended.out);
        ASSERT_EQ(rows.size(), pullcast::figures().size());
        for (std::size_t r = 0; r < rows.size(); ++r) {
            const auto& f = pullcast::figures()[r];
            EXPECT_TRUE(rows[r].starts_with(fmt::format("  {}  ", f.label))) << rows[r];
            if (f.decimals < 0) continue;  // of residuals only the size is shown
            const auto row = last_words(rows[r], variants.size());
            for (std::size_t k = 0; k < row.size(); ++k) {
                const auto& figure = variants[k]["figures"][f.key];
                EXPECT_EQ(figure["unit"], f.unit);
                const double shown = pullcast::display_unit(f.unit, system, f.quantity)(figure["value"].get<double>());
                const auto expected = fmt::format("{:.{}f}", shown, f.decimals);
                EXPECT_TRUE(system == UnitSystem::si || row[k] == expected) << row[k] << " is not " << expected;
                const auto point = row[k].find('.');
                const auto decimals = point == std::string::npos ? 0 : static_cast<double>(row[k].size() - point - 1);
                EXPECT_NEAR(std::stod(row[k]), shown, 0.5001 * std::pow(10, -decimals)) << name << " " << f.key;
                if (f.group == std::string("Knock")) continue;  // a margin may be anything near zero
                EXPECT_NEAR(std::stod(row[k]), shown, 0.05 * std::fabs(shown)) << name << " " << f.key;
            }
        }
    }
}

TEST_F(Runs, JsonIsTheSummaryAndNothingElse) {
    const auto ended = run({"run", demo, "--out", "r", "--json"});
    EXPECT_EQ(ended.out, read("r/summary.json"));
    EXPECT_EQ(ended.err, written_to("r"));
    EXPECT_EQ(Json::parse(ended.out)["variants"].size(), 4u);
}

// The figures of the summary can be found again in the CSV file: the last row is the redline.
TEST_F(Runs, CsvHasUnitsDistinctNamesAndTheSummarysNumbers) {
    ASSERT_EQ(run({"run", demo, "--out", "r", "--units", "si"}).code, 0);
    const auto rows = lines(read("r/core.csv"));
    const auto heads = split(rows.front(), ','), last = split(rows.back(), ',');
    EXPECT_EQ(heads.front(), "time [s]");
    EXPECT_EQ(std::set<std::string>(heads.begin(), heads.end()).size(), heads.size());
    for (const auto& h : heads)
        EXPECT_TRUE(std::regex_match(h, std::regex("[A-Za-z0-9_.-]+( \\[[^\\[\\],]+\\])"))) << h;
    for (const auto& row : rows) EXPECT_EQ(std::count(row.begin(), row.end(), ','), std::ptrdiff_t(heads.size()) - 1);
    const auto at = std::find(heads.begin(), heads.end(), "manifold.gas.T [K]") - heads.begin();
    ASSERT_LT(at, std::ptrdiff_t(heads.size()));
    const auto figures = Json::parse(read("r/summary.json"))["variants"][2]["figures"];
    EXPECT_NEAR(std::stod(last[std::size_t(at)]), figures["charge_redline"]["value"].get<double>(), 1e-6);
    EXPECT_NEAR(std::stod(last[0]), figures["pull_time"]["value"].get<double>(), 1e-6);
}

// Every width gets the same numbers, in lines that fit.
TEST_F(Runs, LinesFitTheTerminal) {
    for (const char* width : {"60", "80", "132"}) {
        const auto columns = fmt::format("COLUMNS={}", width);
        for (const auto& args : {std::vector<std::string>{"run", demo, "--out", "r", "--force"},
                                 {"models"},
                                 {"models", "blower.map"},
                                 {"parts", "scenarios/parts"}}) {
            const auto ended = run(args, {columns});
            EXPECT_EQ(ended.code, 0);
            for (const auto& line : lines(ended.out)) {
                EXPECT_LE(line.size(), std::stoul(width)) << line;
                EXPECT_FALSE(line.ends_with(" ")) << line;
                EXPECT_EQ(line.find('\x1b'), line.npos) << line;
            }
        }
    }
}

TEST_F(Runs, NotesHoldTheFiguresTheWordsAndTheCautions) {
    const auto ended = run({"run", demo, "--out", "r"});
    const auto notes = read("r/notes.txt");
    const auto table = ended.out.substr(ended.out.find("Power\n"),
                                        ended.out.find("\n\n", ended.out.find("Power\n")) - ended.out.find("Power\n"));
    EXPECT_GT(table.size(), 1000u);
    EXPECT_NE(notes.find(table), std::string::npos);
    for (const char* part :
         {"core: 92 mm pulley, deep core\n-----", "\nComparison\n", "\nCautions\n", "SAE J1349 factor ",
          "\nModels, with what each is good for\n", "New parts: deep core, 100 mm deep (740 EUR)\n"})
        EXPECT_NE(notes.find(part), std::string::npos) << part;
    for (const auto& line : lines(notes)) EXPECT_LE(line.size(), 100u) << line;
}

TEST_F(Runs, CheckSaysWhatItRead) {
    write("small.toml", small_rig);
    const auto ended = run({"check", "small.toml"});
    EXPECT_EQ(ended.out, "as-is: 3 components, 4 states\nsmall.toml: no mistakes found\n");
    EXPECT_EQ(ended.err, "");
    EXPECT_EQ(ended.code, 0);
}

TEST_F(Runs, DrawingHasEveryComponentAndItsDirections) {
    write("small.toml", std::string("title = \"a \\\"box\\\"\"\n") + (small_rig + std::string(small_rig).find('[')));
    const auto ended = run({"draw", "small.toml"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(ended.err, "");
    for (const char* part : {"label=\"a \\\"box\\\"\"", "\"ambient\" [label=\"ambient\\ngas.ambient\", shape=ellipse]",
                             "\"filter\" [label=\"filter\\ngas.restriction\", shape=box]",
                             "\"box\" [label=\"box\\ngas.volume\", shape=ellipse]",
                             "\"ambient\" -> \"filter\" [label=\"\", color=\"#0072B2\", style=solid]",
                             "\"filter\" -> \"box\" [label=\"\", color=\"#0072B2\", style=solid]"})
        EXPECT_NE(ended.out.find(part), std::string::npos) << part << "\n" << ended.out;
}

TEST_F(Runs, DrawingSaysWhatItNeedsForSvg) {
    write("small.toml", small_rig);
    const auto ended = run({"draw", "small.toml", "--format", "svg"}, {"PATH=" + folder.string()});
    EXPECT_EQ(ended.err, "error: the SVG needs Graphviz' dot (Debian package graphviz); --format dot does without\n");
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.out, "");
}

TEST_F(Runs, MessagesWithoutColourWhereNobodyWatches) {
    const auto ended = run({"check", "nowhere.toml"}, {"NO_COLOR="});
    EXPECT_EQ(ended.err, "nowhere.toml: error: no such file\n");
}

}  // namespace command_line_runs_tests

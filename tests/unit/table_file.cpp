/// Curves and maps from CSV files: values in SI whatever the order of rows, and every error in full.
#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <pullcast/scenario/table_file.hpp>

namespace table_file_tests {

using namespace pullcast;

const std::vector<TableColumn> speed{{"speed", "rad/s"}}, map_axes{{"speed", "rad/s"}, {"pressure_ratio", "1"}};
const std::vector<TableColumn> efficiency{{"volumetric_efficiency", "1"}};

Source file(std::string text) {
    auto f = std::make_shared<SourceFile>();
    f->name = "maps/demo.csv", f->text = std::move(text);
    return f;
}

std::string errors(const std::string& text, const std::vector<TableColumn>& axes = map_axes,
                   const std::vector<TableColumn>& values = efficiency) {
    Diagnostics d;
    EXPECT_FALSE(read_grid(file(text), axes, values, d));
    EXPECT_TRUE(d.failed());
    return render(d.all());
}

const std::string header = "speed [rpm],pressure_ratio [1],volumetric_efficiency [%]\n";

TEST(TableFile, MapInAnyOrder) {
    Diagnostics d;
    const auto t = read_grid(file("# invented demo data\n\n" + header +
                                  "8000, 1.4, 88\r\n"
                                  "4000,1.2,80\n"
                                  "  # between rows\n"
                                  "\"8000\",1.2,90\n"
                                  "4000,1.4,75.5"),
                             map_axes, efficiency, d);
    ASSERT_TRUE(t) << render(d.all());
    ASSERT_EQ(t->axes.size(), 2u);
    ASSERT_EQ(t->axes[0].size(), 2u);
    EXPECT_DOUBLE_EQ(t->axes[0][0], 400 * std::numbers::pi / 3);
    EXPECT_DOUBLE_EQ(t->axes[0][1], 800 * std::numbers::pi / 3);
    EXPECT_EQ(t->axes[1], (std::vector<double>{1.2, 1.4}));
    ASSERT_EQ(t->values.size(), 1u);
    EXPECT_EQ(t->values[0], (std::vector<double>{0.8, 0.755, 0.9, 0.88}));
}

TEST(TableFile, CurveWithOtherColumns) {
    Diagnostics d;
    const auto t = read_grid(file("\xEF\xBB\xBF"
                                  "note,temperature [degC],\"speed [rev/s]\",pressure\nhot,31,2,7\n,-3,1,x\n"),
                             speed, {{"temperature", "K"}}, d);
    ASSERT_TRUE(t) << render(d.all());
    EXPECT_DOUBLE_EQ(t->axes[0][0], 2 * std::numbers::pi);
    EXPECT_EQ(t->values[0], (std::vector<double>{270.15, 304.15}));
}

TEST(TableFile, AMissingUnitIsFineForPlainNumbers) {
    Diagnostics d;
    const auto t = read_grid(file("pressure_ratio,volumetric_efficiency\n1,0.9\n2,0.8\n"), {{"pressure_ratio", "1"}},
                             efficiency, d);
    ASSERT_TRUE(t) << render(d.all());
    EXPECT_EQ(t->values[0], (std::vector<double>{0.9, 0.8}));
}

TEST(TableFileErrors, NoColumns) {
    const auto told = errors("# only a comment\n");
    EXPECT_EQ(told,
              "maps/demo.csv: error: no header row\n"
              "      the first row names the columns\n");
}

TEST(TableFileErrors, NoRows) {
    const auto told = errors(header);
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: no rows of numbers below the header\n"
              "    1 | speed [rpm],pressure_ratio [1],volumetric_efficiency [%]\n"
              "      | ^\n");
}

TEST(TableFileErrors, ColumnMisspelt) {
    const auto told = errors("speed [rpm],presure_ratio [1],volumetric_efficiency [%]\n4000,1.2,80\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:13: error: no column 'pressure_ratio'\n"
              "    1 | speed [rpm],presure_ratio [1],volumetric_efficiency [%]\n"
              "      |             ^^^^^^^^^^^^^^^^^ is 'presure_ratio' meant?\n");
}

TEST(TableFileErrors, ColumnsMissing) {
    const auto told = errors("a,b\n1,2\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: no column 'speed'\n"
              "    1 | a,b\n"
              "      | ^ wanted: \"speed [rpm]\"\n"
              "maps/demo.csv:1:1: error: no column 'pressure_ratio'\n"
              "    1 | a,b\n"
              "      | ^ wanted: \"pressure_ratio [1]\"\n"
              "maps/demo.csv:1:1: error: no column 'volumetric_efficiency'\n"
              "    1 | a,b\n"
              "      | ^ wanted: \"volumetric_efficiency [%]\"\n");
}

TEST(TableFileErrors, Semicolons) {
    const auto told = errors("speed [rpm];pressure_ratio [1];volumetric_efficiency [%]\n4000;1,2;80\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: only one column\n"
              "    1 | speed [rpm];pressure_ratio [1];volumetric_efficiency [%]\n"
              "      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ separate the columns by commas\n");
}

TEST(TableFileErrors, ColumnTwice) {
    const auto told = errors("speed [rpm],speed [1/s],pressure_ratio,volumetric_efficiency\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:13: error: a second column 'speed'\n"
              "    1 | speed [rpm],speed [1/s],pressure_ratio,volumetric_efficiency\n"
              "      |             ^^^^^^^^^^^\n");
}

TEST(TableFileErrors, UnitMissing) {
    const auto told = errors("speed,pressure_ratio,volumetric_efficiency\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: column 'speed' has no unit\n"
              "    1 | speed,pressure_ratio,volumetric_efficiency\n"
              "      | ^^^^^ write its unit in brackets, for example \"speed [rpm]\"\n");
}

TEST(TableFileErrors, UnitUnknown) {
    const auto told = errors("speed [rmp],pressure_ratio,volumetric_efficiency\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: unknown unit 'rmp'\n"
              "    1 | speed [rmp],pressure_ratio,volumetric_efficiency\n"
              "      | ^^^^^^^^^^^ did you mean 'rpm'?\n");
}

TEST(TableFileErrors, UnitOfOtherKind) {
    const auto told = errors("speed [kg],pressure_ratio [psi],volumetric_efficiency\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: 'kg' is a mass, 'speed' wants a rotational speed (rad/s)\n"
              "    1 | speed [kg],pressure_ratio [psi],volumetric_efficiency\n"
              "      | ^^^^^^^^^^ for example \"speed [rpm]\"\n"
              "maps/demo.csv:1:12: error: 'psi' is a pressure, 'pressure_ratio' wants a plain number (1)\n"
              "    1 | speed [kg],pressure_ratio [psi],volumetric_efficiency\n"
              "      |            ^^^^^^^^^^^^^^^^^^^^ for example \"pressure_ratio [1]\"\n");
}

TEST(TableFileErrors, GaugeColumn) {
    const auto told = errors("boost [psig],volumetric_efficiency\n1,2\n", {{"boost", "Pa"}}, efficiency);
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: 'psig' is a gauge pressure, 'boost' wants an absolute pressure\n"
              "    1 | boost [psig],volumetric_efficiency\n"
              "      | ^^^^^^^^^^^^ for example \"boost [kPa]\"\n");
}

TEST(TableFileErrors, CellCount) {
    const auto told = errors(header + "4000,1.2\n8000,1.2,80,3\n");
    EXPECT_EQ(told,
              "maps/demo.csv:2:6: error: 2 cells, the header has 3\n"
              "    2 | 4000,1.2\n"
              "      |      ^^^\n"
              "maps/demo.csv:3:13: error: 4 cells, the header has 3\n"
              "    3 | 8000,1.2,80,3\n"
              "      |             ^ a decimal point is '.', a comma starts a new cell\n");
}

TEST(TableFileErrors, Numbers) {
    const auto told = errors(
                  header + "4000,,80\n+4000,1.2,80\n4000 rpm,1.2,80\nnan,1.2,1e999\nfast,1.2,0x1\n");
    EXPECT_EQ(told,
              "maps/demo.csv:2:6: error: pressure_ratio: no value\n"
              "    2 | 4000,,80\n"
              "      |      ^ every grid point needs one\n"
              "maps/demo.csv:3:1: error: speed: '+' before a number\n"
              "    3 | +4000,1.2,80\n"
              "      | ^^^^^ leave the '+' out\n"
              "maps/demo.csv:4:1: error: speed: '4000 rpm' is not a number\n"
              "    4 | 4000 rpm,1.2,80\n"
              "      | ^^^^^^^^ units stand in the header only\n"
              "maps/demo.csv:5:1: error: speed: 'nan' is not a finite number\n"
              "    5 | nan,1.2,1e999\n"
              "      | ^^^\n"
              "maps/demo.csv:5:9: error: volumetric_efficiency: '1e999' is beyond the range of numbers\n"
              "    5 | nan,1.2,1e999\n"
              "      |         ^^^^^\n"
              "maps/demo.csv:6:1: error: speed: no number in 'fast'\n"
              "    6 | fast,1.2,0x1\n"
              "      | ^^^^\n"
              "maps/demo.csv:6:10: error: volumetric_efficiency: '0x1' is not a number\n"
              "    6 | fast,1.2,0x1\n"
              "      |          ^^^ units stand in the header only\n");
}

TEST(TableFileErrors, DecimalComma) {
    const auto told = errors(header + "4000,1,2,80,5\n");
    EXPECT_EQ(told,
              "maps/demo.csv:2:13: error: 5 cells, the header has 3\n"
              "    2 | 4000,1,2,80,5\n"
              "      |             ^ a decimal point is '.', a comma starts a new cell\n");
}

TEST(TableFileErrors, Duplicate) {
    const auto told = errors(
                  header + "4000,1.2,80\n8000,1.2,80\n4000,1.4,80\n8000,1.4,80\n4e3,1.20,81\n");
    EXPECT_EQ(told,
              "maps/demo.csv:6:1: error: a second row for speed = 4e3 rpm, pressure_ratio = 1.20\n"
              "    6 | 4e3,1.20,81\n"
              "      | ^^^ the first is line 2\n");
}

TEST(TableFileErrors, Gaps) {
    const auto told = errors(header + "4000,1.2,80\n8000,1.4,80\n");
    EXPECT_EQ(told,
              "maps/demo.csv:1:1: error: no row for speed = 4000 rpm, pressure_ratio = 1.4\n"
              "    1 | speed [rpm],pressure_ratio [1],volumetric_efficiency [%]\n"
              "      | ^ the grid of 2 x 2 points wants 4 rows\n"
              "maps/demo.csv:1:1: error: no row for speed = 8000 rpm, pressure_ratio = 1.2\n"
              "    1 | speed [rpm],pressure_ratio [1],volumetric_efficiency [%]\n"
              "      | ^ the grid of 2 x 2 points wants 4 rows\n");
}

TEST(TableFileErrors, OneValue) {
    const auto told = errors(header + "4000,1.2,80\n4000,1.4,80\n");
    EXPECT_EQ(told,
              "maps/demo.csv:2:1: error: only one value of speed\n"
              "    2 | 4000,1.2,80\n"
              "      | ^^^^ a table needs at least 2 along each axis\n");
}

TEST(TableFileErrors, DuplicateOnCurve) {
    const auto told = errors("speed [rpm],volumetric_efficiency\n1000,0.8\n2000,0.9\n1000,0.8\n", speed, efficiency);
    EXPECT_EQ(told,
              "maps/demo.csv:4:1: error: a second row for speed = 1000 rpm\n"
              "    4 | 1000,0.8\n"
              "      | ^^^^ the first is line 2\n");
}

TEST(TableFile, ManyErrorsAreCutOff) {
    std::string text = header;
    for (int k = 0; k < 50; ++k) text += "4000,x,1\n";
    const auto told = errors(text);
    const auto first = "maps/demo.csv: error: 30 more errors in this file\nmaps/demo.csv:2:6: error: ";
    EXPECT_TRUE(told.starts_with(first)) << told;
    EXPECT_EQ(std::count(told.begin(), told.end(), '^'), 20);
}

TEST(TableFile, AWideSparseGridIsToldAtOnce) {
    std::string text = header;  // 3000 speeds x 3000 ratios, on the diagonal only
    for (int k = 0; k < 3000; ++k) text += std::to_string(1000 + k) + ",1." + std::to_string(10000 + k) + ",1\n";
    const auto told = errors(text);
    EXPECT_NE(told.find("no row for speed = 1000 rpm, pressure_ratio = 1.10001"), told.npos);
    EXPECT_NE(told.find("the grid of 3000 x 3000 points wants 9000000 rows"), told.npos);
}

}  // namespace table_file_tests

// Nonlinear least squares against certified results: the Statistical Reference Datasets of NIST (Nonlinear Regression,
// files NAME.dat, https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml, public domain). Data, both starts, certified
// values and standard deviations as in those files; that a data set is copied right is shown by its certified residual
// sum of squares, which is computed here from the certified values before any fit. Jacobians by dual numbers.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/dual.hpp>
#include <pullcast/measure/least_squares.hpp>

namespace nist_nonlinear_tests {

using namespace pullcast;
using namespace pullcast::measure;
using Dual = DualN<8>;

struct Point {
    double y, x;
};
struct Dataset {
    const char* name;
    std::vector<Point> points;
    std::vector<std::vector<double>> starts;
    std::vector<double> certified, deviation;
    double squares;  // certified residual sum of squares
    Dual (*model)(double x, const std::vector<Dual>& b);
};
void PrintTo(const Dataset& d, std::ostream* out) { *out << d.name; }

const std::vector<Point> misra{{10.07, 77.6},  {14.73, 114.9}, {17.94, 141.1}, {23.93, 190.8}, {29.61, 239.9},
                               {35.18, 289.0}, {40.02, 332.8}, {44.82, 378.4}, {50.76, 434.8}, {55.05, 477.3},
                               {61.01, 536.8}, {66.40, 593.1}, {75.47, 689.1}, {81.78, 760.0}};

const Dataset misra1b{"Misra1b",
                      misra,
                      {{500, 0.0001}, {300, 0.0002}},
                      {3.3799746163E+02, 3.9039091287E-04},
                      {3.1643950207E+00, 4.2547321834E-06},
                      7.5464681533E-02,
                      [](double x, const std::vector<Dual>& b) { return b[0] * (1 - pow(1 + b[1] * x / 2, -2)); }};

const Dataset misra1c{"Misra1c",
                      misra,
                      {{500, 0.0001}, {600, 0.0002}},
                      {6.3642725809E+02, 2.0813627256E-04},
                      {4.6638326572E+00, 1.7728423155E-06},
                      4.0966836971E-02,
                      [](double x, const std::vector<Dual>& b) { return b[0] * (1 - pow(1 + 2 * b[1] * x, -0.5)); }};

const Dataset thurber{
    "Thurber",
    {{80.574, -3.067},   {84.248, -2.981},   {87.264, -2.921},   {87.195, -2.912},   {89.076, -2.840},
     {89.608, -2.797},   {89.868, -2.702},   {90.101, -2.699},   {92.405, -2.633},   {95.854, -2.481},
     {100.696, -2.363},  {101.060, -2.322},  {401.672, -1.501},  {390.724, -1.460},  {567.534, -1.274},
     {635.316, -1.212},  {733.054, -1.100},  {759.087, -1.046},  {894.206, -0.915},  {990.785, -0.714},
     {1090.109, -0.566}, {1080.914, -0.545}, {1122.643, -0.400}, {1178.351, -0.309}, {1260.531, -0.109},
     {1273.514, -0.103}, {1288.339, 0.010},  {1327.543, 0.119},  {1353.863, 0.377},  {1414.509, 0.790},
     {1425.208, 0.963},  {1421.384, 1.006},  {1442.962, 1.115},  {1464.350, 1.572},  {1468.705, 1.841},
     {1447.894, 2.047},  {1457.628, 2.200}},
    {{1000, 1000, 400, 40, 0.7, 0.3, 0.03}, {1300, 1500, 500, 75, 1, 0.4, 0.05}},
    {1.2881396800E+03, 1.4910792535E+03, 5.8323836877E+02, 7.5416644291E+01, 9.6629502864E-01, 3.9797285797E-01,
     4.9727297349E-02},
    {4.6647963344E+00, 3.9571156086E+01, 2.8698696102E+01, 5.5675370270E+00, 3.1333340687E-02, 1.4984928198E-02,
     6.5842344623E-03},
    5.6427082397E+03,
    [](double x, const std::vector<Dual>& b) {
        return (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1 + x * (b[4] + x * (b[5] + x * b[6])));
    }};

const Dataset eckerle4{
    "Eckerle4",
    {{0.0001575, 400.0}, {0.0001699, 405.0}, {0.0002350, 410.0}, {0.0003102, 415.0}, {0.0004917, 420.0},
     {0.0008710, 425.0}, {0.0017418, 430.0}, {0.0046400, 435.0}, {0.0065895, 436.5}, {0.0097302, 438.0},
     {0.0149002, 439.5}, {0.0237310, 441.0}, {0.0401683, 442.5}, {0.0712559, 444.0}, {0.1264458, 445.5},
     {0.2073413, 447.0}, {0.2902366, 448.5}, {0.3445623, 450.0}, {0.3698049, 451.5}, {0.3668534, 453.0},
     {0.3106727, 454.5}, {0.2078154, 456.0}, {0.1164354, 457.5}, {0.0616764, 459.0}, {0.0337200, 460.5},
     {0.0194023, 462.0}, {0.0117831, 463.5}, {0.0074357, 465.0}, {0.0022732, 470.0}, {0.0008800, 475.0},
     {0.0004579, 480.0}, {0.0002345, 485.0}, {0.0001586, 490.0}, {0.0001143, 495.0}, {0.0000710, 500.0}},
    {{1, 10, 500}, {1.5, 5, 450}},
    {1.5543827178E+00, 4.0888321754E+00, 4.5154121844E+02},
    {1.5408051163E-02, 4.6803020753E-02, 4.6800518816E-02},
    1.4635887487E-03,
    [](double x, const std::vector<Dual>& b) {
        const Dual z = (x - b[2]) / b[1];
        return b[0] / b[1] * exp(-0.5 * (z * z));
    }};

const Dataset mgh09{
    "MGH09",
    {{1.957000E-01, 4.000000E+00},
     {1.947000E-01, 2.000000E+00},
     {1.735000E-01, 1.000000E+00},
     {1.600000E-01, 5.000000E-01},
     {8.440000E-02, 2.500000E-01},
     {6.270000E-02, 1.670000E-01},
     {4.560000E-02, 1.250000E-01},
     {3.420000E-02, 1.000000E-01},
     {3.230000E-02, 8.330000E-02},
     {2.350000E-02, 7.140000E-02},
     {2.460000E-02, 6.250000E-02}},
    {{25, 39, 41.5, 39}, {0.25, 0.39, 0.415, 0.39}},
    {1.9280693458E-01, 1.9128232873E-01, 1.2305650693E-01, 1.3606233068E-01},
    {1.1435312227E-02, 1.9633220911E-01, 8.0842031232E-02, 9.0025542308E-02},
    3.0750560385E-04,
    [](double x, const std::vector<Dual>& b) { return b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]); }};

const Dataset mgh10{"MGH10",
                    {{3.478000E+04, 50},
                     {2.861000E+04, 55},
                     {2.365000E+04, 60},
                     {1.963000E+04, 65},
                     {1.637000E+04, 70},
                     {1.372000E+04, 75},
                     {1.154000E+04, 80},
                     {9.744000E+03, 85},
                     {8.261000E+03, 90},
                     {7.030000E+03, 95},
                     {6.005000E+03, 100},
                     {5.147000E+03, 105},
                     {4.427000E+03, 110},
                     {3.820000E+03, 115},
                     {3.307000E+03, 120},
                     {2.872000E+03, 125}},
                    {{2, 400000, 25000}, {0.02, 4000, 250}},
                    {5.6096364710E-03, 6.1813463463E+03, 3.4522363462E+02},
                    {1.5687892471E-04, 2.3309021107E+01, 7.8486103508E-01},
                    8.7945855171E+01,
                    [](double x, const std::vector<Dual>& b) { return b[0] * exp(b[1] / (x + b[2])); }};

const Dataset rat43{
    "Rat43",
    {{16.08, 1},
     {33.83, 2},
     {65.80, 3},
     {97.20, 4},
     {191.55, 5},
     {326.20, 6},
     {386.87, 7},
     {520.53, 8},
     {590.03, 9},
     {651.92, 10},
     {724.93, 11},
     {699.56, 12},
     {689.96, 13},
     {637.56, 14},
     {717.41, 15}},
    {{100, 10, 1, 1}, {700, 5, 0.75, 1.3}},
    {6.9964151270E+02, 5.2771253025E+00, 7.5962938329E-01, 1.2792483859E+00},
    {1.6302297817E+01, 2.0828735829E+00, 1.9566123451E-01, 6.8761936385E-01},
    8.7864049080E+03,
    [](double x, const std::vector<Dual>& b) { return b[0] / pow(1 + exp(b[1] - b[2] * x), 1 / b[3]); }};

Block block_of(const Dataset& d) {
    Block b;
    for (std::size_t j = 0; j < d.certified.size(); ++j) b.unknowns.push_back(j);
    b.series = {{d.name, std::vector<double>(d.points.size(), 1.0)}};
    b.evaluate = [&d](std::span<const double> values, std::span<double> residuals, double* slopes) {
        std::vector<Dual> at(values.begin(), values.end());
        for (std::size_t j = 0; j < at.size(); ++j) at[j].d[j] = 1;
        for (std::size_t i = 0; i < d.points.size(); ++i) {
            const Dual y = d.model(d.points[i].x, at);
            residuals[i] = y.v - d.points[i].y;
            for (std::size_t j = 0; slopes && j < at.size(); ++j) slopes[i * at.size() + j] = y.d[j];
        }
    };
    return b;
}

class NistNonlinear : public testing::TestWithParam<Dataset> {};
INSTANTIATE_TEST_SUITE_P(Sets, NistNonlinear, testing::Values(misra1b, misra1c, thurber, eckerle4, mgh09, mgh10, rat43),
                         [](const auto& test) { return std::string(test.param.name); });

TEST_P(NistNonlinear, DataGiveTheCertifiedSumOfSquares) {
    const Dataset& d = GetParam();
    std::vector<double> r(d.points.size());
    block_of(d).evaluate(d.certified, r, nullptr);
    double squares = 0;
    for (const double x : r) squares += x * x;
    EXPECT_NEAR(squares, d.squares, 1e-8 * d.squares);
}

TEST_P(NistNonlinear, CertifiedValuesAndDeviationsFromBothStarts) {
    const Dataset& d = GetParam();
    LeastSquaresOptions options;
    options.known_accuracy = false;
    options.tolerance = 1e-16;
    options.most_steps = 3000;
    for (const auto& start : d.starts) {
        std::vector<Unknown> unknowns;
        for (std::size_t j = 0; j < start.size(); ++j) unknowns.push_back({"b" + std::to_string(j + 1), start[j]});
        const auto r = least_squares(unknowns, {block_of(d)}, options);
        EXPECT_TRUE(r.converged) << r.stopped;
        EXPECT_NEAR(r.sum_of_squares, d.squares, 1e-8 * d.squares) << r.steps << " steps; " << r.stopped;
        const auto freedom = static_cast<double>(d.points.size() - start.size());
        EXPECT_NEAR(r.residual_deviation, std::sqrt(d.squares / freedom), 1e-6 * std::sqrt(d.squares / freedom));
        for (std::size_t j = 0; j < start.size(); ++j) {
            EXPECT_NEAR(r.estimates[j].value, d.certified[j], 1e-6 * std::fabs(d.certified[j])) << r.estimates[j].name;
            EXPECT_NEAR(r.estimates[j].deviation, d.deviation[j], 1e-4 * d.deviation[j]) << r.estimates[j].name;
        }
    }
}

}  // namespace nist_nonlinear_tests

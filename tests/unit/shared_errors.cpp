// Errors that all readings of a sensor share, in a fit: closed forms of a rig whose reading is what it is set to.
#include <gtest/gtest.h>

#include <cmath>
#include <pullcast/measure/fit.hpp>
#include <pullcast/sdk.hpp>

namespace shared_errors_tests {

using namespace pullcast;
using namespace pullcast::measure;

/// stores heat that stays: T = start_temperature
struct Lump {
    double start_T;
    State T;
    Node<Heat> node;
    static void describe(Schema<Lump>& s) {
        s.role = "lump";
        s.number(&Lump::start_T, "start_temperature", "K", "temperature at the start").positive();
        s.state(&Lump::T, "T", "K", 300, "temperature");
        s.node(&Lump::node, "node", "the lump");
    }
    void start(Start v) const { v[T] = start_T; }
    void publish(auto v) const { v(node, {v[T]}); }
    void flow(auto v) const { v.rate(T) = 0; }
};
const auto* lump = component<Lump>("test.lump");

constexpr std::size_t points = 16;
constexpr double accuracy = 0.8;

/// A pull in which one temperature was read all the time, by a sensor that may be off by `size` deviations.
MeasuredPull pull(const char* name, std::size_t parameter, double read, const char* sensor, double size) {
    MeasuredPull p;
    p.name = name;
    p.rig = {{{"lump", lump, {{"start_temperature", 300.0}}, {}}}};
    p.plan = {.settle = 0.5, .output_step = 0.5, .tolerance = 1e-10};
    std::vector<double> at;
    for (std::size_t k = 0; k < points; ++k) at.push_back(0.25 * static_cast<double>(k));
    p.measured = {{"lump.node.T", at, std::vector<double>(points, read), std::vector<double>(points, accuracy), {}}};
    if (size > 0) p.measured[0].errors = {{sensor, std::vector<double>(points, size)}};
    p.parameters = {parameter};
    return p;
}
FitParameter level(const char* name, std::optional<Prior> prior = {}) {
    return {{name, {{"lump", "start_temperature"}}}, 300, 200, 400, prior};
}
double covariance(const FitResult& r, std::size_t a, std::size_t b) {
    return r.solution.covariance[a * r.solution.estimates.size() + b];
}

// n readings, each with accuracy s, and all off by d e with e = 0 +- 1: s^2 / n + d^2.
TEST(SharedErrors, WidenTheDeviationOfWhatTheyImitate) {
    const double d = 1.5, noise = accuracy * accuracy / points;
    const auto plain = fit({level("level")}, {pull("one", 0, 305, "", 0)}, {});
    EXPECT_TRUE(plain.errors.empty());
    EXPECT_NEAR(plain.solution.estimates[0].deviation, std::sqrt(noise), 1e-6);
    LeastSquaresOptions options;
    options.neighbours_allowed_for = true;  // these readings are of one value
    const auto r = fit({level("level")}, {pull("one", 0, 305, "thermometer", d)}, options);
    ASSERT_EQ(r.errors, std::vector<std::string>{"thermometer"});
    ASSERT_EQ(r.solution.estimates.size(), 2u);
    EXPECT_NEAR(r.solution.estimates[0].value, 305, 1e-5);
    EXPECT_NEAR(r.solution.estimates[0].deviation, std::sqrt(noise + d * d), 1e-6);
    EXPECT_NEAR(r.solution.estimates[1].value, 0, 1e-5);
    EXPECT_NEAR(r.solution.estimates[1].deviation, 1, 1e-6);
    EXPECT_TRUE(r.solution.warnings.empty()) << r.solution.warnings[0];
}

// One sensor for both: its error cancels in the difference. Two sensors: nothing cancels.
TEST(SharedErrors, CancelInADifferenceOfPullsWithTheSameSensor) {
    const double d = 1.5, noise = accuracy * accuracy / points;
    const auto difference = [&](const FitResult& r) {
        return covariance(r, 0, 0) + covariance(r, 1, 1) - 2 * covariance(r, 0, 1);
    };
    const std::vector<FitParameter> levels{level("one's"), level("two's")};
    const auto same = fit(levels, {pull("one", 0, 305, "A", d), pull("two", 1, 310, "A", d)}, {});
    EXPECT_EQ(same.errors.size(), 1u);
    EXPECT_NEAR(covariance(same, 0, 0), noise + d * d, 1e-5);
    EXPECT_NEAR(difference(same), 2 * noise, 1e-5);
    const auto other = fit(levels, {pull("one", 0, 305, "A", d), pull("two", 1, 310, "B", d)}, {});
    EXPECT_EQ(other.errors, (std::vector<std::string>{"A", "B"}));
    EXPECT_NEAR(difference(other), 2 * (noise + d * d), 1e-5);
}

// Level 300 +- p, error 0 +- 1 times d, and 302 was read: each takes its part, p^2 and d^2 over p^2 + d^2 + s^2 / n.
TEST(SharedErrors, ArePartOfWhatIsComputed) {
    const double p = 2, d = 0.5, noise = accuracy * accuracy / points, sum = p * p + d * d + noise;
    const auto r = fit({level("level", Prior{300, p})}, {pull("one", 0, 302, "A", d)}, {});
    EXPECT_NEAR(r.solution.estimates[0].value, 300 + 2 * p * p / sum, 1e-3);
    EXPECT_NEAR(r.solution.estimates[1].value, 2 * d / sum, 1e-3);
    for (const double x : r.computed[0][0]) EXPECT_NEAR(x, 300 + 2 * (p * p + d * d) / sum, 1e-3);
}

TEST(SharedErrors, NeedASizeAtEveryPlace) {
    auto p = pull("one", 0, 305, "A", 1);
    p.measured[0].errors[0].size.pop_back();
    try {
        fit({level("level")}, {p}, {});
        ADD_FAILURE() << "accepted";
    } catch (const std::invalid_argument& e) {
        EXPECT_STREQ(e.what(), "one: lump.node.T: A needs as many sizes as places");
    }
}

// Errors end at ten times what is expected of them.
TEST(SharedErrors, AreBounded) {
    auto fixed = level("level", Prior{300, 1e-3});
    const auto r = fit({fixed}, {pull("one", 0, 360, "A", 1)}, {});
    EXPECT_EQ(r.solution.estimates[1].value, 10);
    EXPECT_TRUE(r.solution.estimates[1].at_bound);
}

}  // namespace shared_errors_tests

// Round trips: pulls computed from known parameters, noise added, parameters recovered.
#include <pullcast/measure/fit.hpp>
#include <random>

#include "shipped.hpp"

namespace fit_tests {

using namespace shipped;
using namespace pullcast::measure;
using Kind = Parameter::Kind;

/// All places of a key that the rig shares.
Parameter shared(const RigSpec& rig, const std::string& key) {
    Parameter p{key, {}};
    for (const auto& c : rig.components)
        for (const Field* f = c.type->fields; f != c.type->fields + c.type->field_count; ++f)
            if (f->kind == pullcast::Kind::number && f->common && f->common == key)
                p.places.push_back({c.name, f->name});
    return p;
}

std::vector<double> steps(double from, double to, double by) {
    std::vector<double> all;
    for (double x = from; x <= to; x += by) all.push_back(x);
    return all;
}

/// Core, clearance of the blower, breathing, sensor: shared by all pulls; coolant at the start: each pull's own.
struct Truth {
    std::vector<FitParameter> parameters;
    std::vector<double> values;
    std::vector<MeasuredPull> pulls;
};

const struct {
    const char* channel;
    double accuracy;
} sensors[] = {
    {"manifold.gas.p", 400}, {"sensor.reading", 0.5}, {"core_out.coolant.T", 0.3}, {"load.crank_power", 2000}};

Truth truth(int pulls, MeasuredPull::Over over) {
    const RigSpec rig = read("rigs/hillclimb-v6.toml").variants.front().rig;
    Truth t;
    t.parameters = {{{"core", {{"cooler", "ua_scale"}}}, 1, 0.2, 3},
                    {{"clearance", {{"blower", "clearance_area"}}, Kind::factor}, 1, 0.2, 5},
                    {{"breathing", {{"breathing", "peak_efficiency"}}, Kind::factor}, 1, 0.7, 1.3},
                    {{"sensor", {{"sensor", "time_constant"}}}, 1.5, 0.1, 10}};
    t.values = {0.85, 1.2, 0.96, 1.1};
    for (int k = 0; k < pulls; ++k) {
        MeasuredPull p;
        p.name = "pull " + std::to_string(k + 1);
        p.rig = rig;
        p.plan = {.settle = 3, .output_step = 0.05};
        p.over = over;
        for (const auto& s : sensors) {
            const auto at = over == MeasuredPull::Over::time ? steps(0.2, 6, 0.1) : steps(250, 550, 5);
            p.measured.push_back(
                {s.channel, at, std::vector<double>(at.size()), std::vector<double>(at.size(), s.accuracy)});
        }
        p.parameters = {0, 1, 2, 3, t.parameters.size()};
        Parameter coolant = shared(rig, "start_coolant_temperature");
        coolant.name += " of " + p.name;
        t.parameters.push_back({coolant, 300.15, 280, 330});
        t.values.push_back(304 + 4 * k);
        t.pulls.push_back(std::move(p));
    }
    return t;
}

/// Fills in what the true parameters give; noise comes on top.
void measure(Truth& t, std::mt19937& random) {
    std::normal_distribution<double> noise;
    for (auto& p : t.pulls) {
        std::vector<double> at, all;
        for (const auto k : p.parameters) at.push_back(t.values[k]);
        for (const auto& m : p.measured) all.resize(all.size() + m.at.size());
        compute(p, t.parameters, at, all, nullptr);
        std::size_t i = 0;
        for (auto& m : p.measured)
            for (std::size_t k = 0; k < m.at.size(); ++k) m.value[k] = all[i++] + m.accuracy[k] * noise(random);
    }
}

LeastSquaresOptions options() {
    LeastSquaresOptions o;
    o.threads = 2;
    return o;
}

class Fit : public testing::TestWithParam<MeasuredPull::Over> {};
INSTANTIATE_TEST_SUITE_P(Over, Fit, testing::Values(MeasuredPull::Over::time, MeasuredPull::Over::speed),
                         [](const auto& test) { return test.param == MeasuredPull::Over::time ? "time" : "speed"; });

TEST_P(Fit, SlopesAreThoseOfWhatIsComputed) {
    Truth t = truth(1, GetParam());
    const MeasuredPull& p = t.pulls[0];
    const std::size_t n = 4 * p.measured[0].at.size(), width = t.values.size();
    std::vector<double> computed(n), slopes(n * width), up(n), down(n);
    compute(p, t.parameters, t.values, computed, slopes.data());
    for (std::size_t j = 0; j < width; ++j) {
        auto at = t.values;
        const double h = 1e-3 * t.values[j];
        at[j] = t.values[j] + h;
        compute(p, t.parameters, at, up, nullptr);
        at[j] = t.values[j] - h;
        compute(p, t.parameters, at, down, nullptr);
        for (std::size_t c = 0; c < 4; ++c) {
            double peak = 0, apart = 0;
            for (std::size_t i = c * n / 4; i < (c + 1) * n / 4; ++i) {
                peak = std::max(peak, std::fabs(slopes[i * width + j]));
                apart = std::max(apart, std::fabs(slopes[i * width + j] - (up[i] - down[i]) / (2 * h)));
            }
            const double noise = 1e-5 * std::fabs(computed[c * n / 4]) / h;  // of the two pulls' step sizes
            EXPECT_LE(apart, 1e-2 * peak + noise) << sensors[c].channel << " by " << t.parameters[j].parameter.name;
        }
    }
}

TEST_P(Fit, RecoversWhatThePullsWereComputedFrom) {
    Truth t = truth(2, GetParam());
    std::mt19937 random(17);
    measure(t, random);
    const FitResult r = fit(t.parameters, t.pulls, options());
    ASSERT_TRUE(r.solution.converged) << r.solution.stopped;
    for (std::size_t j = 0; j < t.values.size(); ++j) {
        const Estimate& e = r.solution.estimates[j];
        EXPECT_NEAR(e.value, t.values[j], 1.96 * e.deviation) << e.name;
        EXPECT_LT(e.deviation, 0.1 * std::fabs(t.values[j])) << e.name;
    }
    EXPECT_NEAR(r.solution.residual_deviation, 1, 0.1);
    ASSERT_EQ(r.solution.series.size(), 8u);
    EXPECT_EQ(r.solution.series[5].name, "pull 2: sensor.reading");
    for (const auto& s : r.solution.series) EXPECT_LT(std::fabs(s.lag_correlation), 0.4) << s.name;
    ASSERT_EQ(r.computed.size(), 2u);
    const auto& m = t.pulls[1].measured[0];
    for (std::size_t k = 0; k < m.at.size(); ++k) EXPECT_NEAR(r.computed[1][0][k], m.value[k], 5 * m.accuracy[k]);
    // The core's and the sensor's slowness look much alike in a second-long rise, and the fit must say so or know both.
    EXPECT_LT(r.solution.condition, 100);
}

void expect_refused(const std::vector<FitParameter>& parameters, const MeasuredPull& p, const std::string& part) {
    try {
        fit(parameters, {p}, options());
        ADD_FAILURE() << "accepted: " << part;
    } catch (const std::invalid_argument& e) {
        EXPECT_NE(std::string(e.what()).find(part), std::string::npos) << e.what();
    }
}

TEST(FitInput, IsRefusedInNames) {
    const Truth t = truth(1, MeasuredPull::Over::time);
    const auto with = [&](auto&& change) {
        MeasuredPull p = t.pulls[0];
        change(p);
        return p;
    };
    expect_refused(t.parameters, with([](auto& p) { p.measured[0].channel = "manifold.gas.q"; }),
                   "pull 1: the rig has no channel 'manifold.gas.q'; did you mean 'manifold.gas.p'?");
    expect_refused(t.parameters, with([](auto& p) { p.measured.clear(); }), "pull 1: nothing was measured");
    expect_refused(t.parameters, with([](auto& p) { p.measured[1].value.pop_back(); }), "as many values");
    expect_refused(t.parameters, with([](auto& p) { std::swap(p.measured[1].at[0], p.measured[1].at[1]); }),
                   "must rise");
    expect_refused(t.parameters, with([](auto& p) { p.parameters.push_back(9); }), "parameter 9 of 5");
    auto wrong = t.parameters;
    wrong[0].parameter.places[0].key = "ua_scal";
    expect_refused(wrong, t.pulls[0], "did you mean 'ua_scale'?");
}

}  // namespace fit_tests

// What a channel that was not logged would have told, against fits that have it: on a bench whose pulls are computed
// from known parameters, so that both fits end there and their covariances differ by the channel alone.
#include "missing_channels.hpp"

#include "blower_bench.hpp"
#include "shipped.hpp"

namespace missing_channels_tests {

using namespace shipped;
using namespace pullcast::measure;
using Kind = Parameter::Kind;

constexpr double weight = 0.4;        // accuracies of the fit over those of the sensors
constexpr std::size_t readings = 12;  // a pull, as many as are looked at of a missing channel

const ComparedChannel& compared(std::string_view kind) {
    for (const auto& c : compared_channels())
        if (kind == c.kind) return c;
    throw std::out_of_range(std::string(kind));
}

/// Two pulls of the bench in other air; leakage, flow of the valve and lag of the sensor are fitted.
struct Bench {
    std::vector<FitParameter> parameters{
        {{"leakage", {{"blower", "clearance_area"}}, Kind::factor}, 1, 0.1, 10, Prior{1, 0.5}},
        {{"valve", {{"valve", "discharge_coefficient"}}, Kind::factor}, 1, 0.5, 1.17, Prior{1, 0.05}},
        {{"lag", {{"sensor", "time_constant"}}}, 0.5, 0.05, 5, Prior{0.5, 0.2}}};
    std::vector<double> values{1, 1, 0.5};
    std::vector<MeasuredPull> pulls;
    std::vector<LoggedPull> logged;
    FitChoice choice;

    Bench() {
        const auto rig = read_study(blower_bench, registry()).variants.front().rig;
        for (const double air : {283.15, 308.15}) {
            MeasuredPull p;
            p.name = fmt::format("in air of {:g} K", air);
            p.rig = with_value(rig, {"air", {{"ambient", "temperature"}}}, air);
            p.plan = {.settle = 0.05, .output_step = 0.02, .tolerance = 1e-7};
            p.over = MeasuredPull::Over::speed;
            p.parameters = {0, 1, 2};
            pulls.push_back(std::move(p));
            logged.emplace_back();
        }
        measure("intake_temperature");
        BinnedChannel logged_one;
        logged_one.what = &compared("intake_temperature"), logged_one.speed = pulls[0].measured[0].at;
        for (auto& l : logged) l.channels = {logged_one};
    }

    /// As the fit weighs it: exact readings, each with a share of the sensor's accuracy, and the sensor's own error.
    void measure(const char* kind) {
        const auto& k = *find_kind(kind);
        for (auto& p : pulls) {
            MeasuredChannel m{*channel_in(Network(p.rig), compared(kind)), {}, {}, {}, {}};
            for (std::size_t i = 0; i < readings; ++i)
                m.at.push_back(220 + 190 * static_cast<double>(i) / static_cast<double>(readings - 1));
            m.value.resize(readings), m.accuracy.assign(readings, 1);
            MeasuredPull alone = p;
            alone.measured = {m};
            compute(alone, parameters, values, m.value, nullptr);
            const Accuracy sensor{k.accuracy, k.of_reading, true, {}};
            m.errors = {{fmt::format("error of {}", kind), {}}};
            for (std::size_t i = 0; i < readings; ++i) {
                m.errors[0].size.push_back(sensor.deviation(m.value[i]));
                m.accuracy[i] = weight * m.errors[0].size[i];
            }
            p.measured.push_back(std::move(m));
        }
    }

    MeasuredFit fitted() const {
        MeasuredFit f;
        for (const auto& p : parameters) f.unknowns.push_back({&choice, "", p, false});
        f.pulls = pulls;
        f.result = fit(parameters, pulls, {});
        return f;
    }
};

double deviation(const MeasuredFit& f, const Eigen::Vector3d& of) {
    const auto& c = f.result.solution.covariance;
    const auto n = f.result.solution.estimates.size();
    double variance = 0;
    for (std::size_t a = 0; a < 3; ++a)
        for (std::size_t b = 0; b < 3; ++b)
            variance += of[static_cast<int>(a)] * c[a * n + b] * of[static_cast<int>(b)];
    return std::sqrt(variance);
}

double remains(const std::vector<MissingChannel>& all, std::string_view kind) {
    for (const auto& m : all)
        if (kind == m.channel->kind) return m.remains;
    return std::nan("");
}

TEST(MissingChannels, PromiseWhatAFitWithThemHas) {
    const Bench without;
    const auto before = without.fitted();
    const MissingChannels missing(without.logged, before, 1);
    for (const char* kind : {"blower_outlet_temperature", "wheel_power"}) {
        Bench with;
        with.measure(kind);
        const auto after = with.fitted();
        for (const Eigen::Vector3d& of : {Eigen::Vector3d(1, 0, 0), Eigen::Vector3d(0, 1, 0), Eigen::Vector3d(0, 0, 1),
                                          Eigen::Vector3d(1, -3, 0.5)}) {
            Eigen::VectorXd slopes = Eigen::VectorXd::Zero(4);  // the thermometer's error behind the unknowns
            slopes.head(3) = of;
            EXPECT_NEAR(missing.deviation(slopes), deviation(before, of), 1e-12);
            const double ratio = deviation(after, of) / deviation(before, of);
            const double promised = remains(missing.helpful(slopes), kind);
            if (ratio < 0.94) {
                EXPECT_NEAR(promised, ratio, 2e-3) << kind << ", " << of.transpose();
            } else if (ratio > 0.96) {
                EXPECT_TRUE(std::isnan(promised)) << kind << ", " << of.transpose() << ": " << ratio;
            }
        }
    }
}

TEST(MissingChannels, AreOnlyThoseThatAreNotLoggedAndHelpMostHelpfulFirst) {
    const Bench bench;
    const MissingChannels missing(bench.logged, bench.fitted(), 1);
    Eigen::VectorXd leakage = Eigen::VectorXd::Zero(4);
    leakage[0] = 1;
    const auto all = missing.helpful(leakage);
    ASSERT_FALSE(all.empty());
    EXPECT_TRUE(std::isnan(remains(all, "intake_temperature")));      // logged
    EXPECT_TRUE(std::isnan(remains(all, "blower_speed")));            // a toothed belt: it is the crank's
    EXPECT_TRUE(std::isnan(remains(all, "coolant_in_temperature")));  // the bench has none
    for (std::size_t k = 0; k < all.size(); ++k) {
        EXPECT_LT(all[k].remains, 0.95);
        EXPECT_GE(all[k].remains, 0);
        EXPECT_GE(all[k].remains, all[k ? k - 1 : 0].remains);
    }
}

}  // namespace missing_channels_tests

// The heat-flow picture against the ledger that it is drawn from, and against integrals of what the channels say.
#include <pullcast/study/heat_flow.hpp>

#include "shipped.hpp"

namespace heat_flow_tests {

using namespace shipped;

constexpr double rotors = 4e-3;  // kg m^2
constexpr const char* insulated[] = {
    "\"lid_soak.conductance\" = \"0 W/K\"", "\"cooler.surroundings_conductance\" = \"0 W/K\"",
    "\"supply_hose.loss\" = \"0 W/(m K)\"", "\"return_hose.loss\" = \"0 W/(m K)\"",
    "\"reservoir.loss\" = \"0 W/K\"",       "\"blower.inertia\" = \"4e-3 kg m^2\""};

double flow(const std::vector<double>& values, std::string_view key) {
    for (std::size_t k = 0; k < values.size(); ++k)
        if (key == heat_flows()[k].key) return values[k];
    throw std::out_of_range("no flow " + std::string(key));
}

/// Of a channel in W, from the pull's start to its end, by the trapezoidal rule over the report points.
double integral(const VariantResult& r, std::string_view role, std::string_view item) {
    const auto values = channel(r, role, item);
    double sum = 0;
    for (std::size_t k = 1; k < values.size(); ++k)
        sum += 0.5 * (values[k] + values[k - 1]) * (r.pull.time[k] - r.pull.time[k - 1]);
    return sum;
}

/// Rise of what components of a role hold, J.
double stored(const VariantResult& r, std::string_view role) {
    const auto& parts = r.network->parts();
    const auto last = (r.pull.points() - 1) * parts.size();
    double sum = 0;
    for (std::size_t k = 0; k < parts.size(); ++k)
        if (role == parts[k].type->role) sum += r.pull.held[last + k] - r.pull.held[k];
    return sum;
}

std::vector<double> until_the_end(const VariantResult& r) {
    const PullView view(*r.network, r.pull);
    return HeatBooks(view).until(view.last());
}

TEST(HeatFlow, StartsAtZeroAndEveryPlaceIsBalancedAtEveryInstant) {
    const auto results = run_study(read("studies/pulley-or-core.toml"), 2);
    for (const auto& r : results) {
        const PullView view(*r.network, r.pull);
        const HeatBooks books(view);
        ASSERT_TRUE(books.complete());
        for (const double v : books.until(0)) EXPECT_EQ(v, 0);
        for (std::size_t point = 0; point < view.points(); point += 25) {
            const auto f = books.until(point);
            for (const auto& place : heat_places()) {
                if (place.role != HeatPlace::through) continue;
                double sum = 0;
                for (std::size_t k = 0; k < f.size(); ++k)
                    sum += (heat_flows()[k].to == std::string_view(place.key)) * f[k] -
                           (heat_flows()[k].from == std::string_view(place.key)) * f[k];
                EXPECT_NEAR(sum, 0, 1e-9 * std::fabs(flow(f, "work")) + 1e-12) << place.key;
            }
        }
    }
}

// Flows are the ledger's accounts between the pull's start and its end; the last row of sums is the ledger itself.
TEST(HeatFlow, IsDrawnFromTheLedger) {
    const auto results = run_study(read("studies/pulley-or-core.toml"), 2);
    for (const auto& r : results) {
        const auto& accounts = r.network->accounts();
        const std::size_t last = (r.pull.points() - 1) * accounts.size();
        double found = 0;
        for (std::size_t k = 0; k < accounts.size(); ++k) {
            EXPECT_EQ(r.pull.sums[last + k], r.pull.accounts[k].total);
            const bool work = accounts[k].component == "blower" && accounts[k].field->name == std::string("shaft_work");
            if (work) found = r.pull.accounts[k].total - r.pull.sums[k];
        }
        EXPECT_EQ(flow(until_the_end(r), "work"), found);
    }
}

TEST(HeatFlow, AgreesWithIntegralsOfTheChannels) {
    const auto results = run_study(read("studies/pulley-or-core.toml"), 2);
    for (const auto& r : results) {
        const auto f = until_the_end(r);
        EXPECT_NEAR(flow(f, "work") / integral(r, "blower", "drive_power"), 1, 1e-3);
        EXPECT_NEAR(flow(f, "cooling") / integral(r, "cooler", "heat"), 1, 1e-3);
        EXPECT_NEAR(flow(f, "pumping") / integral(r, "pump", "power"), 1, 1e-3);
        EXPECT_NEAR(flow(f, "outside") / integral(r, "front_exchanger", "heat"), 1, 1e-3);
    }
}

// With nothing lost on the way and no heat soaking in, what the picture finds as a remainder is what the boxes hold
// more, and nothing goes to the surroundings: to the residual of the ledger, which the solution's tolerance sets.
TEST(HeatFlow, RemaindersAreWhatTheBoxesHoldAndNothingElse) {
    const auto study = study_of({{"insulated", {std::begin(insulated), std::end(insulated)}}});
    const auto results = run_study(study, 1);
    ASSERT_EQ(results[0].failure, "");
    const auto f = until_the_end(results[0]);
    const double size = flow(f, "work");
    EXPECT_GT(size, 1e5);
    EXPECT_NEAR(flow(f, "boxes") + flow(f, "walls"), stored(results[0], "volume"), 1e-5 * size);
    EXPECT_NEAR(flow(f, "surroundings"), 0, 1e-5 * size);
    const auto speed = channel(results[0], "blower", "speed");
    const double spinning = 0.5 * rotors * (speed.back() * speed.back() - speed.front() * speed.front());
    EXPECT_NEAR(flow(f, "casing"), stored(results[0], "blower") - spinning, 1e-5 * size);
}

TEST(HeatFlow, WithoutACoolerOrWithAirThereIsStillABalance) {
    const auto results = run_study(read("studies/cooling-choices.toml"), 2);
    for (const auto& r : results) {
        ASSERT_EQ(r.failure, "");
        const auto f = until_the_end(r);
        EXPECT_LT(std::fabs(flow(f, "surroundings")), 0.02 * flow(f, "work"));
        EXPECT_LT(std::fabs(flow(f, "boxes")), 0.02 * flow(f, "work"));
    }
}

}  // namespace heat_flow_tests

// The rig of a whole day: it idles for twenty minutes and soaks heat. Orders of magnitude are common practice; the
// cool-down of metal and bay is compared with the exact solution of its two linear equations.
#include "shipped.hpp"

namespace idle_tests {

using namespace shipped;

constexpr double rpm = 0.10471975511965977;

/// Twenty minutes with the clutch open and the throttle at its stop; `changes` as in a study.
VariantResult idled(std::vector<std::string> changes) {
    changes.push_back(R"("common.clutch" = "open")");
    changes.push_back(R"("common.pull_start" = "2000 s")");
    const Study study = study_of({{"idle", changes}}, (scenarios() / "rigs" / "hillclimb-v6-day.toml").string());
    VariantResult r;
    r.network = std::make_shared<const Network>(study.variants.front().rig);
    r.pull =
        run_pull(*r.network, {.settle = 0, .stop_speed = 0, .longest = 1200, .output_step = 10, .longest_step = 30});
    return r;
}
double last(const VariantResult& r, std::string_view role, std::string_view item, std::size_t n = 0) {
    return channel(r, role, item, n).back();
}

TEST(Idle, settles_at_its_speed_and_soaks_heat_for_twenty_minutes) {
    const auto r = idled({});
    expect_finite(r, "idle");
    expect_closed_books(r, "idle");
    const auto speed = channel(r, "load", "speed"), bay = channel(r, "bay", "temperature");
    for (std::size_t k = 2; k < speed.size(); ++k) EXPECT_NEAR(speed[k], 850 * rpm, 0.02 * 850 * rpm) << r.pull.time[k];
    EXPECT_NEAR(last(r, "bypass", "opening"), 1, 1e-3);
    EXPECT_EQ(last(r, "load", "wheel_power"), 0);
    EXPECT_NEAR(last(r, "load", "drum_speed"), 0, 1e-3);
    // 3 to 7 g/s of air is what four litres take at idle (common practice, no source). Manifold pressure is low for
    // that air, since the breathing models know no valve overlap and the rig no alternator: real ones idle at 30 to 45
    // kPa.
    EXPECT_GT(last(r, "volume", "pressure", 4), 18e3);
    EXPECT_LT(last(r, "volume", "pressure", 4), 45e3);
    EXPECT_GT(last(r, "breathing", "air_flow"), 3e-3);
    EXPECT_LT(last(r, "breathing", "air_flow"), 7e-3);
    EXPECT_GT(last(r, "throttle", "idle_valve"), 0.02);
    EXPECT_LT(last(r, "throttle", "idle_valve"), 0.9);
    EXPECT_GT(bay.back(), bay.front() + 8);
    EXPECT_LT(r.pull.statistics.steps, 3000u);

    const auto shut = idled({R"("common.draught" = "0 m/s")"}), open = idled({R"("common.bonnet" = "open")"});
    EXPECT_GT(last(shut, "bay", "temperature"), bay.back() + 5);
    EXPECT_LT(last(open, "bay", "temperature"), bay.back() - 5);
    for (const char* role : {"volume", "blower"}) {
        const char* metal = role == std::string_view("volume") ? "wall_temperature" : "case_temperature";
        const std::size_t manifold = role == std::string_view("volume") ? 4 : 0;
        EXPECT_GT(last(shut, role, metal, manifold), channel(shut, role, metal, manifold).front() + 5) << role;
        EXPECT_GT(last(shut, role, metal, manifold), last(r, role, metal, manifold) + 0.5) << role;
        EXPECT_LT(last(open, role, metal, manifold), last(r, role, metal, manifold) - 0.5) << role;
    }
    EXPECT_GT(last(shut, "sensor", "reading"), last(open, "sensor", "reading") + 1);
}

// Coolant that stands between elastic walls hardly stops to oscillate: formulas of high order took 60000 steps for it.
TEST(Idle, runs_with_a_dead_pump_and_at_part_throttle) {
    const auto r = idled({R"("pump.voltage" = "0 V")", R"("common.part_opening" = 0.04)"});
    expect_finite(r, "pump off");
    expect_closed_books(r, "pump off");
    EXPECT_GT(last(r, "load", "speed"), 1200 * rpm);
    EXPECT_LT(last(r, "load", "speed"), 4000 * rpm);
    EXPECT_GT(last(r, "sensor", "reading"), channel(r, "sensor", "reading")[1] + 10);
    EXPECT_LT(r.pull.statistics.steps, 12000u);
}

// C1 T1' = -G1 (T1 - T2), C2 T2' = G1 (T1 - T2) - G2 (T2 - Ta): two exponentials, from the eigenvalues of the matrix.
TEST(CoolDown, of_metal_and_bay_is_the_exact_solution_of_two_lumps) {
    const double C1 = 120e3, C2 = 10e3, G1 = 40, G2 = 30, Ta = 290, T1 = 370, T2 = 300;
    const fs::path file = fs::temp_directory_path() / "pullcast_cool_down.toml";
    std::ofstream(file) << R"(title = "two lumps"
[component.ambient]
model = "gas.ambient"
temperature = "290 K"
[component.metal]
model = "engine.thermal_lump"
surroundings = "ambient"
bay = "bay"
capacity = "120 kJ/K"
bay_conductance = "40 W/K"
radiator_conductance = "0 W/K"
start_temperature = "370 K"
[component.bay]
model = "engine.bay"
surroundings = "ambient"
heat_capacity = "10 kJ/K"
conductance_shut = "30 W/K"
start_temperature = "300 K"
)";
    const Study study = read_study(file, registry());
    fs::remove(file);
    VariantResult r;
    r.network = std::make_shared<const Network>(study.variants.front().rig);
    r.pull =
        run_pull(*r.network, {.settle = 0, .longest = 7200, .output_step = 60, .longest_step = 600, .tolerance = 1e-8});
    const double a = -G1 / C1, b = G1 / C1, c = G1 / C2, d = -(G1 + G2) / C2;
    const double half = (a + d) / 2, root = std::sqrt((a - d) * (a - d) / 4 + b * c);
    const auto metal = channel(r, "thermal", "metal_temperature"), bay = channel(r, "bay", "temperature");
    for (std::size_t k = 0; k < r.pull.points(); ++k) {
        // exp(At) = exp(half t) (cosh(root t) + sinh(root t)/root (A - half))
        const double t = r.pull.time[k], e = std::exp(half * t), C = e * std::cosh(root * t),
                     S = e * std::sinh(root * t) / root, x = T1 - Ta, y = T2 - Ta;
        EXPECT_NEAR(metal[k], Ta + C * x + S * ((a - half) * x + b * y), 1e-4) << t;
        EXPECT_NEAR(bay[k], Ta + C * y + S * (c * x + (d - half) * y), 1e-4) << t;
    }
    EXPECT_LT(metal.back(), 330);
    EXPECT_LT(std::fabs(r.pull.energy.relative()), 1e-9);
}

}  // namespace idle_tests

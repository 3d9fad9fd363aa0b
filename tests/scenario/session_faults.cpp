// What a session can do at a stated time: fans, a pump that dies or draws air, ice that is put in.
#include <pullcast/study/session_words.hpp>

#include "shipped.hpp"

namespace session_faults_tests {

using namespace shipped;

/// Three pulls with a step between them and the settings of each kind of step.
Study day(const std::string& variants, const std::string& between, const std::string& later = "") {
    const auto text = "rig = \"" + (scenarios() / "rigs/hillclimb-v6-day.toml").string() + "\"\n" + variants + R"(
[session]
steps = ["pull", "wait", "later"]
[step.pull]
kind = "pull"
[step.wait]
kind = "idle"
lasts = "3 min"
[step.wait.set]
)" + between + R"(
[step.later]
kind = "pull"
[step.later.set]
)" + later;
    return read_study(
        std::make_shared<const SourceFile>(SourceFile{(scenarios() / "studies/made.toml").string(), text}), registry());
}

constexpr const char* one_car = "[variant.car]\n";

SessionResult run(const Study& study, std::size_t variant = 0) {
    auto result = run_sessions(study, 1)[variant];
    EXPECT_EQ(result.failure, "");
    return result;
}

double value(const SessionPart& part, const std::string& channel, bool at_end = true) {
    const auto column = PullView(*part.network, part.pull).find(channel);
    EXPECT_TRUE(column) << channel;
    return part.pull.at(at_end ? part.pull.points() - 1 : 0, *column);
}

void expect_closed_books(const SessionResult& day) {
    const auto books = ledger_of(day);
    EXPECT_LT(std::fabs(books.energy.relative()), 1e-6);
    EXPECT_LT(std::fabs(books.coolant.relative()), 1e-8);
}

TEST(SessionFault, AFanBetweenPullsBringsTheCoolantDownAndAShutOneDoesNot) {
    const auto still = run(day(one_car, "\"front.face_velocity\" = \"0 m/s\""));
    const auto fan = run(day(one_car, "\"front.face_velocity\" = \"5 m/s\""));
    EXPECT_EQ(still.parts[0].after, fan.parts[0].after);
    EXPECT_LT(value(fan.parts[1], "core_in.coolant.T"), value(still.parts[1], "core_in.coolant.T") - 3);
    EXPECT_LT(value(fan.parts[2], "sensor.reading"), value(still.parts[2], "sensor.reading") - 1);
    expect_closed_books(fan);
}

TEST(SessionFault, APumpThatDiesForAPullLeavesTheCoolantStanding) {
    const auto sound = run(day(one_car, ""));
    const auto dead = run(day(one_car, "", "\"pump.health\" = 0.0"));
    EXPECT_EQ(sound.parts[1].after, dead.parts[1].after);  // until then the day is the same
    EXPECT_GT(value(sound.parts[2], "pump.flow"), 2e-4);
    EXPECT_LT(std::fabs(value(dead.parts[2], "pump.flow")), 0.1 * value(sound.parts[2], "pump.flow"));
    EXPECT_EQ(value(dead.parts[2], "pump.power"), 0);
    EXPECT_GT(value(dead.parts[2], "sensor.reading"), value(sound.parts[2], "sensor.reading") + 3);
    expect_closed_books(dead);
}

// Head and flow fall together along the loop's own curve: where it is all turbulent, flow goes with the root of head.
TEST(SessionFault, TrappedAirCostsHeadAndSoFlow) {
    const auto sound = run(day(one_car, ""));
    const auto airy = run(day(one_car, "", "\"pump.air_locked_fraction\" = 0.5"));
    const auto flow = [](const SessionResult& r) { return value(r.parts[2], "pump.flow"); };
    const auto head = [](const SessionResult& r) { return value(r.parts[2], "pump.head"); };
    const double exponent = std::log(flow(airy) / flow(sound)) / std::log(head(airy) / head(sound));
    EXPECT_LT(flow(airy), 0.9 * flow(sound));
    EXPECT_GT(exponent, 0.45);
    EXPECT_LT(exponent, 1);  // all laminar it would be 1
    EXPECT_GT(value(airy.parts[2], "sensor.reading"), value(sound.parts[2], "sensor.reading"));
    expect_closed_books(airy);
}

TEST(SessionFault, IcePutInBetweenPullsIsInTheBooksAndInTheAir) {
    const std::string tank =
        "[variant.car]\n[variant.car.set]\n\"reservoir.parts.tank\" = \"ice-tank-12\"\n"
        "\"reservoir.ice_mass\" = \"0 kg\"\n";
    const auto without = run(day(tank, ""));
    const auto with = run(day(tank, "\"reservoir.ice_feed\" = \"1 kg/min\""));
    double put_in = 0, melted = 0;
    for (const auto& a : with.parts[1].pull.accounts)
        if (a.component == "reservoir" && a.name == "filling") put_in = a.total;
    const auto& step = with.parts[1];
    const auto heat = *PullView(*step.network, step.pull).find("reservoir.melting_heat");
    for (std::size_t k = 1; k < step.pull.points(); ++k)
        melted += (step.pull.time[k] - step.pull.time[k - 1]) * (step.pull.at(k, heat) + step.pull.at(k - 1, heat)) / 2;
    constexpr double latent = 333.42e3;  // J/kg, IAPWS-06 ice against IAPWS-95 water
    EXPECT_NEAR(value(step, "reservoir.ice_left"), 3 - melted / latent, 0.01);
    EXPECT_LT(put_in, -3 * latent);  // what runs off is warmer than the water that the ice becomes
    EXPECT_GT(put_in, -3 * (latent + 60 * 4200));
    EXPECT_LT(value(with.parts[2], "sensor.reading"), value(without.parts[2], "sensor.reading") - 5);
    expect_closed_books(with);
}

}  // namespace session_faults_tests

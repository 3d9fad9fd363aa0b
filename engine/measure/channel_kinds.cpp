#include <algorithm>
#include <numbers>
#include <pullcast/measure/channel_kinds.hpp>

namespace pullcast::measure {
namespace {

using enum Rails;

constexpr double rpm = std::numbers::pi / 30, deg = std::numbers::pi / 180, kPa = 1e3, degC = 273.15, kW = 1e3,
                 litre_a_minute = 1e-3 / 60;

// Ranges are wide: they catch open and shorted sensors, not odd readings. Accuracies are assumptions about workshop
// sensors with their logger and mounting; a mapping states better ones.
constexpr ChannelKind kinds[] = {
    {"speed", "rad/s", "crank speed", 0, 12000 * rpm, 0, 0.005, 200 * rpm, 1, none, true},
    {"manifold_pressure", "Pa", "pressure in the intake manifold, absolute", 5 * kPa, 500 * kPa, 2 * kPa, 0, 8 * kPa, 1,
     top, false},
    {"barometer", "Pa", "ambient pressure", 50 * kPa, 110 * kPa, 0.3 * kPa, 0, 2 * kPa, 0, none, false},
    {"intake_temperature", "K", "intake temperature at the sensor", degC - 38, degC + 180, 2, 0, 6, 4, top, false},
    {"ambient_temperature", "K", "temperature of the air drawn in", degC - 38, degC + 60, 1.5, 0, 5, 0, none, false},
    {"humidity", "1", "relative humidity of the air drawn in", 0, 1, 0.05, 0, 0.2, 0, none, false},
    {"coolant_in_temperature", "K", "charge coolant before the core", degC - 38, degC + 140, 2, 0, 6, 0, top, false},
    {"coolant_out_temperature", "K", "charge coolant after the core", degC - 38, degC + 140, 2, 0, 6, 0, top, false},
    {"engine_coolant_temperature", "K", "engine coolant", degC - 38, degC + 150, 2, 0, 6, 0, top, false},
    {"blower_outlet_temperature", "K", "charge behind the blower", degC - 38, degC + 300, 3, 0, 8, 4, top, false},
    {"blower_speed", "rad/s", "speed of the blower's driven rotor", 0, 100000 * rpm, 0, 0.005, 500 * rpm, 1, none,
     true},
    {"throttle", "1", "opening of the throttle", -0.05, 1.05, 0.02, 0, 0, 0, none, true},
    {"spark", "rad", "spark advance before top centre", -40 * deg, 70 * deg, 1 * deg, 0, 8 * deg, 0, none, false},
    {"lambda", "1", "air over stoichiometric air", 0.5, 2, 0, 0.02, 0.1, 2, both, false},
    {"wheel_power", "W", "power at the wheels", -500 * kW, 2000 * kW, 0, 0.02, 20 * kW, 1, none, true},
    {"wheel_torque", "N m", "torque at the wheels", -5000, 20000, 0, 0.02, 100, 1, none, true},
    {"vehicle_speed", "m/s", "speed of the car", 0, 140, 0, 0.01, 3, 1, none, true},
    {"drum_speed", "rad/s", "speed of the dyno's roller", 0, 700, 0, 0.005, 5, 1, none, true},
    {"coolant_flow", "m^3/s", "flow of the charge coolant", 0, 300 * litre_a_minute, 0, 0.05, 5 * litre_a_minute, 0,
     none, true}};

}  // namespace

std::span<const ChannelKind> channel_kinds() { return kinds; }

const ChannelKind* find_kind(std::string_view name) {
    const auto at = std::find_if(std::begin(kinds), std::end(kinds), [&](const auto& k) { return k.name == name; });
    return at == std::end(kinds) ? nullptr : at;
}

}  // namespace pullcast::measure

#include <algorithm>
#include <cmath>
#include <pullcast/study/curves.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast {
namespace {

using Values = std::vector<double>;
using View = const PullView&;

Values column(View v, std::optional<std::size_t> at) {
    Values out;
    for (std::size_t k = 0; at && k < v.points(); ++k) out.push_back(v.pull().at(k, *at));
    return out;
}
Values of(View v, const char* role, const char* item) { return column(v, v.find(role, item)); }

/// What a knock model says, from when boost is there: while the throttle opens nothing is said about knock. A second
/// opinion needs a first one.
Values knock(View v, const char* item, std::size_t model) {
    if (!v.find("knock", item)) return {};
    Values out = column(v, v.find("knock", item, model));
    if (!out.empty()) std::fill_n(out.begin(), v.after(boost_settles), std::nan(""));
    return out;
}

Values boost(View v) {
    Values out;
    if (!v.find("breathing", "air_flow") || !v.find("ambient", "air.p")) return out;
    for (std::size_t k = 0; k < v.points(); ++k) out.push_back(v.boost(k));
    return out;
}

const PullCurve table[] = {
    {"crank_power", "crank power", "W", "power", 1, "net of the blower drive, no correction",
     [](View v) { return of(v, "load", "crank_power"); }},
    {"wheel_power", "wheel power", "W", "power", 1, "after driveline and tyre losses, no correction",
     [](View v) { return of(v, "load", "wheel_power"); }},
    {"crank_torque", "crank torque", "N m", "torque", 1, "net of the blower drive, no correction",
     [](View v) { return of(v, "load", "crank_torque"); }},
    {"boost", "boost", "Pa", "boost", 1, "manifold above ambient", boost},
    {"air_flow", "air flow", "kg/s", "air_flow", 1, "moist air into the cylinders",
     [](View v) { return of(v, "breathing", "air_flow"); }},
    {"intake_temperature", "intake temperature (sensor)", "K", "temperature", 1,
     "what the sensor reads, its lag included", [](View v) { return of(v, "sensor", "reading"); }},
    {"charge_temperature", "charge temperature", "K", "temperature", 1, "gas in the manifold, no lag",
     [](View v) { return column(v, v.find(v.manifold_node() + ".T")); }},
    {"blower_outlet", "blower outlet temperature", "K", "temperature", 1, "air that leaves the blower",
     [](View v) { return of(v, "blower", "outlet_temperature"); }},
    {"coolant_in", "coolant into the core", "K", "temperature", 1, "what cools the core, at its inlet",
     [](View v) { return of(v, "cooler", "coolant_in"); }},
    {"coolant_out", "coolant out of the core", "K", "temperature", 1, "what cools the core, at its outlet",
     [](View v) { return of(v, "cooler", "coolant_out"); }},
    {"reservoir", "coolant in the reservoir", "K", "temperature", 1, "mixed, as the pump draws it",
     [](View v) { return of(v, "reservoir", "temperature"); }},
    {"blower_speed", "blower speed", "rad/s", "speed", 0, "rotor speed",
     [](View v) { return of(v, "blower", "speed"); }},
    {"drive_power", "blower drive power", "W", "power", 1, "shaft power that the blower takes",
     [](View v) { return of(v, "blower", "drive_power"); }},
    {"belt_slip", "belt slip", "1", "slip", 2, "lost surface speed of the rotor pulley, creep included",
     [](View v) { return of(v, "drive", "slip"); }},
    {"knock_margin", "knock margin", "rad", "spark", 1,
     "spark that could be added before knock by the first knock model", [](View v) { return knock(v, "margin", 0); },
     "knock_margin_second"},
    {"knock_margin_second", "knock margin, second model", "rad", "spark", 1,
     "the band reaches to what the second model says (primed letters): so wide is the doubt",
     [](View v) { return knock(v, "margin", 1); }},
    {"spark", "spark advance", "rad", "spark", 1, "before top dead centre, trims and knock limit included",
     [](View v) { return of(v, "calibration", "spark"); }},
    {"table_spark", "spark of the table", "rad", "spark", 1, "before trims and knock limit",
     [](View v) { return of(v, "calibration", "table_spark"); }},
    {"knock_limited_spark", "knock-limited spark", "rad", "spark", 1,
     "spark at which the first knock model expects knock", [](View v) { return knock(v, "limited_spark", 0); }},
};

}  // namespace

std::span<const PullCurve> curves() { return table; }

const std::vector<Chart>& charts() {
    static const std::vector<Chart> all = {
        {"power",
         "Power and torque",
         "Uncorrected, net of what the blower takes.",
         {"crank_power", "wheel_power", "crank_torque"}},
        {"boost",
         "Boost and air flow",
         "At one pulley, cooler charge needs less boost for the same air: read both.",
         {"boost", "air_flow"}},
        {"knock",
         "Knock margin and its doubt",
         "A trend, not a promise: knock detection and a licensed tuner decide.",
         {"knock_margin"}},
        {"temperature",
         "Intake and charge temperature",
         "The sensor lags behind the charge: it reads low while the charge warms.",
         {"intake_temperature", "charge_temperature", "blower_outlet"}},
        {"coolant",
         "Coolant temperatures",
         "A core in a cold loop flatters a short pull; watch what comes back.",
         {"coolant_in", "coolant_out", "reservoir"}},
        {"blower",
         "Blower speed and drive power",
         "What the pulley asks of rotors and belt.",
         {"blower_speed", "drive_power"}},
        {"belt", "Belt slip", "Creep is a few tenths of a per cent; a climb with speed is gross slip.", {"belt_slip"}},
        {"spark",
         "Spark",
         "What trims and knock limit take from the table costs power; the knock limit is a trend, not a permission.",
         {"spark", "table_spark", "knock_limited_spark"}},
    };
    return all;
}

}  // namespace pullcast

#include <cmath>
#include <pullcast/media/correction.hpp>
#include <pullcast/media/humidity.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast {
namespace {

using View = const PullView&;

double peak(View v, const char* item) { return v.largest("load", item); }
double corrected(View v, const char* item, Standard s) { return peak(v, item) * correction(v, s).factor; }
double at_worst_knock(View v, const char* role, const char* item, std::size_t n = 0) {
    const auto worst = worst_knock(v);
    return worst ? v.at(role, item, *worst, n) : std::nan("");
}
double second_margin(View v) { return at_worst_knock(v, "knock", "margin", 1); }
double smallest_second_margin(View v) {
    const auto worst = worst_knock(v, 1);
    return worst && worst_knock(v) ? v.at("knock", "margin", *worst, 1) : std::nan("");
}
/// Where nothing is connected to compare with, a loss of 0 would be no finding.
double retard_loss(View v) {
    const auto* torque = v.part("torque");
    const bool compared = torque && torque->connections.contains("table_spark");
    return compared ? v.at("torque", "retard_loss", v.peak_power()) : std::nan("");
}

template <Standard s, int item> double power_or_torque(View v) {
    constexpr const char* items[] = {"crank_power", "wheel_power", "crank_torque", "wheel_torque"};
    return corrected(v, items[item], s);
}
constexpr auto none = Standard::none, j1349 = Standard::sae_j1349, iso = Standard::iso_1585;

const Figure table[] = {
    {"crank_power", "peak power, crank", "Power", "W", "power", 1, "net of blower drive, as measured (no correction)",
     power_or_torque<none, 0>},
    {"crank_power_j1349", "  SAE J1349", "Power", "W", "power", 1, "peak crank power times the SAE J1349 factor",
     power_or_torque<j1349, 0>},
    {"crank_power_iso1585", "  ISO 1585", "Power", "W", "power", 1, "peak crank power times the ISO 1585 factor",
     power_or_torque<iso, 0>},
    {"wheel_power", "peak power, wheel", "Power", "W", "power", 1, "after driveline and tyre losses, no correction",
     power_or_torque<none, 1>},
    {"wheel_power_j1349", "  SAE J1349", "Power", "W", "power", 1, "peak wheel power times the SAE J1349 factor",
     power_or_torque<j1349, 1>},
    {"wheel_power_iso1585", "  ISO 1585", "Power", "W", "power", 1, "peak wheel power times the ISO 1585 factor",
     power_or_torque<iso, 1>},
    {"peak_power_speed", "speed at peak power", "Power", "rad/s", "speed", 0,
     "crank speed where crank power is highest", [](View v) { return v.speed(v.peak_power()); }},
    {"crank_torque", "peak torque, crank", "Power", "N m", "torque", 1, "net of blower drive, no correction",
     power_or_torque<none, 2>},
    {"crank_torque_j1349", "  SAE J1349", "Power", "N m", "torque", 1, "peak crank torque times the SAE J1349 factor",
     power_or_torque<j1349, 2>},
    {"crank_torque_iso1585", "  ISO 1585", "Power", "N m", "torque", 1, "peak crank torque times the ISO 1585 factor",
     power_or_torque<iso, 2>},
    {"wheel_torque", "peak torque, wheel", "Power", "N m", "torque", 1,
     "referred to the crank by the gear, no correction", power_or_torque<none, 3>},
    {"wheel_torque_j1349", "  SAE J1349", "Power", "N m", "torque", 1, "peak wheel torque times the SAE J1349 factor",
     power_or_torque<j1349, 3>},
    {"wheel_torque_iso1585", "  ISO 1585", "Power", "N m", "torque", 1, "peak wheel torque times the ISO 1585 factor",
     power_or_torque<iso, 3>},
    {"pull_time", "pull time", "Power", "s", "time", 2, "from throttle opening to the stop speed",
     [](View v) { return v.time(v.last()); }},

    {"boost_start", "boost at start", "Air", "Pa", "boost", 1, "manifold above ambient, 0.5 s after the throttle opens",
     [](View v) { return v.boost(v.after(boost_settles)); }},
    {"boost_peak_power", "boost at peak power", "Air", "Pa", "boost", 1,
     "manifold above ambient where crank power is highest", [](View v) { return v.boost(v.peak_power()); }},
    {"boost_redline", "boost at redline", "Air", "Pa", "boost", 1, "manifold above ambient at the end of the pull",
     [](View v) { return v.boost(v.last()); }},
    {"air_flow_redline", "air flow at redline", "Air", "kg/s", "air_flow", 1, "moist air into the cylinders at the end",
     [](View v) { return v.at("breathing", "air_flow", v.last()); }},

    {"charge_start", "charge at start", "Temperature", "K", "temperature", 1,
     "gas in the manifold when the throttle opens", [](View v) { return v.manifold("T", 0); }},
    {"charge_peak_power", "charge at peak power", "Temperature", "K", "temperature", 1,
     "gas in the manifold where crank power is highest", [](View v) { return v.manifold("T", v.peak_power()); }},
    {"charge_redline", "charge at redline", "Temperature", "K", "temperature", 1, "gas in the manifold at the end",
     [](View v) { return v.manifold("T", v.last()); }},
    {"charge_rise", "charge rise", "Temperature", "dK", "temperature", 1, "redline minus start",
     [](View v) { return v.manifold("T", v.last()) - v.manifold("T", 0); }},
    {"intake_start", "intake at start (sensor)", "Temperature", "K", "temperature", 1,
     "what the sensor reads, its lag included", [](View v) { return v.at("sensor", "reading", 0); }},
    {"intake_peak_power", "intake at peak power (sensor)", "Temperature", "K", "temperature", 1,
     "what the sensor reads where crank power is highest",
     [](View v) { return v.at("sensor", "reading", v.peak_power()); }},
    {"intake_redline", "intake at redline (sensor)", "Temperature", "K", "temperature", 1,
     "what the sensor reads at the end", [](View v) { return v.at("sensor", "reading", v.last()); }},
    {"blower_outlet", "hottest blower outlet", "Temperature", "K", "temperature", 1,
     "highest temperature of the air that leaves the blower",
     [](View v) { return v.largest("blower", "outlet_temperature"); }},

    {"blower_speed", "highest blower speed", "Blower and belt", "rad/s", "speed", 0, "rotor speed",
     [](View v) { return v.largest("blower", "speed"); }},
    {"pressure_ratio", "highest pressure ratio", "Blower and belt", "1", "pressure_ratio", 3,
     "blower outlet over inlet", [](View v) { return v.largest("blower", "pressure_ratio"); }},
    {"drive_power", "highest blower drive power", "Blower and belt", "W", "power", 1,
     "shaft power that the blower takes", [](View v) { return v.largest("blower", "drive_power"); }},
    {"belt_slip", "largest belt slip", "Blower and belt", "1", "slip", 2,
     "lost surface speed of the rotor pulley, creep included", [](View v) { return v.largest("drive", "slip"); }},
    {"belt_margin", "smallest belt slip margin", "Blower and belt", "1", "slip_margin", 0,
     "torque capacity over torque, less one", [](View v) { return v.smallest("drive", "slip_margin"); }},

    {"effectiveness_start", "core effectiveness at start", "Cooler and coolant", "1", "effectiveness", 1,
     "0.5 s after the throttle opens; the wall's stored cold takes part",
     [](View v) { return v.at("cooler", "effectiveness", v.after(boost_settles)); }},
    {"effectiveness_redline", "core effectiveness at redline", "Cooler and coolant", "1", "effectiveness", 1,
     "at the end of the pull", [](View v) { return v.at("cooler", "effectiveness", v.last()); }},
    {"coolant_in_redline", "coolant into core at redline", "Cooler and coolant", "K", "temperature", 1,
     "at the end of the pull", [](View v) { return v.at("cooler", "coolant_in", v.last()); }},
    {"coolant_out_redline", "coolant out of core at redline", "Cooler and coolant", "K", "temperature", 1,
     "at the end of the pull", [](View v) { return v.at("cooler", "coolant_out", v.last()); }},
    {"reservoir_start", "reservoir at start", "Cooler and coolant", "K", "temperature", 1, "when the throttle opens",
     [](View v) { return v.at("reservoir", "temperature", 0); }},
    {"reservoir_redline", "reservoir at redline", "Cooler and coolant", "K", "temperature", 1, "at the end of the pull",
     [](View v) { return v.at("reservoir", "temperature", v.last()); }},
    {"coolant_flow", "coolant flow", "Cooler and coolant", "m^3/s", "coolant_flow", 1,
     "through the pump at the end of the pull", [](View v) { return v.at("pump", "flow", v.last()); }},

    {"knock_margin", "smallest margin", "Knock", "rad", "spark", 1,
     "spark that could be added at the worst speed, by the first knock model; a trend, not a promise",
     [](View v) { return at_worst_knock(v, "knock", "margin"); }},
    {"knock_margin_speed", "  at crank speed", "Knock", "rad/s", "speed", 0, "where the margin is smallest",
     [](View v) { return at_worst_knock(v, "load", "speed"); }},
    {"knock_margin_octane", "  in octane numbers", "Knock", "1", "octane", 1,
     "octane number of the fuel less the one that is needed there",
     [](View v) { return at_worst_knock(v, "knock", "margin_octane"); }},
    {"knock_headroom", "  charge could be hotter by", "Knock", "dK", "temperature", 1,
     "how much hotter the charge could be there at the same pressure and spark; below zero: would have to be cooler",
     [](View v) { return at_worst_knock(v, "knock", "headroom"); }},
    {"knock_limited_spark", "  knock-limited spark", "Knock", "rad", "spark", 1,
     "spark there at which the first model expects knock",
     [](View v) { return at_worst_knock(v, "knock", "limited_spark"); }},
    {"knock_margin_second", "  margin by second model", "Knock", "rad", "spark", 1,
     "what the rig's second knock model says of the same point", second_margin},
    {"knock_doubt", "  the two models differ by", "Knock", "rad", "spark", 1,
     "how far the two models are apart there: read the margin with so much doubt",
     [](View v) { return std::fabs(second_margin(v) - at_worst_knock(v, "knock", "margin")); }},
    {"knock_smallest_second", "smallest by second model", "Knock", "rad", "spark", 1,
     "the second model's own smallest margin, at whatever speed", smallest_second_margin},

    {"spark_peak_power", "spark at peak power", "Spark", "rad", "spark", 1,
     "before top centre, trims and limit included",
     [](View v) { return v.at("calibration", "spark", v.peak_power()); }},
    {"spark_loss_peak_power", "power lost to spark", "Spark", "W", "power", 1,
     "at peak power, against spark of best torque",
     [](View v) { return v.at("torque", "spark_loss", v.peak_power()); }},
    {"retard_loss_peak_power", "  against the table's spark", "Spark", "W", "power", 1,
     "of it: what temperature trims and knock limit took; negative: spark is nearer to best torque than the table's",
     retard_loss},

    {"ledger_energy", "energy residual", "Ledger", "1", "residual", -1,
     "unexplained energy over what passed through, whole run", [](View v) { return v.pull().energy.relative(); }},
    {"ledger_gas", "air mass residual", "Ledger", "1", "residual", -1, "unexplained gas mass over what passed through",
     [](View v) { return v.pull().gas.relative(); }},
    {"ledger_water", "vapour mass residual", "Ledger", "1", "residual", -1,
     "unexplained vapour mass over what passed through", [](View v) { return v.pull().water.relative(); }},
    {"ledger_coolant", "coolant mass residual", "Ledger", "1", "residual", -1,
     "change of coolant mass over what the rig holds or passed", [](View v) { return v.pull().coolant.relative(); }},
};

}  // namespace

std::span<const Figure> figures() { return table; }

bool is_reviewed(const Figure& figure) { return std::string_view(figure.group) == "Knock"; }

std::optional<std::size_t> worst_knock(const PullView& v, std::size_t model) {
    const auto margin = v.find("knock", "margin", model);
    if (!margin) return std::nullopt;
    std::size_t worst = v.after(boost_settles);
    for (std::size_t k = worst; k < v.points(); ++k)
        if (v.pull().at(k, *margin) < v.pull().at(worst, *margin)) worst = k;
    return worst;
}

AppliedCorrection correction(const PullView& v, Standard standard) {
    if (standard == Standard::none) return {1, true, ""};
    if (!v.find("ambient", "air.p")) return {std::nan(""), false, "the rig has no ambient to correct from"};
    const double p = v.at("ambient", "air.p", 0), T = v.at("ambient", "air.T", 0), w = v.at("ambient", "air.w", 0);
    const double p_dry = p - media::vapour_pressure(w, p);
    const auto c = standard == Standard::sae_j1349 ? media::sae_j1349(p_dry, T) : media::iso_1585(p_dry, T);
    return {c.factor, c.in_range, c.note};
}

}  // namespace pullcast

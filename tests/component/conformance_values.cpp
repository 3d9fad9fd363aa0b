// Invented values of a plausible size, marked as such: they exercise a component, they describe nobody's part.
#include "conformance_values.hpp"

namespace pullcast::test {

const std::vector<NumberRow> conformance_numbers{
    // gas
    {"gas.restriction", "rated_flow", 0.2},
    {"gas.restriction", "rated_pressure_drop", 2000},
    {"gas.restriction_zeta", "zeta", 2},
    {"gas.restriction_zeta", "area", 0.003},
    {"gas.throttle", "bore", 0.09},
    {"gas.throttle_slide", "open_area", 0.006},
    {"", "volume", 0.004},
    // blower, drive
    {"", "displacement", 0.0015},
    {"", "speed_limit", 1500},
    {"blower.geometric", "clearance_area", 1.2e-5},
    {"blower.geometric", "rated_speed", 1300},
    {"", "crank_pulley_diameter", 0.17},
    {"", "pulley_diameter", 0.075},
    // cooler
    {"cooler.finned", "height", 0.1},
    {"cooler.finned", "width", 0.3},
    {"cooler.finned", "depth", 0.06},
    {"cooler.finned", "tube_count", 10},
    {"cooler.rated", "rated_conductance", 250},
    {"cooler.air_to_air", "rated_conductance", 150},
    // engine, knock
    {"", "bore", 0.095},
    {"", "stroke", 0.09},
    {"", "compression_ratio", 9.5},
    // load
    {"load.roller", "gear_ratio", 4},
    {"load.roller", "drum_radius", 0.4},
    {"load.roller", "drum_inertia", 150},
};
const std::vector<CurveRow> conformance_curves{
    {"engine.calibration", "intake_trim", {250, 300, 330, 450}, {0.01, 0, -0.03, -0.2}},
    {"engine.calibration", "coolant_trim", {250, 350, 370, 450}, {0.05, 0, -0.02, -0.2}},
    {"coolant.pump", "head_curve", {0, 2e-4, 4e-4, 6e-4}, {5.5e4, 4.8e4, 3e4, 4e3}},
};
// The maps reach well beyond the drawn speeds and pressures, so that a drawn line does not cross an edge of a table.
const std::vector<MapRow> conformance_maps{
    {"blower.map", "volumetric_efficiency", {1, 700, 1300, 2000}, {1.05, 1.5, 2.0, 9},
     {0.85, 0.76, 0.70, 0.60, 0.94, 0.90, 0.86, 0.70, 0.96, 0.93, 0.90, 0.75, 0.95, 0.93, 0.91, 0.76}},
    {"blower.map", "isentropic_efficiency", {1, 700, 1300, 2000}, {1.05, 1.5, 2.0, 9},
     {0.45, 0.50, 0.45, 0.30, 0.55, 0.65, 0.62, 0.35, 0.52, 0.64, 0.63, 0.36, 0.48, 0.60, 0.61, 0.35}},
    {"engine.calibration", "spark_table", {-200, 100, 400, 1300}, {1e4, 8e4, 1.5e5, 3e5},
     {0.20, 0.18, 0.10, 0.05, 0.45, 0.35, 0.22, 0.12, 0.60, 0.48, 0.35, 0.25, 0.62, 0.50, 0.38, 0.28}},
    {"engine.calibration", "lambda_table", {-200, 100, 400, 1300}, {1e4, 8e4, 1.5e5, 3e5},
     {1, 1, 0.95, 0.88, 1, 0.99, 0.9, 0.85, 1, 0.96, 0.87, 0.82, 0.98, 0.92, 0.84, 0.8}},
    {"engine.breathing_table", "table", {-200, 100, 400, 1300}, {1e4, 8e4, 1.5e5, 3e5},
     {0.5, 0.7, 0.75, 0.78, 0.6, 0.8, 0.85, 0.88, 0.65, 0.9, 0.95, 0.97, 0.6, 0.82, 0.88, 0.9}},
};
const std::vector<SignalRow> conformance_signals{
    {"spark", 0, 0.6},        {"lambda", 0.78, 1.05},  {"air", 0, 0.4},    {"exhaust_pressure", 1.0e5, 1.8e5},
    {"intake", 270, 380},     {"flow", 0, 0.4},        {"airflow", 0, 30}, {"limit", -0.2, 1.5},
    {"best_spark", 0.1, 0.8}, {"table_spark", 0, 0.6},
};
const std::vector<NeedRow> conformance_needs{
    {"spark_mode", "held_back", "limit"},
    {"spark_mode", "at_limit", "limit"},
    {"spark_mode", "at_limit", "best_spark"},
};

}  // namespace pullcast::test

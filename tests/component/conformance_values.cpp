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
};
const std::vector<CurveRow> conformance_curves{};
const std::vector<MapRow> conformance_maps{};
const std::vector<SignalRow> conformance_signals{
    {"spark", 0, 0.6},      {"lambda", 0.78, 1.05},        {"air", 0, 0.4},    {"exhaust_pressure", 1.0e5, 1.8e5},
    {"intake", 270, 380},   {"flow", 0, 0.4},              {"airflow", 0, 30},
};

}  // namespace pullcast::test

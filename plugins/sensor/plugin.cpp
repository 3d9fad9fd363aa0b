/// Sensors: what a logger sees instead of the gas. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(sensor, "0.1.0", sensor_lag(), sensor_lag_flow());

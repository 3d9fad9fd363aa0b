/// Charge coolers: charge air, core metal and coolant in one component. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(cooler, "0.1.0", cooler_finned(), cooler_rated(), cooler_air_to_air(), cooler_duct());

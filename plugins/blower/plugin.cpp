/// Positive-displacement blowers: rotor, casing and the charge that passes. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(blower, "0.1.0", blower_geometric(), blower_map());

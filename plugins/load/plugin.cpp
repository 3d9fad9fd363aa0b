/// Dyno loads; each owns the crank. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(load, "0.1.0", load_roller(), load_brake(), load_locked());

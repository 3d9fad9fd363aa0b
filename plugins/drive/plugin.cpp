/// Drives from the crank to the blower's rotors. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(drive, "0.1.0", drive_belt(), drive_rigid());

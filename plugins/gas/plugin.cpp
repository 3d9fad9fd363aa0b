/// Gas path: outside air, losses, throttle, volumes and the bypass valve. Equations: README.md.
#include "components.hpp"

PULLCAST_PLUGIN(gas, "0.1.0", gas_ambient(), gas_ambient_altitude(), gas_restriction(), gas_restriction_zeta(),
                gas_throttle(), gas_throttle_slide(), gas_volume(), gas_volume_adiabatic(), gas_bypass(),
                gas_bypass_blanked());

#include "components.hpp"

PULLCAST_PLUGIN(coolant, "0.1.0", coolant_pump(), coolant_pump_fixed(), coolant_joint(), coolant_joint_expansion(),
                coolant_hose(), coolant_hose_short(), coolant_reservoir(), coolant_reservoir_ice(),
                coolant_front_exchanger(), coolant_front_exchanger_rated());

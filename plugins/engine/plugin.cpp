#include "components.hpp"

PULLCAST_PLUGIN(engine, "0.1.0", engine_calibration(), engine_calibration_fixed(), engine_breathing_table(),
                engine_breathing_physical(), engine_torque(), engine_torque_willans(), engine_thermal_lump(),
                engine_thermal(), engine_soak_path(), engine_soak_path_air(),
                engine_bay(), engine_bay_open());

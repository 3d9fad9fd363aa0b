/// The component types of this family; each is made in the .cpp of its name.
#pragma once
#include <pullcast/plugin.hpp>

const pullcast::ComponentType* engine_calibration();
const pullcast::ComponentType* engine_calibration_fixed();
const pullcast::ComponentType* engine_breathing_table();
const pullcast::ComponentType* engine_breathing_physical();
const pullcast::ComponentType* engine_torque();
const pullcast::ComponentType* engine_torque_willans();
const pullcast::ComponentType* engine_thermal_lump();
const pullcast::ComponentType* engine_thermal();
const pullcast::ComponentType* engine_soak_path();
const pullcast::ComponentType* engine_soak_path_air();
const pullcast::ComponentType* engine_bay();
const pullcast::ComponentType* engine_bay_open();

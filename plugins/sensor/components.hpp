/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* sensor_lag();
const pullcast::ComponentType* sensor_lag_flow();

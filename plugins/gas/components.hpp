/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* gas_ambient();
const pullcast::ComponentType* gas_ambient_altitude();
const pullcast::ComponentType* gas_restriction();
const pullcast::ComponentType* gas_restriction_zeta();
const pullcast::ComponentType* gas_throttle();
const pullcast::ComponentType* gas_throttle_slide();
const pullcast::ComponentType* gas_volume();
const pullcast::ComponentType* gas_volume_adiabatic();
const pullcast::ComponentType* gas_bypass();
const pullcast::ComponentType* gas_bypass_blanked();

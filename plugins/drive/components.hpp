/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* drive_belt();
const pullcast::ComponentType* drive_rigid();

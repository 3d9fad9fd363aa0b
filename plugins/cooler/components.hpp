/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* cooler_finned();
const pullcast::ComponentType* cooler_rated();
const pullcast::ComponentType* cooler_air_to_air();
const pullcast::ComponentType* cooler_duct();

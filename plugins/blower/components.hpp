/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* blower_geometric();
const pullcast::ComponentType* blower_map();

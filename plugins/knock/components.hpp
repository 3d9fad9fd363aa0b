/// The component types of this family; each is made in the .cpp of its name.
#pragma once
#include <pullcast/plugin.hpp>

const pullcast::ComponentType* knock_end_gas();
const pullcast::ComponentType* knock_octane_rules();
const pullcast::ComponentType* knock_none();

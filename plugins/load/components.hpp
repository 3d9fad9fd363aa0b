/// The component types of this family; plugin.cpp lists them.
#pragma once
#include <pullcast/sdk.hpp>

const pullcast::ComponentType* load_roller();
const pullcast::ComponentType* load_brake();
const pullcast::ComponentType* load_locked();

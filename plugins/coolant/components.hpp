/// The component types of this family; each is made in the .cpp of its name.
#pragma once
#include <pullcast/plugin.hpp>

const pullcast::ComponentType* coolant_pump();
const pullcast::ComponentType* coolant_pump_fixed();
const pullcast::ComponentType* coolant_joint();
const pullcast::ComponentType* coolant_joint_expansion();
const pullcast::ComponentType* coolant_hose();
const pullcast::ComponentType* coolant_hose_short();
const pullcast::ComponentType* coolant_reservoir();
const pullcast::ComponentType* coolant_reservoir_ice();
const pullcast::ComponentType* coolant_front_exchanger();
const pullcast::ComponentType* coolant_front_exchanger_rated();

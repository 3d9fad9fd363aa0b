/// The settings of [procedure] against its schema.
#pragma once
#include <pullcast/scenario/rig_file.hpp>
#include <pullcast/scenario/scenario.hpp>
#include <span>

namespace pullcast {

std::span<const Field> procedure_fields();

/// Values of the settings, presets elsewhere. What is wrong goes to the diagnostics.
Procedure read_procedure(const Section& settings, Diagnostics& d);

/// The value of a field of procedure_fields(), SI.
double value_of(const Procedure& p, const Field& field);

}  // namespace pullcast

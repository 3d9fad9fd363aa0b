/// Everything that a plugin author includes. Media (moist air, coolant, fuels) are in <pullcast/media/...>.
#pragma once
#include <pullcast/domains.hpp>
#include <pullcast/dual.hpp>
#include <pullcast/plugin.hpp>
#include <pullcast/schema.hpp>
#include <pullcast/smooth.hpp>
#include <pullcast/tables.hpp>
#include <pullcast/views.hpp>

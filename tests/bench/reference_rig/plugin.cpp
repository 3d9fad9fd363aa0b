/// The reference rig's components as a plugin: only for tests and benchmarks.
#include "components.hpp"

using namespace pullcast;

PULLCAST_PLUGIN(reference, "0.1.0", component<reference::Ambient>("reference.ambient"),
                component<reference::Throttle>("reference.throttle"), component<reference::Volume>("reference.volume"),
                component<reference::Blower>("reference.blower"), component<reference::Cooler>("reference.cooler"),
                component<reference::CoolantLoop>("reference.coolant"),
                component<reference::Engine>("reference.engine"),
                component<reference::Crank>("reference.crank"), component<reference::Sensor>("reference.sensor"));

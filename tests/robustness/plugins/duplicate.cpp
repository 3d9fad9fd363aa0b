// Takes a name that a built-in plugin has.
#include "sample.hpp"
PULLCAST_PLUGIN(duplicate, "0.1", component<Sample<Fault::none>>("gas.restriction"));

#include "sample.hpp"
PULLCAST_PLUGIN(makes_nan, "0.1", component<Sample<Fault::makes_nan>>("test.makes_nan"));

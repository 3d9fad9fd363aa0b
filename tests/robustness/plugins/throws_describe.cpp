#include "sample.hpp"
PULLCAST_PLUGIN(throws_describe, "0.1", component<Sample<Fault::throws_in_describe>>("test.throws_describe"));

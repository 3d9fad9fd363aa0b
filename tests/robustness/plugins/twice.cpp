// Lists one type twice.
#include "sample.hpp"
PULLCAST_PLUGIN(twice, "0.1", component<Sample<Fault::none>>("test.twice"),
                component<Sample<Fault::none>>("test.twice"));

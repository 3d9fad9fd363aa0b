#include "sample.hpp"
PULLCAST_PLUGIN(undocumented, "0.1", component<Sample<Fault::no_doc>>("test.undocumented"));

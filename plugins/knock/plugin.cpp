#include "components.hpp"

PULLCAST_PLUGIN(knock, "0.1.0", knock_end_gas(), knock_octane_rules(), knock_none());

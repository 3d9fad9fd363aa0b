/// Where the text goes.
#pragma once
#include <cstddef>

namespace pullcast {

/// Columns of stdout's terminal; COLUMNS where set; 100 where stdout is no terminal. At least 40.
std::size_t terminal_width();

/// Messages on stderr may be coloured: it is a terminal, and NO_COLOR is not set.
bool coloured();

}  // namespace pullcast

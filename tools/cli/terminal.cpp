#include "terminal.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>

namespace pullcast {
namespace {

constexpr std::size_t narrowest = 40, widest = 1000, without_terminal = 100;

std::size_t columns() {
    if (const char* set = std::getenv("COLUMNS"))
        if (const int n = std::atoi(set); n > 0) return static_cast<std::size_t>(n);
    winsize size{};
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
    return without_terminal;
}

}  // namespace

std::size_t terminal_width() { return std::clamp(columns(), narrowest, widest); }

bool coloured() {
    const char* no_color = std::getenv("NO_COLOR");
    return isatty(STDERR_FILENO) && !(no_color && *no_color);
}

}  // namespace pullcast

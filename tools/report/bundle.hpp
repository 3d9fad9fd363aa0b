/// The built page (tools/page/bundle), compiled into the program.
#pragma once
#include <string_view>

namespace pullcast {

std::string_view page_script();
std::string_view page_style();

}  // namespace pullcast

/// The built pages (tools/page/bundle), compiled into the program.
#pragma once
#include <string_view>

namespace pullcast {

struct Bundle {
    std::string_view script, style;
};
Bundle page_bundle();  ///< of pages about pulls
Bundle more_bundle();  ///< of pages about days, lessons and choices of parts

}  // namespace pullcast

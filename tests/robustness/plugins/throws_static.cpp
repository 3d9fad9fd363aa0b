// A static initialiser that throws ends the process that loads it.
#include <stdexcept>
namespace {
struct Bang {
    Bang() { throw std::runtime_error("bang"); }
} bang;
}  // namespace
extern "C" __attribute__((visibility("default"))) const void* pullcast_manifest() { return &bang; }

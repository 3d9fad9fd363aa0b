// The right ABI number, but a struct of another size: built with changed headers.
#include <pullcast/sdk.hpp>
extern "C" __attribute__((visibility("default"))) const pullcast::Manifest* pullcast_manifest() {
    using namespace pullcast;
    static Manifest m{abi_version,
                      sizeof(Manifest),
                      sizeof(ComponentType),
                      8,
                      sizeof(Arena<double>),
                      sizeof(Arena<Dual>),
                      sizeof(Recorded),
                      "other_sdk",
                      "0",
                      nullptr,
                      0,
                      nullptr};
    return &m;
}

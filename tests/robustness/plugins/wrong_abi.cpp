// Says that it was built for another ABI.
#include <pullcast/sdk.hpp>
extern "C" __attribute__((visibility("default"))) const pullcast::Manifest* pullcast_manifest() {
    static pullcast::Manifest m{};
    m.abi = pullcast::abi_version + 1;
    return &m;
}

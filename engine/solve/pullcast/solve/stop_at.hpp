#pragma once
#include <cstddef>

namespace pullcast {

/// A channel that ends a run when it passes a value, from either side. One that is judged after a pull cannot.
struct StopAt {
    std::size_t channel;
    double threshold;
};

}  // namespace pullcast

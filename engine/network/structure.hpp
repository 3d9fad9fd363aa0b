/// Which states each row of the Jacobian, and each component's sweep, can depend on: from who is attached to what.
#pragma once
#include <pullcast/network/network.hpp>

namespace pullcast {

/// One component's place in the network. Nodes are numbered over all domains.
struct Wiring {
    std::vector<std::uint32_t> rows;      // own states and accounts
    std::vector<std::uint32_t> nodes;     // published
    std::vector<std::uint32_t> reads;     // read while publishing
    std::vector<std::uint32_t> attached;  // everything that the flow sweep sees
    std::vector<std::uint32_t> ends;      // attached nodes that it puts flows into
    bool flow = false, balance = false;   // has that sweep
};

struct Structure {
    Dependencies rows;
    std::vector<Network::Influence> influences;
};

/// `components` in publish order; rows from `states` on are accounts.
Structure derive_structure(const std::vector<Wiring>& components, std::size_t states, std::size_t rows,
                           std::size_t nodes);

}  // namespace pullcast

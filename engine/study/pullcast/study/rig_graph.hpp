/// A rig as a graph to be drawn: what is a storage, a link or a mere watcher, what runs between them and which way is
/// positive, and which channels tell most of each. Plain data; how it looks is for those who draw it.
#pragma once
#include <pullcast/network/network.hpp>
#include <string>
#include <vector>

namespace pullcast {

struct RigGraph {
    /// Storages hold something and are met at their nodes; links move something; the others look or command.
    enum class Kind { storage, link, watch };

    struct Component {
        std::string name, model, role, summary;
        Kind kind;
        std::vector<std::size_t> channels;  ///< into Network::channels(), most telling first, none told twice
    };
    /// One connection of the rig; two of them may run between the same components.
    struct Edge {
        std::string from, to;  ///< components; `from -> to` is the way that is positive, or from what is read
        int domain;            ///< id of a domain
        bool moves;            ///< false: `to` only reads
        bool outward;          ///< `from` declares the connection, otherwise `to`
        std::string label;     ///< moved: a node beside the storage's main one ("wall"); read: what for or which signal
    };
    std::vector<Component> components;  ///< in the order of the rig
    std::vector<Edge> edges;            ///< by component in that order, then by name of the connection
};

RigGraph rig_graph(const Network& network);

}  // namespace pullcast

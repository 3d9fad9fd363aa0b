#include "structure.hpp"

namespace pullcast {
namespace {

/// A set of state indices.
class Columns {
    std::vector<std::uint64_t> bits_;

public:
    explicit Columns(std::size_t n) : bits_((n + 63) / 64) {}
    void add(std::uint32_t i) { bits_[i / 64] |= std::uint64_t{1} << (i % 64); }
    void add(const Columns& c) {
        for (std::size_t k = 0; k < bits_.size(); ++k) bits_[k] |= c.bits_[k];
    }
    std::vector<std::uint32_t> list() const {
        std::vector<std::uint32_t> all;
        for (std::uint32_t i = 0; i < bits_.size() * 64; ++i)
            if (bits_[i / 64] >> (i % 64) & 1) all.push_back(i);
        return all;
    }
};

}  // namespace

Structure derive_structure(const std::vector<Wiring>& components, std::size_t states, std::size_t rows,
                           std::size_t nodes) {
    const std::size_t count = components.size();
    Structure s{Dependencies(rows), std::vector<Network::Influence>(count)};
    std::vector<Columns> own(count, Columns(states)), rate(count, Columns(states));
    std::vector<Columns> potential(nodes, Columns(states)), flow(nodes, Columns(states));
    const auto gather = [](Columns& into, const std::vector<std::uint32_t>& from, const std::vector<Columns>& what) {
        for (const auto node : from) into.add(what[node]);
    };

    for (std::size_t k = 0; k < count; ++k) {  // publish
        for (const auto row : components[k].rows)
            if (row < states) own[k].add(row);
        Columns c = own[k];
        gather(c, components[k].reads, potential);
        for (const auto node : components[k].nodes) potential[node].add(c);
        s.influences[k].publish = c.list();
    }
    for (std::size_t k = 0; k < count; ++k) {  // flow
        if (!components[k].flow) continue;
        Columns c = own[k];
        gather(c, components[k].attached, potential);
        gather(c, components[k].nodes, potential);
        rate[k].add(c);
        for (const auto node : components[k].ends) flow[node].add(c);
        for (const auto node : components[k].nodes) flow[node].add(c);
        s.influences[k].flow = c.list();
    }
    for (std::size_t k = 0; k < count; ++k) {  // balance
        if (components[k].balance) {
            rate[k].add(own[k]);
            gather(rate[k], components[k].nodes, potential);
            gather(rate[k], components[k].nodes, flow);
        }
        s.influences[k].balance = rate[k].list();
        for (const auto row : components[k].rows) {
            Columns with_diagonal = rate[k];
            if (row < states) with_diagonal.add(row);
            s.rows[row] = with_diagonal.list();
        }
    }
    return s;
}

}  // namespace pullcast

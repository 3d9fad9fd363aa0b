#include <algorithm>
#include <pullcast/network/directed_sweeps.hpp>
#include <stdexcept>

namespace pullcast {

namespace {

/// Flat indices of a domain's nodes, `width` numbers each, the domains one after the other.
struct Flat {
    std::uint32_t first[domain_count], width[domain_count];

    template <class Width> Flat(const std::uint32_t (&nodes)[domain_count], Width&& width_of) {
        std::uint32_t at = 0;
        for (std::uint8_t d = 0; d < domain_count; ++d) {
            first[d] = at;
            width[d] = static_cast<std::uint32_t>(width_of(domain_info(d)));
            at += nodes[d] * width[d];
        }
    }
    void add(std::vector<std::uint32_t>& to, const std::vector<std::uint32_t> (&nodes)[domain_count]) const {
        for (int d = 0; d < domain_count; ++d)
            for (const auto node : nodes[d])
                for (std::uint32_t m = 0; m < width[d]; ++m) to.push_back(first[d] + node * width[d] + m);
    }
};

void keep_unique(std::vector<std::uint32_t>& all) {
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
}

}  // namespace

DirectedSweeps::DirectedSweeps(const Network& network, std::vector<Shift> shifts)
    : network_(network),
      shifts_(std::move(shifts)),
      trial_(network),
      carrier_(network.channels_.size(), unconnected),
      owner_(network.channels_.size()) {
    const Flat potentials(network.node_count_, [](const DomainInfo& d) { return d.potential.size(); });
    const Flat flows(network.node_count_, [](const DomainInfo& d) { return d.flow_size; });
    for (const auto& c : network.instances_) {
        Writes w;
        potentials.add(w.potentials, c.nodes);
        flows.add(w.sums, c.nodes);
        flows.add(w.flows, c.ends);  // own nodes among them
        keep_unique(w.flows);
        writes_.push_back(std::move(w));
    }
    std::size_t rows = 0;
    for (const Shift& s : shifts_) {
        if (s.network->names_ != network.names_ || s.network->channels_.size() != network.channels_.size())
            throw std::invalid_argument("a shifted network must have the states and channels of the one it stands for");
        rows += network.instances_[s.component].own.size();
    }
    late_.reserve(rows);
    std::stable_sort(shifts_.begin(), shifts_.end(),
                     [](const Shift& a, const Shift& b) { return a.component < b.component; });
    for (std::uint8_t d = 0; d < domain_count; ++d)
        for (std::uint32_t node = 0; node < network.node_count_[d]; ++node)
            for (std::uint32_t m = 0; m < potentials.width[d]; ++m)
                carrier_[network.node_columns_[d][node] + m] = potentials.first[d] + node * potentials.width[d] + m;
    for (std::size_t k = 0; k < owner_.size(); ++k)
        owner_[k] = std::find_if(network.parts_.begin(), network.parts_.end(), [&](const Network::Part& p) {
                        return p.name == network.channels_[k].component;
                    })->id;
}

/// Own nodes' potentials; afterwards they are again as in `at`, for those who read them.
void DirectedSweeps::add_published(Workspace<Dual>& w, const Workspace<double>& at, const Shift& s) {
    const auto& c = s.network->instances_[s.component];
    c.type->publish(c.data, 1, s.component, &trial_.arena);
    for (const auto k : writes_[s.component].potentials) {
        w.potential_[k].d[s.lane] += s.weight * trial_.potential_[k];
        trial_.potential_[k] = at.potential_[k];
    }
}

void DirectedSweeps::add_flows(Workspace<Dual>& w, const Workspace<double>& at, const Shift& s) {
    const auto& c = s.network->instances_[s.component];
    const Writes& own = writes_[s.component];
    for (const auto row : c.own) trial_.dx[row] = 0;
    if (c.type->flow) {
        for (const auto k : own.flows) trial_.flow_[k] = 0;
        c.type->flow(c.data, 1, s.component, &trial_.arena);
        for (const auto k : own.flows) w.flow_[k].d[s.lane] += s.weight * trial_.flow_[k];
    }
    if (c.type->balance) {
        for (const auto k : own.sums) trial_.flow_[k] = at.flow_[k];
        c.type->balance(c.data, 1, s.component, &trial_.arena);
    }
    for (const auto row : c.own) late_.push_back({row, s.lane, s.weight * trial_.dx[row]});
}

bool DirectedSweeps::evaluate(Workspace<Dual>& w, const Workspace<double>& at) noexcept {
    w.arena.rejection = trial_.arena.rejection = {};
    w.arena.t = trial_.arena.t = at.arena.t;
    trial_.arena.recording = 0;
    std::copy(at.x.begin(), at.x.end(), trial_.x.begin());
    std::copy(at.potential_.begin(), at.potential_.end(), trial_.potential_.begin());
    auto s = shifts_.begin();
    for (const auto& b : network_.publish_) {
        b.type->publish_dual(b.first, b.count, b.id, &w.arena);
        while (s != shifts_.end() && s->component < b.id) ++s;
        for (; s != shifts_.end() && s->component < b.id + b.count; ++s) add_published(w, at, *s);
    }
    std::fill(w.flow_.begin(), w.flow_.end(), Dual());
    std::fill(w.dx.begin(), w.dx.end(), Dual());
    late_.clear();
    for (const Shift& shift : shifts_) add_flows(w, at, shift);
    for (const auto& b : network_.flow_) b.type->flow_dual(b.first, b.count, b.id, &w.arena);
    for (const auto& b : network_.balance_) b.type->balance_dual(b.first, b.count, b.id, &w.arena);
    for (const Late& l : late_) w.dx[l.row].d[l.lane] += l.rate;
    rejection_ = w.arena.rejection.count ? w.arena.rejection : trial_.arena.rejection;
    return rejection_.count == 0;
}

const Dual* DirectedSweeps::node_channel(const Workspace<Dual>& w, std::size_t k) const {
    return carrier_[k] == unconnected ? nullptr : &w.potential_[carrier_[k]];
}

double DirectedSweeps::output_channel(const Workspace<Dual>& w, const Workspace<double>& at, std::size_t k,
                                      const Network& moved, std::size_t lane, double shift) noexcept {
    const auto along = [&](const Dual& d, double value) { return value + shift * d.d[lane]; };
    const auto id = owner_[k];
    const auto& c = moved.instances_[id];
    std::transform(w.x.begin(), w.x.end(), at.x.begin(), trial_.x.begin(), along);
    std::transform(w.potential_.begin(), w.potential_.end(), at.potential_.begin(), trial_.potential_.begin(), along);
    trial_.arena.recording = 1;
    if (c.type->publish) c.type->publish(c.data, 1, id, &trial_.arena);
    if (c.type->flow) c.type->flow(c.data, 1, id, &trial_.arena);
    for (const auto s : writes_[id].sums) trial_.flow_[s] = along(w.flow_[s], at.flow_[s]);
    if (c.type->balance) c.type->balance(c.data, 1, id, &trial_.arena);
    return moved.channel(trial_, k);
}

}  // namespace pullcast

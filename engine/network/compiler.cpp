/// Turns a rig's description into a Network: resolves names, orders the publish sweep, lays components of one type side
/// by side, and notes who is attached to what for the Jacobian's structure.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <pullcast/network/names.hpp>
#include <pullcast/network/network.hpp>
#include <set>

#include "fields.hpp"
#include "structure.hpp"

namespace pullcast {
class NetworkCompiler {
public:
    NetworkCompiler(Network& network, const RigSpec& rig) : n_(network), rig_(rig) {}

    void run() {
        check_names();
        number_nodes();
        resolve_connections();
        order();
        give_up_if_any();
        lay_out();
        attach();
        set_parameters();
        number_states();
        find_breakpoints();
        make_batches();
        list_channels();
        give_up_if_any();
        find_structure();
    }

private:
    struct NodeRef { std::uint8_t domain; std::uint32_t index; std::size_t owner; std::string name; };

    Network& n_;
    const RigSpec& rig_;
    std::vector<RigProblem> problems_;
    std::map<std::string, NodeRef> nodes_;                         // "lid.gas"
    std::vector<std::map<std::string, const NodeRef*>> attached_;  // by spec, by key
    std::vector<std::size_t> order_;                               // storage order -> spec
    std::vector<std::uint32_t> rank_;                              // by spec

    void report(const std::string& component, const std::string& key, std::string message, std::string hint = "") {
        problems_.push_back({component, key, std::move(message), std::move(hint)});
    }
    void give_up_if_any() {
        if (!problems_.empty()) throw RigError(problems_);
    }

    void check_names() {
        std::set<std::string> seen;
        for (const auto& c : rig_.components) {
            if (!seen.insert(c.name).second)
                report(c.name, "", fmt::format("component '{}' stands twice in the rig", c.name));
            if (!c.type) report(c.name, "", fmt::format("component '{}' has no type", c.name));
        }
        if (rig_.components.empty()) report("", "", "the rig has no components");
        give_up_if_any();
    }

    void number_nodes() {
        for (std::size_t s = 0; s < rig_.components.size(); ++s)
            for (const auto& f : fields(*rig_.components[s].type)) {
                if (f.kind != Kind::node) continue;
                const auto name = rig_.components[s].name + "." + f.name;
                nodes_[name] = {f.domain, n_.node_count_[f.domain]++, s, name};
            }
    }

    /// "lid.gas", or "lid" where the component has one node of the domain.
    const NodeRef* find_node(const std::string& text, std::uint8_t domain) const {
        if (const auto at = nodes_.find(text); at != nodes_.end()) return &at->second;
        const NodeRef* only = nullptr;
        for (const auto& [name, node] : nodes_)
            if (rig_.components[node.owner].name == text && node.domain == domain) {
                if (only) return nullptr;
                only = &node;
            }
        return only;
    }

    void resolve_connections() {
        attached_.resize(rig_.components.size());
        for (std::size_t s = 0; s < rig_.components.size(); ++s) {
            const auto& c = rig_.components[s];
            std::vector<std::string> keys;
            for (const auto& f : fields(*c.type))
                if (attaches(f.kind)) keys.push_back(f.name), resolve(s, f);
            for (const auto& [key, node] : c.connections)
                if (std::find(keys.begin(), keys.end(), key) == keys.end())
                    report(c.name, key, fmt::format("{} has no end '{}'", c.type->name, key), nearest_name(key, keys));
        }
    }

    void resolve(std::size_t s, const Field& f) {
        const auto& c = rig_.components[s];
        const auto at = c.connections.find(f.name);
        if (at == c.connections.end()) {
            if (!f.optional && !attached_[s].count(f.name))
                report(
                    c.name, f.name,
                    fmt::format("'{}' must be connected to a {} node ({})", f.name, domain_info(f.domain).name, f.doc));
            attached_[s][f.name] = nullptr;
            return;
        }
        const NodeRef* node = find_node(at->second, f.domain);
        if (!node) {
            std::vector<std::string> names;
            for (const auto& [name, candidate] : nodes_)
                if (candidate.domain == f.domain) names.push_back(name);
            const auto near = nearest_name(at->second, names);
            report(c.name, f.name, fmt::format("no {} node '{}' in this rig", domain_info(f.domain).name, at->second),
                   near.empty() ? "" : fmt::format("did you mean '{}'?", near));
        } else if (node->domain != f.domain) {
            report(c.name, f.name,
                   fmt::format("'{}' is a {} node, '{}' wants a {} node", node->name, domain_info(node->domain).name,
                               f.name, domain_info(f.domain).name));
            node = nullptr;
        }
        attached_[s][f.name] = node;
    }

    /// Publish order: a component comes after the owners of the nodes that it reads.
    void order() {
        const auto count = rig_.components.size();
        std::vector<std::vector<std::size_t>> reads(count);
        for (std::size_t s = 0; s < count; ++s)
            for (const auto& f : fields(*rig_.components[s].type))
                if (f.kind == Kind::reads)
                    if (const auto* node = attached_[s][f.name]; node && node->owner != s)
                        reads[s].push_back(node->owner);
        rank_.assign(count, 0);
        std::vector<int> mark(count, 0);
        std::vector<std::size_t> path;
        const auto visit = [&](const auto& self, std::size_t s) -> void {
            if (mark[s] == 2) return;
            path.push_back(s);
            if (mark[s] == 1) return report_cycle(path), path.pop_back();
            mark[s] = 1;
            for (const auto r : reads[s]) self(self, r), rank_[s] = std::max(rank_[s], rank_[r] + 1);
            mark[s] = 2;
            path.pop_back();
        };
        for (std::size_t s = 0; s < count; ++s) visit(visit, s);
        order_.resize(count);
        std::iota(order_.begin(), order_.end(), 0);
        std::stable_sort(order_.begin(), order_.end(), [&](auto a, auto b) {
            if (rank_[a] != rank_[b]) return rank_[a] < rank_[b];
            return std::string_view(rig_.components[a].type->name) < rig_.components[b].type->name;
        });
    }

    void report_cycle(const std::vector<std::size_t>& path) {
        std::string loop;
        for (auto at = std::find(path.begin(), path.end(), path.back()); at != path.end(); ++at)
            loop += (loop.empty() ? "" : " reads ") + rig_.components[*at].name;
        report(rig_.components[path.back()].name, "", fmt::format("what it publishes depends on itself: {}", loop),
               "put a component with a state (a sensor, a volume) between them");
    }

    void lay_out() {
        std::size_t bytes = 0;
        std::vector<std::size_t> offset;
        for (const auto s : order_) {
            const auto& t = *rig_.components[s].type;
            bytes = (bytes + t.align - 1) / t.align * t.align;
            offset.push_back(bytes);
            bytes += t.size;
        }
        n_.storage_.reset(
            static_cast<std::byte*>(::operator new[](std::max<std::size_t>(bytes, 1), std::align_val_t{64})));
        for (std::size_t k = 0; k < order_.size(); ++k) {
            const auto& c = rig_.components[order_[k]];
            std::byte* at = n_.storage_.get() + offset[k];
            c.type->construct(at);
            n_.instances_.push_back({c.name, c.type, at, {}, {}, {}});
        }
        for (const auto& c : rig_.components) n_.parts_.push_back({c.name, c.type, {}, 0});
    }

    /// Nodes and attachments; a component's `prepare` sees them.
    void attach() {
        for (std::size_t k = 0; k < order_.size(); ++k) {
            const auto s = order_[k];
            auto& c = n_.instances_[k];
            n_.parts_[s].id = static_cast<std::uint32_t>(k);
            for (const auto& f : fields(*c.type)) {
                if (f.kind == Kind::node) {
                    const auto index = nodes_.at(c.name + "." + f.name).index;
                    write(c.data, f.offset, index);
                    c.nodes[f.domain].push_back(index);
                }
                if (!attaches(f.kind)) continue;
                const NodeRef* node = attached_[s].at(f.name);
                write(c.data, f.offset, node ? node->index : unconnected);
                if (!node) continue;
                n_.parts_[s].connections[f.name] = node->name;
                if (f.kind == Kind::end) c.ends[f.domain].push_back(node->index);
            }
            for (int d = 0; d < domain_count; ++d)
                c.ends[d].insert(c.ends[d].end(), c.nodes[d].begin(), c.nodes[d].end());
        }
    }

    void set_parameters() {
        for (std::size_t k = 0; k < order_.size(); ++k) {
            const auto& c = rig_.components[order_[k]];
            auto& instance = n_.instances_[k];
            for (const auto& f : fields(*c.type))
                if (parameter(f.kind)) set_parameter(c, f, instance.data);
            for (const auto& [key, v] : c.parameters)
                if (std::none_of(c.type->fields, c.type->fields + c.type->field_count,
                                 [&, &name = key](const Field& f) { return parameter(f.kind) && f.name == name; }))
                    report(c.name, key, fmt::format("{} has no parameter '{}'", c.type->name, key));
            if (!problems_.empty() || !c.type->prepare) continue;
            if (const Problem p = c.type->prepare(instance.data); p.why)
                report(c.name, p.parameter ? p.parameter : "", p.why);
        }
        give_up_if_any();
    }

    void set_parameter(const ComponentSpec& c, const Field& f, std::byte* object) {
        const auto at = c.parameters.find(f.name);
        if (at == c.parameters.end()) {
            if (f.kind == Kind::curve || f.kind == Kind::map || std::isnan(f.preset)) {
                if (!f.optional)
                    report(c.name, f.name, fmt::format("'{}' must be given ({}, {})", f.name, f.unit, f.doc));
            } else if (f.kind == Kind::number) {
                write(object, f.offset, f.preset);
            } else {
                write(object, f.offset, static_cast<std::int32_t>(f.preset));
            }
            return;
        }
        const ParameterValue& v = at->second;
        if (f.kind == Kind::number && std::holds_alternative<double>(v)) return write(object, f.offset, std::get<0>(v));
        if ((f.kind == Kind::integer || f.kind == Kind::choice) && std::holds_alternative<std::int32_t>(v))
            return write(object, f.offset, std::get<1>(v));
        if (f.kind == Kind::curve && std::holds_alternative<std::shared_ptr<const CurveData>>(v))
            return keep(object, f, std::get<2>(v));
        if (f.kind == Kind::map && std::holds_alternative<std::shared_ptr<const MapData>>(v))
            return keep(object, f, std::get<3>(v));
        report(c.name, f.name, fmt::format("'{}' was given a value of another kind", f.name));
    }

    template <class Data>
    void keep(std::byte* object, const Field& f, const std::shared_ptr<const Data>& data) {
        write(object, f.offset, data->view());
        n_.tables_.push_back(data);
    }

    /// States in storage order, then accounts; outputs.
    void number_states() {
        for (auto& c : n_.instances_)
            for (const auto& f : fields(*c.type))
                if (f.kind == Kind::output) write(c.data, f.offset, n_.output_count_++);
        for (const bool accounts : {false, true})
            for (auto& c : n_.instances_)
                for (const auto& f : fields(*c.type)) {
                    if (f.kind != (accounts ? Kind::account : Kind::state)) continue;
                    const auto first = static_cast<std::uint32_t>(n_.names_.size());
                    const std::uint32_t rows =
                        f.count == unconnected ? 1 : static_cast<std::uint32_t>(read<std::int32_t>(c.data, f.count));
                    write(c.data, f.offset, first);
                    if (f.count != unconnected) write(c.data, f.offset, States{first, rows});
                    for (std::uint32_t k = 0; k < rows; ++k) {
                        c.own.push_back(first + k);
                        n_.names_.push_back(f.count == unconnected ? c.name + "." + f.name
                                                                   : fmt::format("{}.{}[{}]", c.name, f.name, k));
                        if (!accounts) n_.nominal_.push_back(f.preset);
                    }
                    if (accounts) n_.accounts_.push_back({c.name, &f});
                }
    }

    void find_breakpoints() {
        std::set<double> times;
        for (const auto& c : n_.instances_)
            for (const auto& f : fields(*c.type))
                if (f.kind == Kind::number && f.breakpoint) times.insert(read<double>(c.data, f.offset));
        n_.breakpoints_.assign(times.begin(), times.end());
    }

    void make_batches() {
        const auto add = [&](std::vector<Network::Batch>& list, std::uint32_t k) {
            const auto& c = n_.instances_[k];
            if (!list.empty() && list.back().type == c.type && list.back().id + list.back().count == k &&
                rank_[order_[k]] == rank_[order_[k - 1]])
                ++list.back().count;
            else
                list.push_back({c.data, 1, k, c.type});
        };
        for (std::uint32_t k = 0; k < n_.instances_.size(); ++k) {
            const auto& t = *n_.instances_[k].type;
            if (t.publish) add(n_.publish_, k);
            if (t.flow) add(n_.flow_, k);
            if (t.balance) add(n_.balance_, k);
            if ((t.publish && !t.publish_dual) || (t.flow && !t.flow_dual) || (t.balance && !t.balance_dual))
                n_.differentiable_ = false;
        }
    }

    /// A signal that stands among the outputs too.
    static bool reported(const ComponentType& t, const Field& node) {
        return node.domain == Signal::id && std::any_of(t.fields, t.fields + t.field_count, [&](const Field& f) {
            return f.kind == Kind::output && std::string_view(f.name) == node.name;
        });
    }

    /// Where a domain's potentials begin in a workspace.
    std::uint32_t first_potential(std::uint8_t domain) const {
        std::uint32_t at = 0;
        for (std::uint8_t d = 0; d < domain; ++d)
            at += n_.node_count_[d] * static_cast<std::uint32_t>(domain_info(d).potential.size());
        return at;
    }

    /// Node potentials and outputs, in the order of the rig.
    void list_channels() {
        std::map<std::string, const Network::Instance*> instance;
        for (const auto& c : n_.instances_) instance[c.name] = &c;
        constexpr double inf = std::numeric_limits<double>::infinity();
        for (int d = 0; d < domain_count; ++d) n_.node_columns_[d].resize(n_.node_count_[d]);
        n_.output_columns_.resize(n_.output_count_);
        const auto next = [&] { return static_cast<std::uint32_t>(n_.channels_.size()); };
        for (const auto& spec : rig_.components)
            for (const auto& f : fields(*spec.type)) {
                if (f.kind == Kind::node && !reported(*spec.type, f)) {
                    const auto& info = domain_info(f.domain);
                    const auto node = nodes_.at(spec.name + "." + f.name).index;
                    n_.node_columns_[f.domain][node] = next();
                    for (std::uint32_t m = 0; m < info.potential.size(); ++m) {
                        const auto item = f.domain == Signal::id ? std::string(f.name)
                                                                 : fmt::format("{}.{}", f.name, info.potential[m]);
                        n_.channels_.push_back({spec.name + "." + item, spec.name, item,
                                                f.domain == Signal::id ? f.unit : info.unit[m], f.doc, &f, -inf, inf});
                        n_.places_.push_back({false, first_potential(f.domain) +
                                                         node * static_cast<std::uint32_t>(info.potential.size()) + m});
                    }
                } else if (f.kind == Kind::output) {
                    n_.output_columns_[read<std::uint32_t>(instance[spec.name]->data, f.offset)] = next();
                    if (const auto at = nodes_.find(spec.name + "." + f.name); at != nodes_.end())
                        n_.node_columns_[at->second.domain][at->second.index] = next();  // `reported`
                    n_.channels_.push_back(
                        {spec.name + "." + f.name, spec.name, f.name, f.unit, f.doc, &f, f.warn_lo, f.warn_hi});
                    n_.places_.push_back({true, read<std::uint32_t>(instance[spec.name]->data, f.offset)});
                }
            }
    }

    std::uint32_t global(const NodeRef& node) const {
        std::uint32_t before = 0;
        for (std::uint8_t d = 0; d < node.domain; ++d) before += n_.node_count_[d];
        return before + node.index;
    }

    Wiring wiring(std::size_t k) const {
        const auto& c = n_.instances_[k];
        Wiring w{c.own, {}, {}, {}, {}, c.type->flow != nullptr, c.type->balance != nullptr};
        for (const auto& f : fields(*c.type)) {
            if (f.kind == Kind::node) w.nodes.push_back(global(nodes_.at(c.name + "." + f.name)));
            const NodeRef* node = attaches(f.kind) ? attached_[order_[k]].at(f.name) : nullptr;
            if (!node) continue;
            w.attached.push_back(global(*node));
            if (f.kind == Kind::reads) w.reads.push_back(global(*node));
            if (f.kind == Kind::end) w.ends.push_back(global(*node));
        }
        return w;
    }

    void find_structure() {
        std::vector<Wiring> wirings;
        for (std::size_t k = 0; k < order_.size(); ++k) wirings.push_back(wiring(k));
        auto s = derive_structure(wirings, n_.state_count(), n_.size(), nodes_.size());
        n_.dependencies_ = std::move(s.rows);
        n_.influences_ = std::move(s.influences);
    }
};

Network::Network(const RigSpec& rig) { NetworkCompiler(*this, rig).run(); }

}  // namespace pullcast

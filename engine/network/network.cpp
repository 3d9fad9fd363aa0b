#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <pullcast/network/network.hpp>

namespace pullcast {

const DomainInfo& domain_info(std::uint8_t id) {
    static const DomainInfo all[domain_count] = {
        {"gas", {"p", "T", "h", "rho", "w"}, {"Pa", "K", "J/kg", "kg/m^3", "1"},
         {"pressure", "temperature", "specific enthalpy", "density", "mass fraction of water vapour"}, 3},
        {"coolant", {"p", "T", "h"}, {"Pa", "K", "J/kg"}, {"pressure", "temperature", "specific enthalpy"}, 2},
        {"heat", {"T"}, {"K"}, {"temperature"}, 1},
        {"shaft", {"omega"}, {"rad/s"}, {"speed"}, 1},
        {"signal", {"value"}, {"1"}, {"value"}, 0}};
    return all[id];
}

template <class S>
Workspace<S>::Workspace(const Network& n) : x(n.size()), dx(n.size()), output(n.output_count_, std::nan("")) {
    std::size_t potentials = 0, flows = 0;
    for (std::uint8_t d = 0; d < domain_count; ++d) {
        potentials += n.node_count_[d] * domain_info(d).potential.size();
        flows += n.node_count_[d] * domain_info(d).flow_size;
    }
    potential_.resize(potentials);
    flow_.resize(flows);
    S *p = potential_.data(), *f = flow_.data();
    for (std::uint8_t d = 0; d < domain_count; ++d) {
        arena.potential[d] = p;
        arena.flow[d] = f;
        p += n.node_count_[d] * domain_info(d).potential.size();
        f += n.node_count_[d] * domain_info(d).flow_size;
    }
    arena.x = x.data();
    arena.dx = dx.data();
    arena.output = output.data();
}
template class Workspace<double>;
template class Workspace<Dual>;

namespace {

template <class S> Sweep<S> publish_of(const ComponentType& t);
template <> Sweep<double> publish_of(const ComponentType& t) { return t.publish; }
template <> Sweep<Dual> publish_of(const ComponentType& t) { return t.publish_dual; }
template <class S> Sweep<S> flow_of(const ComponentType& t);
template <> Sweep<double> flow_of(const ComponentType& t) { return t.flow; }
template <> Sweep<Dual> flow_of(const ComponentType& t) { return t.flow_dual; }
template <class S> Sweep<S> balance_of(const ComponentType& t);
template <> Sweep<double> balance_of(const ComponentType& t) { return t.balance; }
template <> Sweep<Dual> balance_of(const ComponentType& t) { return t.balance_dual; }

template <class S>
void clear(std::vector<S>& v) {
    std::memset(static_cast<void*>(v.data()), 0, v.size() * sizeof(S));  // all-zero bytes are 0.0 and its derivatives
}

bool all_finite(const double* first, std::size_t n) {
    return std::all_of(first, first + n, [](double v) { return std::isfinite(v); });
}

}  // namespace

template <class S>
bool Network::sweep(Workspace<S>& w) const noexcept {
    w.arena.rejection = {};
    clear(w.flow_);
    clear(w.dx);
    for (const auto& b : publish_) publish_of<S>(*b.type)(b.first, b.count, b.id, &w.arena);
    for (const auto& b : flow_) flow_of<S>(*b.type)(b.first, b.count, b.id, &w.arena);
    for (const auto& b : balance_) balance_of<S>(*b.type)(b.first, b.count, b.id, &w.arena);
    return w.arena.rejection.count == 0;
}
bool Network::evaluate(Workspace<double>& w) const noexcept { return sweep(w); }
bool Network::evaluate(Workspace<Dual>& w) const noexcept { return sweep(w); }

Network::Active Network::active(std::span<const std::uint32_t> states) const {
    Active a;
    const auto touched = [&](const std::vector<std::uint32_t>& influence) {
        return std::any_of(states.begin(), states.end(),
                           [&](auto s) { return std::binary_search(influence.begin(), influence.end(), s); });
    };
    for (std::uint32_t k = 0; k < instances_.size(); ++k) {
        const Instance& c = instances_[k];
        const Influence& i = influences_[k];
        const Batch call{c.data, 1, k, c.type};
        if (c.type->publish && touched(i.publish)) a.publish.push_back(call);
        if (c.type->flow && touched(i.flow)) a.flow.push_back(call);
        if (c.type->balance && touched(i.balance)) a.balance.push_back(call);
    }
    return a;
}

bool Network::differentiate(Workspace<Dual>& w, const Workspace<double>& at, const Active& a) const noexcept {
    w.arena.rejection = {};
    std::copy(at.potential_.begin(), at.potential_.end(), w.potential_.begin());
    clear(w.flow_);
    clear(w.dx);
    for (const auto& c : a.publish) c.type->publish_dual(c.first, c.count, c.id, &w.arena);
    for (const auto& c : a.flow) c.type->flow_dual(c.first, c.count, c.id, &w.arena);
    for (std::size_t k = 0; k < w.flow_.size(); ++k) w.flow_[k].v = at.flow_[k];  // sums of all, not of the active ones
    for (const auto& c : a.balance) c.type->balance_dual(c.first, c.count, c.id, &w.arena);
    return w.arena.rejection.count == 0;
}

void Network::start(double* x) const {
    std::fill_n(x, size(), 0.0);
    for (const auto& c : instances_)
        if (c.type->start) c.type->start(c.data, x);
}

Stock Network::stored(const Part& part, const double* x) const {
    const auto& c = instances_.at(part.id);
    return c.type->stored ? c.type->stored(c.data, x) : Stock{};
}

Stock Network::stored(const double* x) const {
    Stock sum;
    for (const auto& c : instances_) {
        if (!c.type->stored) continue;
        const Stock s = c.type->stored(c.data, x);
        sum.energy += s.energy, sum.gas += s.gas, sum.water += s.water, sum.coolant += s.coolant;
    }
    return sum;
}

bool Network::publish(Workspace<double>& w) const noexcept {
    w.arena.rejection = {};
    for (const auto& b : publish_) b.type->publish(b.first, b.count, b.id, &w.arena);
    return w.arena.rejection.count == 0;
}

double Network::channel(const Workspace<double>& w, std::size_t k) const {
    return places_[k].is_output ? w.output[places_[k].index] : w.potential_[places_[k].index];
}

void Network::record(const Workspace<double>& w, double* row) const {
    for (std::size_t k = 0; k < places_.size(); ++k) row[k] = channel(w, k);
}

void Network::review(std::span<const double> time, std::span<double> values, std::optional<double> worst_from) const {
    Recorded r;
    r.points = static_cast<std::uint32_t>(time.size());
    r.channels = static_cast<std::uint32_t>(channels_.size());
    r.time = time.data();
    r.values = values.data();
    for (int d = 0; d < domain_count; ++d) r.node_column[d] = node_columns_[d].data();
    r.output_column = output_columns_.data();
    r.worst_only = worst_from.has_value();
    r.worst_from = worst_from.value_or(0);
    for (const auto& c : instances_)
        if (c.type->review) c.type->review(c.data, &r);
}

const Network::Part* Network::find_role(std::string_view role) const {
    const auto at = std::find_if(parts_.begin(), parts_.end(), [&](const Part& p) { return role == p.type->role; });
    return at == parts_.end() ? nullptr : &*at;
}

std::string Network::find_not_finite(Workspace<double>& w) const {
    clear(w.flow_);
    clear(w.dx);
    const auto bad_flow = [&](const Instance& c) -> std::string {
        for (const auto row : c.own)
            if (!std::isfinite(w.dx[row]))
                return fmt::format("{}: the rate of {} is not a number", c.name, names_[row]);
        for (std::uint8_t d = 0; d < domain_count; ++d)
            for (const auto node : c.ends[d]) {
                const auto width = static_cast<std::size_t>(domain_info(d).flow_size);
                if (!all_finite(static_cast<const double*>(w.arena.flow[d]) + node * width, width))
                    return fmt::format("{}: a {} flow is not a number", c.name, domain_info(d).name);
            }
        return "";
    };
    const auto bad_potential = [&](const Instance& c) -> std::string {
        for (std::uint8_t d = 0; d < domain_count; ++d)
            for (const auto node : c.nodes[d]) {
                const auto& info = domain_info(d);
                const auto* p = static_cast<const double*>(w.arena.potential[d]) + node * info.potential.size();
                for (std::size_t k = 0; k < info.potential.size(); ++k)
                    if (!std::isfinite(p[k]))
                        return fmt::format("{}: its {} ({}) is not a number", c.name, info.doc[k], info.name);
            }
        return "";
    };
    for (const auto row : {&publish_, &flow_, &balance_})
        for (const auto& b : *row)
            for (std::uint32_t k = 0; k < b.count; ++k) {
                const Instance& c = instances_[b.id + k];
                const auto call = row == &publish_ ? c.type->publish : row == &flow_ ? c.type->flow : c.type->balance;
                call(c.data, 1, b.id + k, &w.arena);
                if (auto why = row == &publish_ ? bad_potential(c) : bad_flow(c); !why.empty()) return why;
            }
    return "";
}

RigError::RigError(std::vector<RigProblem> p)
    : std::runtime_error(p.empty() ? "the rig cannot be compiled"
                                   : fmt::format("{}: {}", p[0].component, p[0].message)),
      problems(std::move(p)) {}

}  // namespace pullcast

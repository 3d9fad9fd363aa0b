/// A test bench for one component: it drives a `ComponentType` through its sweeps without a network around it.
///
///     Bench b(builtin("gas.volume"));                    // out of gas.so; or b(component<Mine>("my.type"))
///     b.set("volume", 0.003).set_choice("fin", "louver").set_curve("head", {0, 1}, {5e4, 0});
///     b.disconnect("surroundings");                      // an optional end left open (all others are connected)
///     ASSERT_EQ(b.prepare().why, nullptr);               // after the parameters, before anything below
///     b.start();                                         // initial states
///     b.gas("from") = media::gas_state(p, T, w);         // potentials of what it attaches to, by end name;
///     b.heat("metal").T = 350; b.shaft("crank").omega = 600; b.signal("spark").value = 0.3;
///     b.state("mass") = 0.004; b.state("wall", 2) = 310; // states by name, rows by cell
///     b.inject<Gas>("gas") = {0.1, 3e4, 0};              // what others put into a node that it publishes
///     b.evaluate();                                      // publish, flow, balance
///     b.flow_into<Gas>("from").m; b.rate("mass"); b.account("fuel"); b.output("speed"); b.stored().energy;
///     b.rejected();                                      // the reason, or nullptr
///     Derivatives d = b.evaluate_dual(); d("rate mass", "from.p");   // exact; names as in inputs() and results()
///
/// Handles that share a name share one node. Parameters have their presets already; bounds of the schema are checked.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstring>
#include <map>
#include <memory>
#include <new>
#include <pullcast/sdk.hpp>
#include <stdexcept>
#include <string>
#include <tuple>
#include <vector>

#include "bench_support.hpp"

namespace pullcast::test {

class Bench {
public:
    explicit Bench(const ComponentType* type) : type_(*type), body_(allocate(*type)) {
        type_.construct(body_.get());
        for (const Field& f : fields())
            if (is_scalar(f) && f.preset == f.preset) write(f, f.preset);
            else if (is_parameter(f)) missing_.push_back(f.name);
    }

    // ---- before prepare ----
    const ComponentType& type() const { return type_; }
    std::vector<Field> fields() const { return {type_.fields, type_.fields + type_.field_count}; }
    /// Required parameters that have not been set yet.
    const std::vector<std::string>& missing() const { return missing_; }
    /// A number or an integer, in SI. Throws where the schema forbids the value.
    Bench& set(const std::string& name, double number) {
        const Field& f = parameter(name, is_scalar);
        if (!(number >= f.lo && number <= f.hi))
            throw std::out_of_range(name + " = " + std::to_string(number) + " is outside the bounds of its schema");
        return write(f, number), given(name);
    }
    Bench& set_choice(const std::string& name, const std::string& choice) {
        const Field& f = parameter(name, [](const Field& g) { return g.kind == Kind::choice; });
        const std::string all = std::string("|") + f.choices + "|";
        const auto at = all.find("|" + choice + "|");
        if (at == std::string::npos) throw std::out_of_range(name + " has no choice " + choice);
        write(f, static_cast<double>(std::count(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(at), '|')));
        return given(name);
    }
    Bench& set_curve(const std::string& name, std::vector<double> x, std::vector<double> y) {
        const Field& f = parameter(name, [](const Field& g) { return g.kind == Kind::curve; });
        CurveData data{std::move(x), std::move(y), {}};
        data.dy = slopes(f.shape_preserving, data.x, data.y);
        curves_.push_back(std::make_unique<CurveData>(std::move(data)));
        member<Curve>(f) = curves_.back()->view();
        return given(name);
    }
    /// `values[i * y.size() + j]` stands at (x[i], y[j]).
    Bench& set_map(const std::string& name, std::vector<double> x, std::vector<double> y, std::vector<double> values) {
        const Field& f = parameter(name, [](const Field& g) { return g.kind == Kind::map; });
        auto data = with_slopes(f.shape_preserving, std::move(x), std::move(y), std::move(values));
        maps_.push_back(std::make_unique<MapData>(std::move(data)));
        member<Map>(f) = maps_.back()->view();
        return given(name);
    }
    /// Leaves an optional end, sees or reads open.
    Bench& disconnect(const std::string& name) { return open_.push_back(name), *this; }

    /// Fills in the handles and derives constants. Returns the component's own objection, or a missing parameter.
    Problem prepare() {
        if (!missing_.empty()) return {missing_.front().c_str(), "not set"};
        for (const Field& f : fields())
            if (f.kind >= Kind::node && f.kind <= Kind::reads) connect(f);
        const Problem problem = type_.prepare ? type_.prepare(body_.get()) : Problem{};
        if (problem.why) return problem;
        for (const Field& f : fields())
            if (f.kind == Kind::state) number_states(f);
        account_base_ = state_count_;
        for (const Field& f : fields()) number_outcomes(f);
        size_arenas();
        list_inputs();
        return {};
    }

    // ---- after prepare ----
    void start() {
        if (type_.start) type_.start(body_.get(), x_.data());
    }
    std::size_t state_count() const { return state_count_; }
    double& state(const std::string& name, std::size_t cell = 0) { return x_.at(state_at(name, cell)); }
    std::size_t cells(const std::string& state) const { return state_rows_.at(state).second; }
    template <class D> typename D::template Potential<double>& potential(const std::string& node) {
        using Potential = typename D::template Potential<double>;
        static_assert(sizeof(Potential) == sizeof(double) * domain_layout[D::id].potentials);
        return reinterpret_cast<Potential*>(potentials_[D::id].data())[node_at(node, D::id)];
    }
    auto& gas(const std::string& node) { return potential<Gas>(node); }
    auto& coolant(const std::string& node) { return potential<Coolant>(node); }
    auto& heat(const std::string& node) { return potential<Heat>(node); }
    auto& shaft(const std::string& node) { return potential<Shaft>(node); }
    auto& signal(const std::string& node) { return potential<Signal>(node); }
    /// What the rest of a rig puts into a node that this component publishes, added before its balance.
    template <class D> typename D::template Flow<double>& inject(const std::string& node) {
        return reinterpret_cast<typename D::template Flow<double>*>(injected_[D::id].data())[node_at(node, D::id)];
    }

    double time = 0;        ///< seen by the sweeps as v.time()
    bool recording = true;  ///< outputs are computed

    void evaluate() {
        Arena<double>& a = plain_;
        std::fill(dx_.begin(), dx_.end(), 0.0);
        for (auto& f : flows_) std::fill(f.begin(), f.end(), 0.0);
        a.t = time, a.recording = recording, a.rejection = {};
        a.x = x_.data(), a.dx = dx_.data(), a.output = outputs_.data();
        for (int d = 0; d < domain_count; ++d) a.potential[d] = potentials_[d].data(), a.flow[d] = flows_[d].data();
        if (type_.publish) type_.publish(body_.get(), 1, 0, &a);
        if (type_.flow) type_.flow(body_.get(), 1, 0, &a);
        for (int d = 0; d < domain_count; ++d)
            for (std::size_t i = 0; i < flows_[d].size(); ++i) flows_[d][i] += injected_[d][i];
        if (type_.balance) type_.balance(body_.get(), 1, 0, &a);
    }
    /// What evaluate() brought into a node, injected flows included.
    template <class D> const typename D::template Flow<double>& flow_into(const std::string& node) const {
        return reinterpret_cast<const typename D::template Flow<double>*>(flows_[D::id].data())[node_at(node, D::id)];
    }
    double rate(const std::string& state, std::size_t cell = 0) const { return dx_.at(state_at(state, cell)); }
    double account(const std::string& name) const {
        return dx_.at(account_base_ + Derivatives::index(accounts_, name));
    }
    double output(const std::string& name) const { return outputs_.at(Derivatives::index(output_names_, name)); }
    Stock stored() const { return stored(x_.data()); }
    Stock stored(const double* x) const { return type_.stored ? type_.stored(body_.get(), x) : Stock{}; }
    const Rejection& rejection() const { return plain_.rejection; }
    const Rejection& dual_rejection() const { return dual_.rejection; }
    const char* rejected() const { return plain_.rejection.count ? plain_.rejection.what : nullptr; }

    // ---- flat access: every state, potential and flow by position ----
    const std::vector<double>& states() const { return x_; }
    const std::vector<double>& rates() const { return dx_; }  // of states, then of accounts
    /// States ("mass", "wall[2]"), potentials of attached nodes ("from.p") and injected flows ("into gas.m").
    struct Input {
        std::string name;
        double* at;
        double nominal;        // of a state; 0 for others
        int domain = -1;       // of a potential or a flow
        bool injected = false;
        std::size_t position;  // in its array
    };
    const std::vector<Input>& inputs() const { return inputs_; }
    std::vector<Input>& inputs() { return inputs_; }
    /// "rate mass", "account fuel", "flow from.m", "potential gas.p" in the order of values().
    const std::vector<std::string>& results() const { return results_; }
    /// The numbers that the last evaluate() gave, in the order of results().
    std::vector<double> values() const {
        std::vector<double> out(dx_);
        for (const auto& [domain, position, is_flow] : result_places_)
            out.push_back((is_flow ? flows_ : potentials_)[domain][position]);
        return out;
    }
    struct NodeOf {
        std::string name;
        std::uint8_t domain;
        bool own;              // it publishes the node
        std::uint32_t index;   // within its domain
    };
    const std::vector<NodeOf>& nodes() const { return nodes_; }
    const std::vector<std::string>& output_names() const { return output_names_; }
    /// The component itself, for calls that take no arena.
    const void* body() const { return body_.get(); }
    bool has_node(const std::string& name) const {
        return std::any_of(nodes_.begin(), nodes_.end(), [&](const NodeOf& n) { return n.name == name; });
    }

    /// Exact derivatives of all results at the present inputs, `dual_width` inputs at a time.
    Derivatives evaluate_dual() {
        Derivatives out{results_, {}, {}};
        for (const auto& i : inputs_) out.inputs.push_back(i.name);
        out.d.assign(results_.size(), std::vector<double>(inputs_.size()));
        for (std::size_t first = 0; first < inputs_.size(); first += dual_width) {
            sweep_dual(first);
            const std::size_t count = std::min<std::size_t>(dual_width, inputs_.size() - first);
            const auto values = dual_values();
            for (std::size_t r = 0; r < values.size(); ++r)
                for (std::size_t k = 0; k < count; ++k) out.d[r][first + k] = values[r].d[k];
        }
        return out;
    }
    /// One pass of the dual sweeps, seeded along inputs first .. first + dual_width - 1.
    void sweep_dual(std::size_t first) {
        load_dual();
        const std::size_t count = std::min<std::size_t>(dual_width, inputs_.size() - first);
        for (std::size_t k = 0; k < count; ++k) dual_input(inputs_[first + k]).d[k] = 1;
        run_dual();
    }
    /// One pass along a direction in the space of inputs(); the derivatives are in dual_values()[...].d[0].
    void sweep_along(const std::vector<double>& direction) {
        load_dual();
        for (std::size_t i = 0; i < inputs_.size(); ++i) dual_input(inputs_[i]).d[0] = direction[i];
        run_dual();
    }
    std::vector<Dual> dual_values() const {
        std::vector<Dual> out(dual_dx_);
        for (const auto& [domain, position, is_flow] : result_places_)
            out.push_back((is_flow ? dual_flows_ : dual_potentials_)[domain][position]);
        return out;
    }

private:
    struct Release {
        std::align_val_t align;
        void operator()(void* p) const { ::operator delete(p, align); }
    };
    using Body = std::unique_ptr<void, Release>;
    template <class T> using PerDomain = std::array<std::vector<T>, domain_count>;

    static Body allocate(const ComponentType& t) {
        const std::align_val_t align{std::max<std::size_t>(t.align, alignof(std::max_align_t))};
        return Body(std::memset(::operator new(t.size, align), 0, t.size), Release{align});
    }
    static bool is_scalar(const Field& f) { return f.kind <= Kind::choice; }
    static bool is_parameter(const Field& f) { return f.kind <= Kind::map; }
    template <class T> T& member(const Field& f) const {
        return *reinterpret_cast<T*>(static_cast<std::byte*>(body_.get()) + f.offset);
    }
    void write(const Field& f, double number) {
        if (f.kind == Kind::number) member<double>(f) = number;
        else member<std::int32_t>(f) = static_cast<std::int32_t>(number);
    }
    template <class Wanted> const Field& parameter(const std::string& name, Wanted wanted) const {
        for (std::uint32_t i = 0; i < type_.field_count; ++i)
            if (wanted(type_.fields[i]) && type_.fields[i].name == name) return type_.fields[i];
        throw std::out_of_range(std::string(type_.name) + " has no such parameter of that kind: " + name);
    }
    Bench& given(const std::string& name) { return std::erase(missing_, name), *this; }

    // Every handle is a struct whose first member is the index.
    void connect(const Field& f) {
        const bool left_open = std::find(open_.begin(), open_.end(), f.name) != open_.end();
        if (left_open && !f.optional) throw std::invalid_argument(std::string(f.name) + " is not optional");
        member<std::uint32_t>(f) = left_open ? unconnected : node_index(f);
    }
    std::uint32_t node_index(const Field& f) {
        for (NodeOf& n : nodes_)
            if (n.name == f.name && n.domain == f.domain) return n.own |= f.kind == Kind::node, n.index;
        nodes_.push_back({f.name, f.domain, f.kind == Kind::node, node_counts_[f.domain]});
        return node_counts_[f.domain]++;
    }
    void number_states(const Field& f) {
        std::uint32_t n = 1;
        member<std::uint32_t>(f) = static_cast<std::uint32_t>(state_count_);
        if (f.count != unconnected) {
            Field length;
            length.offset = f.count;
            member<States>(f).n = n = static_cast<std::uint32_t>(member<std::int32_t>(length));
        }
        state_rows_[f.name] = {state_count_, n};
        for (std::uint32_t k = 0; k < n; ++k) {
            state_names_.push_back(f.count == unconnected ? f.name : f.name + ("[" + std::to_string(k) + "]"));
            nominals_.push_back(f.preset);
        }
        state_count_ += n;
    }
    void number_outcomes(const Field& f) {
        if (f.kind == Kind::account) {
            member<std::uint32_t>(f) = static_cast<std::uint32_t>(account_base_ + accounts_.size());
            accounts_.push_back(f.name);
        } else if (f.kind == Kind::output) {
            member<std::uint32_t>(f) = static_cast<std::uint32_t>(output_names_.size());
            output_names_.push_back(f.name);
        }
    }
    void size_arenas() {
        const std::size_t n = state_count_ + accounts_.size();
        x_.assign(n, 0), dx_.assign(n, 0), dual_x_.assign(n, 0), dual_dx_.assign(n, 0);
        outputs_.assign(output_names_.size(), 0);
        for (int d = 0; d < domain_count; ++d) {
            const std::size_t p = node_counts_[d] * domain_layout[d].potentials;
            const std::size_t f = node_counts_[d] * domain_layout[d].flows;
            potentials_[d].assign(p, 0), dual_potentials_[d].assign(p, 0);
            flows_[d].assign(f, 0), dual_flows_[d].assign(f, 0);
            injected_[d].assign(f, 0), dual_injected_[d].assign(f, 0);
        }
    }
    void list_inputs() {
        for (std::size_t i = 0; i < state_count_; ++i) {
            inputs_.push_back({state_names_[i], &x_[i], nominals_[i], -1, false, i});
            results_.push_back("rate " + state_names_[i]);
        }
        for (const auto& a : accounts_) results_.push_back("account " + a);
        for (const NodeOf& n : nodes_) {
            const DomainLayout& l = domain_layout[n.domain];
            for (std::size_t k = 0; k < l.potentials; ++k)
                list_potential(n, n.index * l.potentials + k, l.potential_names[k]);
            for (std::size_t k = 0; k < l.flows; ++k) list_flow(n, n.index * l.flows + k, l.flow_names[k]);
        }
    }
    void list_potential(const NodeOf& n, std::size_t position, const char* part) {
        const std::string name = n.name + "." + part;
        if (!n.own) return inputs_.push_back({name, &potentials_[n.domain][position], 0, n.domain, false, position});
        results_.push_back("potential " + name), result_places_.push_back({n.domain, position, false});
    }
    void list_flow(const NodeOf& n, std::size_t position, const char* part) {
        const std::string name = n.name + "." + part;
        results_.push_back("flow " + name), result_places_.push_back({n.domain, position, true});
        if (n.own) inputs_.push_back({"into " + name, &injected_[n.domain][position], 0, n.domain, true, position});
    }
    void load_dual() {
        std::copy(x_.begin(), x_.end(), dual_x_.begin());
        std::fill(dual_dx_.begin(), dual_dx_.end(), Dual(0));
        for (int d = 0; d < domain_count; ++d) {
            std::copy(potentials_[d].begin(), potentials_[d].end(), dual_potentials_[d].begin());
            std::copy(injected_[d].begin(), injected_[d].end(), dual_injected_[d].begin());
            std::fill(dual_flows_[d].begin(), dual_flows_[d].end(), Dual(0));
        }
    }
    Dual& dual_input(const Input& in) {
        if (in.domain < 0) return dual_x_[in.position];
        return (in.injected ? dual_injected_ : dual_potentials_)[static_cast<std::size_t>(in.domain)][in.position];
    }
    void run_dual() {
        Arena<Dual>& a = dual_;
        a.t = time, a.recording = 0, a.rejection = {};
        a.x = dual_x_.data(), a.dx = dual_dx_.data(), a.output = outputs_.data();
        for (int d = 0; d < domain_count; ++d)
            a.potential[d] = dual_potentials_[d].data(), a.flow[d] = dual_flows_[d].data();
        if (type_.publish_dual) type_.publish_dual(body_.get(), 1, 0, &a);
        if (type_.flow_dual) type_.flow_dual(body_.get(), 1, 0, &a);
        for (int d = 0; d < domain_count; ++d)
            for (std::size_t i = 0; i < dual_flows_[d].size(); ++i) dual_flows_[d][i] += dual_injected_[d][i];
        if (type_.balance_dual) type_.balance_dual(body_.get(), 1, 0, &a);
    }
    std::size_t state_at(const std::string& name, std::size_t cell) const {
        const auto found = state_rows_.find(name);
        if (found == state_rows_.end() || cell >= found->second.second)
            throw std::out_of_range(type_.name + (" has no state " + name + " cell " + std::to_string(cell)));
        return found->second.first + cell;
    }
    std::uint32_t node_at(const std::string& name, std::uint8_t domain) const {
        for (const NodeOf& n : nodes_)
            if (n.name == name && n.domain == domain) return n.index;
        throw std::out_of_range(std::string(type_.name) + " has no connected node of that domain: " + name);
    }

    const ComponentType& type_;
    Body body_;
    std::vector<std::string> missing_, open_, state_names_, accounts_, output_names_, results_;
    std::vector<std::unique_ptr<CurveData>> curves_;
    std::vector<std::unique_ptr<MapData>> maps_;
    std::vector<NodeOf> nodes_;
    std::array<std::uint32_t, domain_count> node_counts_{};
    std::map<std::string, std::pair<std::size_t, std::size_t>> state_rows_;
    std::size_t state_count_ = 0, account_base_ = 0;
    std::vector<double> nominals_, x_, dx_, outputs_;
    std::vector<Dual> dual_x_, dual_dx_;
    PerDomain<double> potentials_, flows_, injected_;
    PerDomain<Dual> dual_potentials_, dual_flows_, dual_injected_;
    std::vector<Input> inputs_;
    std::vector<std::tuple<std::uint8_t, std::size_t, bool>> result_places_;
    Arena<double> plain_;
    Arena<Dual> dual_;
};

}  // namespace pullcast::test

#include <algorithm>
#include <cmath>
#include <pullcast/solve/pull.hpp>
#include <pullcast/solve/rig_system.hpp>

namespace pullcast {
namespace {

std::optional<StopAbove> stop_rule(const Network& network, double speed) {
    const auto* load = network.find_role("load");
    if (!load || speed <= 0) return std::nullopt;
    const auto& channels = network.channels();
    for (std::size_t k = 0; k < channels.size(); ++k)
        if (channels[k].name == load->name + ".crank.omega") return StopAbove{k, speed};
    return std::nullopt;
}

std::vector<double> absolute_tolerances(const Network& network, double relative) {
    std::vector<double> atol;
    for (const double nominal : network.nominal()) atol.push_back(relative * nominal);
    atol.resize(network.size(), 1.0);  // accounts are outside the error norm; the integrator wants a number
    return atol;
}

/// Walks the pull from report point to report point.
class Recorder {
    const Network& network_;
    RigSystem& system_;
    Pull& pull_;
    double step_;
    std::vector<double> x_;
    std::size_t next_ = 0;

public:
    Recorder(const Network& network, RigSystem& system, Pull& pull, double step, double longest)
        : network_(network), system_(system), pull_(pull), step_(step), x_(system.size()) {
        constexpr double most = 4096;  // rows to make room for beforehand
        const auto rows = static_cast<std::size_t>(std::min(longest / step + 2, most));
        pull_.time.reserve(rows);
        pull_.values.reserve(rows * pull_.channels);
        pull_.sums.reserve(rows * network_.accounts().size());
        pull_.held.reserve(rows * network_.parts().size());
    }

    void first(const double* x) {
        add(0, x);
        next_ = 1;
    }
    /// Records every report point up to and including t.
    void up_to(double t, Integrator& integrator) {
        for (double at; (at = static_cast<double>(next_) * step_) <= t; ++next_) {
            integrator.interpolate(at, x_.data());
            add(at, x_.data());
        }
    }
    void add(double t, const double* x) {
        if (!pull_.time.empty() && t <= pull_.time.back()) return;
        pull_.time.push_back(t);
        pull_.values.resize(pull_.time.size() * pull_.channels);
        system_.record(t, x, pull_.values.data() + (pull_.time.size() - 1) * pull_.channels);
        pull_.sums.insert(pull_.sums.end(), x + network_.state_count(), x + network_.size());
        for (const auto& part : network_.parts()) pull_.held.push_back(network_.stored(part, x).energy);
    }
};

LedgerLine line(const Network& network, Ledger kind, double before, double after, const double* accounts) {
    LedgerLine l{.stored_change = after - before, .held = before};
    for (std::size_t k = 0; k < network.accounts().size(); ++k)
        if (network.accounts()[k].field->ledger == kind) (accounts[k] >= 0 ? l.into : l.out) += std::fabs(accounts[k]);
    return l;
}

void close_books(const Network& network, const Stock& before, const double* x, Pull& pull) {
    const Stock after = network.stored(x);
    const double* accounts = x + network.state_count();
    pull.energy = line(network, Ledger::energy, before.energy, after.energy, accounts);
    pull.gas = line(network, Ledger::gas, before.gas, after.gas, accounts);
    pull.water = line(network, Ledger::water, before.water, after.water, accounts);
    pull.coolant = line(network, Ledger::coolant, before.coolant, after.coolant, accounts);
    for (std::size_t k = 0; k < network.accounts().size(); ++k)
        pull.accounts.push_back({network.accounts()[k].component, network.accounts()[k].field->name,
                                 network.accounts()[k].field->ledger, accounts[k]});
}

}  // namespace

Pull run_pull(const Network& network, const PullPlan& plan) {
    RigSystem system(network, stop_rule(network, plan.stop_speed));
    Integrator::Options options;
    options.rtol = plan.tolerance;
    options.atol = absolute_tolerances(network, plan.tolerance);
    options.max_step = plan.longest_step;
    options.stock = plan.stock_solver;
    Integrator integrator(system, options);

    Pull pull;
    pull.channels = network.channels().size();
    std::vector<double> x(network.size());
    network.start(x.data());
    const Stock before = network.stored(x.data());

    std::vector<double> stops;
    for (const double t : network.breakpoints())
        if (t > -plan.settle && t < plan.longest) stops.push_back(t);
    if (plan.settle > 0) stops.push_back(0);
    stops.push_back(plan.longest);
    std::sort(stops.begin(), stops.end());
    stops.erase(std::unique(stops.begin(), stops.end()), stops.end());

    Recorder recorder(network, system, pull, plan.output_step, plan.longest);
    double t = -plan.settle;
    for (const double stop : stops) {
        integrator.start(t, x.data());
        if (t == 0) recorder.first(x.data());
        const auto end = integrator.advance(stop, [&](double reached) {
            if (plan.interrupt && *plan.interrupt) throw Interrupted();
            if (reached > 0) recorder.up_to(reached, integrator);
        });
        t = integrator.time();
        std::copy_n(integrator.state(), x.size(), x.data());
        if (end == Integrator::Stop::crossing) {
            pull.reached_stop_speed = true;
            break;
        }
    }
    recorder.add(t, x.data());
    network.review(pull.time, pull.values);
    close_books(network, before, x.data(), pull);
    pull.statistics = integrator.statistics();
    return pull;
}

}  // namespace pullcast

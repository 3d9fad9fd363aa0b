#include <algorithm>
#include <cmath>

#include "pull_course.hpp"

namespace pullcast {

std::optional<StopAt> stop_rule(const Network& network, double speed) {
    const auto* load = network.find_role("load");
    if (!load || speed <= 0) return std::nullopt;
    const auto& channels = network.channels();
    for (std::size_t k = 0; k < channels.size(); ++k)
        if (channels[k].name == load->name + ".crank.omega") return StopAt{k, speed};
    return std::nullopt;
}

std::vector<double> absolute_tolerances(const Network& network, double relative) {
    std::vector<double> atol;
    for (const double nominal : network.nominal()) atol.push_back(relative * nominal);
    atol.resize(network.size(), 1.0);  // accounts are outside the error norm; the integrator wants a number
    return atol;
}

std::vector<double> stop_times(const Network& network, const PullPlan& plan) {
    std::vector<double> stops;
    for (const double t : network.breakpoints())
        if (t > -plan.settle && t < plan.longest) stops.push_back(t);
    if (plan.settle > 0) stops.push_back(0);
    stops.push_back(plan.longest);
    std::sort(stops.begin(), stops.end());
    stops.erase(std::unique(stops.begin(), stops.end()), stops.end());
    return stops;
}

namespace {

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

Recorder::Recorder(const Network& network, RigSystem& system, const PullPlan& plan, const double* start, Pull& pull)
    : network_(network),
      system_(system),
      pull_(pull),
      before_(network.stored(start)),
      review_(plan.review),
      worst_from_(plan.worst_from) {
    constexpr double most = 4096;  // rows to make room for beforehand
    const auto rows = static_cast<std::size_t>(std::min(plan.longest / plan.output_step + 2, most));
    pull.channels = network.channels().size();
    pull.time.reserve(rows);
    pull.values.reserve(rows * pull.channels);
    pull.sums.reserve(rows * network.accounts().size());
    pull.held.reserve(rows * network.parts().size());
}

void Recorder::add(double t, const double* x) {
    pull_.time.push_back(t);
    pull_.values.resize(pull_.time.size() * pull_.channels);
    system_.record(t, x, pull_.values.data() + (pull_.time.size() - 1) * pull_.channels);
    pull_.sums.insert(pull_.sums.end(), x + network_.state_count(), x + network_.size());
    for (const auto& part : network_.parts()) pull_.held.push_back(network_.stored(part, x).energy);
}

void Recorder::finish(const double* x, const Integrator::Statistics& statistics) {
    if (review_) network_.review(pull_.time, pull_.values, worst_from_);
    close_books(network_, before_, x, pull_);
    pull_.statistics = statistics;
}

Pull run_pull(const Network& network, const PullPlan& plan) {
    std::vector<double> x(network.size());
    network.start(x.data());
    return run_pull(network, plan, stop_rule(network, plan.stop_speed), x);
}

Pull run_pull(const Network& network, const PullPlan& plan, const std::optional<StopAt>& until,
              std::vector<double>& x) {
    RigSystem system(network, until);
    Integrator integrator(system, {.rtol = plan.tolerance,
                                   .atol = absolute_tolerances(network, plan.tolerance),
                                   .max_step = plan.longest_step,
                                   .stock = plan.stock_solver});
    std::fill(x.begin() + static_cast<std::ptrdiff_t>(network.state_count()), x.end(), 0.0);
    Pull pull;
    Recorder recorder(network, system, plan, x.data(), pull);
    pull.reached_stop_speed = run_course(stop_times(network, plan), plan, integrator, x,
                                         [&](double t, const double* at) { recorder.add(t, at); });
    recorder.finish(x.data(), integrator.statistics());
    return pull;
}

}  // namespace pullcast

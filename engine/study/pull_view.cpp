#include <algorithm>
#include <cmath>
#include <pullcast/study/pull_view.hpp>

namespace pullcast {
namespace {
const double nothing = std::nan("");
}

PullView::PullView(const Network& network, const Pull& pull) : network_(network), pull_(pull) {
    if (const auto* breathing = network.find_role("breathing"))
        if (const auto at = breathing->connections.find("manifold"); at != breathing->connections.end())
            manifold_ = at->second;
    peak_power_ = peak_of("crank_power");
    peak_torque_ = peak_of("crank_torque");
}

std::optional<std::size_t> PullView::find(std::string_view name) const {
    const auto& all = network_.channels();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Channel& c) { return c.name == name; });
    if (at == all.end()) return std::nullopt;
    return static_cast<std::size_t>(at - all.begin());
}

const Network::Part* PullView::part(std::string_view role, std::size_t n) const {
    for (const auto& p : network_.parts())
        if (role == p.type->role && n-- == 0) return &p;
    return nullptr;
}

std::optional<std::size_t> PullView::find(std::string_view role, std::string_view item, std::size_t n) const {
    const auto* owner = part(role, n);
    if (!owner) return std::nullopt;
    const auto& all = network_.channels();
    const auto at = std::find_if(all.begin(), all.end(),
                                 [&](const Channel& c) { return c.component == owner->name && c.item == item; });
    if (at == all.end()) return std::nullopt;
    return static_cast<std::size_t>(at - all.begin());
}

double PullView::at(std::string_view role, std::string_view item, std::size_t point, std::size_t n) const {
    const auto column = find(role, item, n);
    return column ? pull_.at(point, *column) : nothing;
}

double PullView::extreme(std::string_view role, std::string_view item, bool (*better)(double, double)) const {
    const auto column = find(role, item);
    if (!column) return nothing;
    double best = pull_.at(0, *column);
    for (std::size_t k = 1; k < points(); ++k)
        if (better(pull_.at(k, *column), best)) best = pull_.at(k, *column);
    return best;
}
double PullView::largest(std::string_view role, std::string_view item) const {
    return extreme(role, item, [](double a, double b) { return a > b; });
}
double PullView::smallest(std::string_view role, std::string_view item) const {
    return extreme(role, item, [](double a, double b) { return a < b; });
}

double PullView::manifold(std::string_view potential, std::size_t point) const {
    const auto column = find(manifold_ + "." + std::string(potential));
    return column ? pull_.at(point, *column) : nothing;
}

double PullView::boost(std::size_t point) const { return manifold("p", point) - at("ambient", "air.p", point); }

std::size_t PullView::after(double t) const {
    const auto at = std::lower_bound(pull_.time.begin(), pull_.time.end(), t);
    return std::min<std::size_t>(at - pull_.time.begin(), last());
}

std::size_t PullView::peak_of(std::string_view item) const {
    const auto column = find("load", item);
    std::size_t best = 0;
    if (column)
        for (std::size_t k = 1; k < points(); ++k)
            if (pull_.at(k, *column) > pull_.at(best, *column)) best = k;
    return best;
}

}  // namespace pullcast

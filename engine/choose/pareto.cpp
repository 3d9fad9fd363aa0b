#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/pareto.hpp>
#include <stdexcept>

namespace pullcast::choose {
namespace {

/// A row as costs: less is better in every column.
struct Costs {
    std::vector<double> values;
    std::size_t index;
};

std::vector<Costs> as_costs(const std::vector<std::vector<double>>& rows, const std::vector<Better>& better) {
    std::vector<Costs> costs;
    for (std::size_t k = 0; k < rows.size(); ++k) {
        if (rows[k].size() != better.size())
            throw std::invalid_argument(
                fmt::format("row {} has {} columns, must be {}", k, rows[k].size(), better.size()));
        if (std::any_of(rows[k].begin(), rows[k].end(), [](double x) { return std::isnan(x); })) continue;
        costs.push_back({rows[k], k});
        for (std::size_t c = 0; c < better.size(); ++c)
            if (better[c] == Better::more) costs.back().values[c] *= -1;
    }
    return costs;
}

bool dominates(const Costs& one, const Costs& other) {
    bool better = false;
    for (std::size_t c = 0; c < one.values.size(); ++c) {
        if (one.values[c] > other.values[c]) return false;
        better = better || one.values[c] < other.values[c];
    }
    return better;
}

}  // namespace

std::vector<std::size_t> pareto_front(const std::vector<std::vector<double>>& rows, const std::vector<Better>& better) {
    // Who dominates a row comes before it in the order of the first column that differs, and a row that is dominated is
    // so by one on the front: each need be held only against the front so far.
    std::vector<Costs> costs = as_costs(rows, better);
    std::sort(costs.begin(), costs.end(), [](const Costs& a, const Costs& b) { return a.values < b.values; });
    std::vector<Costs> front;
    for (Costs& row : costs)
        if (std::none_of(front.begin(), front.end(), [&](const Costs& kept) { return dominates(kept, row); }))
            front.push_back(std::move(row));

    std::vector<std::size_t> indices;
    for (const Costs& row : front) indices.push_back(row.index);
    std::sort(indices.begin(), indices.end());
    return indices;
}

}  // namespace pullcast::choose

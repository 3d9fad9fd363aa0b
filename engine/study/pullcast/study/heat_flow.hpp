/// Where the work of compression went: cumulated energy between a few places of the charge side, from the pull's start.
///
///     belt -> charge air -> casing | walls | cooler | cylinders | (air held in the boxes)
///     pump -> cooler     -> core | coolant loop | outside air | (surroundings)
///
/// Metered flows are the accounts and stocks of the ledger, exact to its residual. Those in brackets are what is left
/// of a place's balance: they carry what no meter shows.
#pragma once
#include <pullcast/study/pull_view.hpp>
#include <span>

namespace pullcast {

struct HeatPlace {
    enum Role { source, through, end };
    const char *key, *label;
    Role role;
};
std::span<const HeatPlace> heat_places();

struct HeatFlow {
    const char *key, *from, *to, *doc;
    bool derived;  // what is left of the balance of `from`
};
std::span<const HeatFlow> heat_flows();

/// Reads the flows off a pull.
class HeatBooks {
public:
    /// The view must outlive the books.
    explicit HeatBooks(const PullView& view);

    /// The rig has a blower that meters its work and a cooler that meters its heat; without them there is no picture.
    bool complete() const;
    /// J from the pull's start to a report point, in the order of heat_flows(). Negative: the other way.
    std::vector<double> until(std::size_t point) const;

private:
    using Columns = std::vector<std::size_t>;
    Columns accounts(std::string_view role, std::string_view name) const;
    Columns parts(std::initializer_list<std::string_view> roles) const;
    double sum(const Columns& accounts, std::size_t point) const;
    double stored(const Columns& parts, std::size_t point) const;

    const PullView& view_;
    Columns work_, casing_, walls_, cooling_, breathed_, drawn_, pumped_, from_outside_, from_outside_of_core_;
    Columns core_, loop_;
};

}  // namespace pullcast

/// Values of a study's tables about a sweep; what is wrong goes to the diagnostics.
#pragma once
#include <pullcast/choose/sweep_choices.hpp>
#include <pullcast/scenario/keys.hpp>

namespace pullcast::choose {

inline constexpr std::int64_t most_levels = 1000;

class TableReader {
protected:
    TableReader(SweepChoices& out, Diagnostics& d) : read_(out), d_(d) {}

    static std::optional<double> number(const Value& v);
    std::optional<double> quantity(const Value& v, std::string_view unit, const std::string& key,
                                   const std::string& where);
    std::optional<std::size_t> whole(const Entry& e, const std::string& where, std::int64_t lowest,
                                     std::int64_t highest);
    /// Of a text. `or_price`: that is told as another possibility.
    const Figure* figure_named(const Value& key, bool or_price = false);
    std::size_t column_of(const Figure* f, std::size_t pull);

    SweepChoices& read_;
    Diagnostics& d_;
};

}  // namespace pullcast::choose

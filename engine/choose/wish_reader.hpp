/// Reads [wish.NAME] (sweep_choices.hpp), once the axes are read.
#pragma once
#include "table_reader.hpp"

namespace pullcast::choose {

class WishReader : TableReader {
public:
    WishReader(SweepChoices& out, Diagnostics& d) : TableReader(out, d) {}

    void read(const Entry& e);

private:
    std::optional<double> price_limit(const Entry& e, const std::string& where, Wish& w);
    std::optional<double> read_confidence(const Entry& e, const std::string& where);
    void read_preference(const Entry& e, const std::string& where, Wish& w);
    void read_on(const Entry& table, const std::string& where, Wish& w);
    std::optional<double> choice_of(const Knob& knob, const Value& v, const std::string& where);
};

}  // namespace pullcast::choose

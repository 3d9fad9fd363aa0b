/// What was repaired or left out while a log was read: every one is kept, with its lines.
#pragma once
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast::measure {

/// Lines of a file, from 1, both ends included.
struct Lines {
    std::uint32_t first = 0, last = 0;
};

/// One kind of repair in one column, or in whole rows.
struct Repair {
    std::string what;          // what was found and what became of it
    std::string example;       // the text of the first; "" where there is none
    std::uint32_t column = 0;  // from 1; 0: the whole row
    bool row_left_out = false;
    std::size_t count = 0;     // of cells or rows
    std::vector<Lines> lines;  // in the order in which they were met; neighbours joined

    std::uint32_t first_line() const { return lines.front().first; }
};

/// "14, 20-25, 31"; at most `most` runs, then "and 12 more".
std::string to_text(const std::vector<Lines>& lines, std::size_t most = 12);

/// Collects repairs; the same kind in the same column is one entry.
class Repairs {
public:
    /// `what` is a literal. A cell, or without `column` a row, that is used as repaired.
    void add(const char* what, std::uint32_t line, std::uint32_t column = 0, std::string_view example = {});
    /// A row (or a line that is none) that is not used.
    void leave_out(const char* what, std::uint32_t line, std::string_view example = {});

    const std::vector<Repair>& all() const { return all_; }
    std::size_t rows_left_out() const { return left_out_; }

private:
    Repair& entry(const char* what, std::uint32_t column, bool left_out, std::string_view example);
    std::vector<Repair> all_;
    std::map<std::pair<std::uint32_t, std::string_view>, std::size_t> index_;  // by column and kind
    std::size_t left_out_ = 0;
};

}  // namespace pullcast::measure

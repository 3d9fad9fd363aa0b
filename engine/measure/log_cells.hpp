/// Lines, cells and numbers of a log's text, without a judgement on them.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast::measure {

inline std::string_view trimmed(std::string_view s) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
    while (!s.empty() && blank(s.front())) s.remove_prefix(1);
    while (!s.empty() && blank(s.back())) s.remove_suffix(1);
    return s;
}

/// Without line breaks; a line break at the end of the text starts no further line.
std::vector<std::string_view> lines_of(std::string_view text);

/// The cells of a line, blanks and quotes around them taken off, appended to an emptied `cells`. False where a quote
/// is not closed: the rest of the line is then one cell.
bool split(std::string_view line, char separator, std::vector<std::string_view>& cells);

enum class CellKind : std::uint8_t { number, empty, no_value, beyond_range, text };
struct Cell {
    CellKind kind = CellKind::empty;
    double value = 0;  // NaN where it is no number
};
/// A cell as a number with this decimal mark. "nan", "n/a", "---" and the like are no_value.
Cell read_cell(std::string_view cell, char decimal);

}  // namespace pullcast::measure

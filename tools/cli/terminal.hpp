/// Plain text for a terminal of any width.
#pragma once
#include <string>
#include <vector>

namespace pullcast {

/// Columns of stdout's terminal; COLUMNS where set; 100 where stdout is no terminal.
std::size_t terminal_width();

/// Text broken at spaces so that no line is longer than `width`; continuation lines are indented.
std::string wrapped(const std::string& text, std::size_t width, const std::string& first = "  ", const std::string& rest = "    ");

/// Characters, not bytes.
std::size_t shown_width(const std::string& text);

struct TableRow {
    std::string label, unit;
    std::vector<std::string> cells;  // empty: a heading
};
/// Aligned columns. Where they do not fit, the columns are dealt over several blocks, each with labels and the first column.
std::string table(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, std::size_t width);

}  // namespace pullcast

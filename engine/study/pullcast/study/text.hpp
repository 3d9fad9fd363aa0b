/// Plain text of a given width: wrapped lines and aligned tables.
#pragma once
#include <string>
#include <vector>

namespace pullcast {

/// Characters, not bytes.
std::size_t shown_width(const std::string& text);

/// Text broken at spaces so that no line is longer than `width`; further lines start with `rest`.
std::string wrapped(const std::string& text, std::size_t width, const std::string& first = "  ",
                    const std::string& rest = "    ");

struct TableRow {
    std::string label, unit;
    std::vector<std::string> cells;  // empty: a heading
};
/// Aligned columns. Where they do not fit, they are dealt over several blocks, each with labels and the first column.
std::string table(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, std::size_t width);

}  // namespace pullcast

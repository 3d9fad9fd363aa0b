/// How a log's text is laid out, found by the rules of log_table.hpp.
#pragma once
#include <pullcast/measure/log_table.hpp>

#include "log_cells.hpp"

namespace pullcast::measure {

/// The text, cut into lines. `source` is another than the file's where the line breaks had to be made plain.
struct LogText {
    Source source;
    std::vector<std::string_view> lines;
    bool ends_with_break = true;
};
/// Refuses what is no text, and repairs what stands at its ends.
std::optional<LogText> text_of(const Source& source, Repairs& repairs, Diagnostics& diagnostics);

struct Layout {
    char separator = ',', decimal = '.';
    std::size_t width = 0;                    // cells of a row
    std::vector<bool> text;                   // columns of text
    std::optional<std::size_t> header, unit;  // indices of lines
    std::size_t first = 0;                    // index of the first line below header and units
};
std::optional<Layout> layout_of(const LogText& text, const LogForm& stated, Diagnostics& diagnostics);

inline bool is_blank(std::string_view line) { return trimmed(line).empty(); }
inline bool is_comment(std::string_view line) { return trimmed(line).starts_with('#'); }
/// A header may be written as a comment.
inline std::string_view without_comment_sign(std::string_view line) {
    line = trimmed(line);
    while (line.starts_with('#')) line.remove_prefix(1);
    return line;
}

}  // namespace pullcast::measure

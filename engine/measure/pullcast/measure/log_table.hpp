/// A log's text as a table of numbers: separator, decimal mark, header and units are found by rules, or stated.
///
/// Rules. Candidates are the separators tab ';' '|' ',' with the decimal marks '.' and ','. For each pair a sample of
/// up to 400 lines is cut into cells; the number of cells that most rows of numbers have is the pair's width, and its
/// score is the count of numbers less that of texts in rows of that width. The best score wins; among equals the first
/// in the order above. Rows of numbers start at the first line of that width in which at most a quarter of the cells of
/// number columns are text. The header is the nearest line above; where that line holds units and the line above it
/// names, they are the units and the header. A column is one of text where more of its cells are texts than numbers.
///
/// Nothing is dropped without a word: lines below the header = rows of the table + lines that `repairs` lists as left
/// out.
#pragma once
#include <filesystem>
#include <limits>
#include <optional>
#include <pullcast/measure/repairs.hpp>
#include <pullcast/scenario/diagnostics.hpp>

namespace pullcast::measure {

/// What a mapping states about the text; 0 and nothing: to be found.
struct LogForm {
    char separator = 0, decimal = 0;
    std::optional<std::uint32_t> header_line;  // 0: the log has no header
};

struct LogColumn {
    std::string name;                     // the header's cell; "column 3" where that is empty or there is no header
    std::string unit;                     // as the unit row or the header's cell gives it; "" where neither does
    std::vector<double> numbers;          // NaN: no value. Empty in a column of text.
    std::vector<std::string_view> words;  // of a column of text
    bool text = false;
};

struct LogTable {
    Source source;
    char separator = 0, decimal = '.';
    std::uint32_t header_line = 0, unit_line = 0;  // 0: none
    std::vector<LogColumn> columns;
    std::vector<std::uint32_t> line;  // of each row
    std::size_t lines_below_header = 0;
    Repairs repairs;

    std::size_t rows() const { return line.size(); }
    const LogColumn* find(std::string_view name) const;
};

/// Largest log that is read, bytes.
inline constexpr std::uintmax_t largest_log = std::uintmax_t(512) << 20;

/// The file's text, or nothing and an error: missing, unreadable, or larger than `largest`.
Source read_log_source(const std::filesystem::path& file, Diagnostics& diagnostics,
                       std::uintmax_t largest = largest_log);

/// The table, or nothing and at least one error.
std::optional<LogTable> read_log_table(const Source& source, const LogForm& stated, Diagnostics& diagnostics);

}  // namespace pullcast::measure
